//! Changes of whole functions and whole statements.

use quote::quote;
use syn::{BinOp, Block, Expr, ReturnType, Signature, Stmt, Type, parse_quote};

use super::{Changer, plain};

impl Changer<'_> {
    /// A function that answers the same to everything.
    pub(super) fn leave_early(&mut self, signature: &Signature, block: &mut Block) {
        if block.stmts.is_empty() {
            return;
        }
        for answer in answers(&signature.output) {
            let what = format!("the whole function answers `{}`", plain(&answer));
            if let Some(chosen) = self.question(&what) {
                block.stmts.insert(0, parse_quote!(if #chosen { return #answer; }));
            }
        }
    }

    /// A statement that does something is left out.
    pub(super) fn leave_out(&mut self, statement: &mut Stmt, what: &str) {
        let Stmt::Expr(expression, Some(_)) = statement else { return };
        if !does_something(expression) {
            return;
        }
        if let Some(chosen) = self.question(&format!("without `{what}`")) {
            *statement = parse_quote!(if !#chosen { #statement });
        }
    }
}

fn does_something(expression: &Expr) -> bool {
    match expression {
        Expr::MethodCall(_) | Expr::Call(_) | Expr::Assign(_) => true,
        Expr::Binary(binary) => written(&binary.op).ends_with('='),
        Expr::Try(tried) => does_something(&tried.expr),
        _ => false,
    }
}

/// An operator as it is written.
pub(super) fn written(operator: &BinOp) -> String {
    quote!(#operator).to_string()
}

/// What a function of this type can always answer.
fn answers(output: &ReturnType) -> Vec<Expr> {
    let ReturnType::Type(_, answered) = output else { return vec![parse_quote!(())] };
    let Type::Path(path) = &**answered else { return Vec::new() };
    let Some(last) = path.path.segments.last() else { return Vec::new() };
    match last.ident.to_string().as_str() {
        "bool" => vec![parse_quote!(true), parse_quote!(false)],
        "u8" | "u16" | "u32" | "u64" | "u128" | "usize" | "i8" | "i16" | "i32" | "i64" | "i128" => {
            vec![parse_quote!(0), parse_quote!(1)]
        }
        "f64" => vec![parse_quote!(0.0), parse_quote!(1.0)],
        "Option" => vec![parse_quote!(None)],
        "Result" if plain(answered).starts_with("Result < (),") || plain(answered).starts_with("Result<(),") => {
            vec![parse_quote!(Ok(()))]
        }
        _ => Vec::new(),
    }
}
