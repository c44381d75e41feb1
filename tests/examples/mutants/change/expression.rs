//! Changes of one operator, or of one call that could be another one.

use proc_macro2::TokenStream;
use quote::{format_ident, quote};
use syn::{
    BinOp, Expr, ExprBinary, ExprLet, ExprMethodCall, UnOp, parse_quote,
    visit::{self, Visit},
};

use super::{Changer, body::written, plain};

/// Comparisons, and what each could have been.
const COMPARED: [(&str, &[&str]); 6] = [
    ("<", &["<=", ">"]),
    ("<=", &["<", ">"]),
    (">", &[">=", "<"]),
    (">=", &[">", "<"]),
    ("==", &["!="]),
    ("!=", &["=="]),
];

const RECKONED: [(&str, &str); 10] = [
    ("+", "-"),
    ("-", "+"),
    ("*", "+"),
    ("/", "*"),
    ("%", "/"),
    ("&", "|"),
    ("|", "&"),
    ("^", "|"),
    ("<<", ">>"),
    (">>", "<<"),
];

/// Methods, and the one that could have been called with the same arguments.
const CALLED: [(&str, &str); 17] = [
    ("saturating_add", "saturating_sub"),
    ("saturating_sub", "saturating_add"),
    ("saturating_mul", "saturating_add"),
    ("wrapping_add", "wrapping_sub"),
    ("wrapping_sub", "wrapping_add"),
    ("wrapping_mul", "wrapping_add"),
    ("checked_add", "checked_sub"),
    ("checked_sub", "checked_add"),
    ("checked_mul", "checked_add"),
    ("min", "max"),
    ("max", "min"),
    ("any", "all"),
    ("all", "any"),
    ("is_some_and", "is_none_or"),
    ("is_none_or", "is_some_and"),
    ("min_by_key", "max_by_key"),
    ("max_by_key", "min_by_key"),
];

/// Functions, and the one that could have been called with the same arguments.
const ASKED: [(&str, &str); 8] = [
    ("divide_floor", "divide_ceil"),
    ("divide_ceil", "divide_floor"),
    ("bounded_sum", "bounded_difference"),
    ("bounded_difference", "bounded_sum"),
    ("ceil", "floor"),
    ("floor", "ceil"),
    ("min", "max"),
    ("max", "min"),
];

impl Changer<'_> {
    /// Changes an expression, whose parts have been changed already.
    pub(super) fn change_expression(&mut self, whole: &Expr, expression: &mut Expr) {
        let what = plain(whole);
        match expression {
            Expr::Binary(binary) if !written(&binary.op).ends_with('=') || is_comparison(&binary.op) => {
                if let Some(changed) = self.other_operator(binary, &what) {
                    *expression = changed;
                }
            }
            Expr::Unary(unary) if matches!(unary.op, UnOp::Not(_) | UnOp::Neg(_)) && !is_literal(&unary.expr) => {
                if let Some(chosen) = self.question(&format!("without the sign of `{what}`")) {
                    let inner = unary.expr.clone();
                    *expression = parse_quote!((if #chosen { #inner } else { #unary }));
                }
            }
            Expr::MethodCall(call) => {
                if let Some(changed) = self.other_method(call, &what) {
                    *expression = changed;
                }
            }
            Expr::Call(_) => self.other_function(expression, &what),
            Expr::Macro(asked) if asked.mac.path.is_ident("matches") => {
                if let Some(chosen) = self.question(&format!("the contrary of `{what}`")) {
                    *expression = parse_quote!((#asked != #chosen));
                }
            }
            _ => {}
        }
    }

    fn other_operator(&mut self, binary: &ExprBinary, what: &str) -> Option<Expr> {
        let sign = written(&binary.op);
        if let Some((_, others)) = COMPARED.iter().find(|(operator, _)| *operator == sign) {
            return self.compared(binary, others, what);
        }
        let ExprBinary { left, op, right, .. } = binary;
        if matches!(op, BinOp::And(_) | BinOp::Or(_)) {
            return self.joined(binary, what);
        }
        let (_, other) = RECKONED.iter().find(|(operator, _)| *operator == sign)?;
        let chosen = self.question(&format!("`{sign}` -> `{other}` in `{what}`"))?;
        let other = operator(other);
        Some(parse_quote!((match (#left, #right) { (l, r) => if #chosen { l #other r } else { l #op r } })))
    }

    fn compared(&mut self, binary: &ExprBinary, others: &[&str], what: &str) -> Option<Expr> {
        let ExprBinary { left, op, right, .. } = binary;
        let mut compared = quote!(l #op r);
        for other in others {
            let Some(chosen) = self.question(&format!("`{}` -> `{other}` in `{what}`", written(op))) else {
                continue;
            };
            let other = operator(other);
            compared = quote!(if #chosen { l #other r } else { #compared });
        }
        Some(parse_quote!((match (&(#left), &(#right)) { (l, r) => #compared })))
    }

    /// a && b is !(!a || !b), and is a || b where the three signs are left out.
    fn joined(&mut self, binary: &ExprBinary, what: &str) -> Option<Expr> {
        let ExprBinary { left, op, right, .. } = binary;
        if has_let(left) || has_let(right) {
            return None;
        }
        let other = if matches!(op, BinOp::And(_)) { "||" } else { "&&" };
        let chosen = self.question(&format!("`{}` -> `{other}` in `{what}`", written(op)))?;
        Some(parse_quote!(((((#left) != #chosen) #op ((#right) != #chosen)) != #chosen)))
    }

    fn other_method(&mut self, call: &ExprMethodCall, what: &str) -> Option<Expr> {
        let method = call.method.to_string();
        if method == "is_some" || method == "is_none" || method == "is_empty" {
            let chosen = self.question(&format!("the contrary of `{what}`"))?;
            return Some(parse_quote!((#call != #chosen)));
        }
        let (_, other) = CALLED.iter().find(|(name, _)| *name == method)?;
        if call.args.is_empty() {
            return None;
        }
        let chosen = self.question(&format!("{method} -> {other} in `{what}`"))?;
        let (receiver, arguments, was, other) = (&call.receiver, &call.args, &call.method, format_ident!("{other}"));
        Some(
            parse_quote!((match #receiver { mut l => if #chosen { l.#other(#arguments) } else { l.#was(#arguments) } })),
        )
    }

    fn other_function(&mut self, expression: &mut Expr, what: &str) {
        let Expr::Call(call) = &*expression else { return };
        let Expr::Path(path) = &*call.func else { return };
        let Some(last) = path.path.segments.last() else { return };
        let Some((name, other)) = ASKED.iter().find(|(name, _)| last.ident == name) else { return };
        let Some(chosen) = self.question(&format!("{name} -> {other} in `{what}`")) else { return };
        let (mut elsewhere, arguments) = (path.clone(), &call.args);
        if path.path.segments.len() == 1 {
            let other = format_ident!("{other}");
            elsewhere = parse_quote!(crate::arithmetic::#other);
        } else if let Some(last) = elsewhere.path.segments.last_mut() {
            last.ident = format_ident!("{other}");
        }
        *expression = parse_quote!((if #chosen { #elsewhere(#arguments) } else { #call }));
    }
}

fn is_comparison(operator: &BinOp) -> bool {
    let sign = written(operator);
    COMPARED.iter().any(|(compared, _)| *compared == sign)
}

fn is_literal(expression: &Expr) -> bool {
    matches!(expression, Expr::Lit(_))
}

fn operator(written: &str) -> TokenStream {
    written.parse().expect("an operator")
}

/// Whether a condition binds a name: it can't be joined otherwise then.
pub(super) fn has_let(expression: &Expr) -> bool {
    struct Lets(bool);
    impl Visit<'_> for Lets {
        fn visit_expr_let(&mut self, _: &ExprLet) {
            self.0 = true;
        }
        fn visit_expr_block(&mut self, _: &syn::ExprBlock) {}
        fn visit_expr_closure(&mut self, _: &syn::ExprClosure) {}
    }
    let mut lets = Lets(false);
    visit::visit_expr(&mut lets, expression);
    if matches!(expression, Expr::Let(_)) {
        return true;
    }
    lets.0
}
