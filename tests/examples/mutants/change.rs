//! The changes: where each is, what it does, and how it is put into a file.

mod body;
mod expression;

use std::collections::HashSet;

use proc_macro2::TokenStream;
use quote::{ToTokens, quote};
use syn::{
    Arm, Attribute, Block, Expr, ExprRepeat, GenericArgument, ImplItemConst, ImplItemFn, ItemConst, ItemFn, ItemImpl,
    ItemMod, ItemStatic, ItemTrait, Pat, Signature, Stmt, TraitItemFn, Type, parse_quote,
    visit_mut::{self, VisitMut},
};

/// A change of core in one place.
#[derive(Clone)]
pub(crate) struct Change {
    pub(crate) number: usize,
    /// Below core/src.
    pub(crate) file: String,
    function: String,
    what: String,
}

impl Change {
    /// What tells it from all others, whatever is changed elsewhere.
    pub(crate) fn key(&self) -> String {
        format!("{} | {} | {}", self.file, self.function, self.what)
    }
}

/// Puts changes into files.
pub(crate) struct Changer<'a> {
    pub(crate) changes: Vec<Change>,
    /// Changes that were found not to compile.
    impossible: &'a HashSet<String>,
    /// Functions that are asked while the program is built: nothing can be chosen in them.
    constant: &'a HashSet<String>,
    file: String,
    within: Vec<String>,
    keys: HashSet<String>,
}

impl<'a> Changer<'a> {
    pub(crate) fn new(impossible: &'a HashSet<String>, constant: &'a HashSet<String>) -> Self {
        Self {
            changes: Vec::new(),
            impossible,
            constant,
            file: String::new(),
            within: Vec::new(),
            keys: HashSet::new(),
        }
    }

    /// A file with all changes that can be made in it.
    pub(crate) fn changed(&mut self, file: &str, text: &str) -> String {
        file.clone_into(&mut self.file);
        let mut parsed = syn::parse_file(text).expect("core is Rust");
        self.visit_file_mut(&mut parsed);
        prettyplease::unparse(&parsed)
    }

    /// The question whether this change is the chosen one; `None` where it can't be made.
    fn question(&mut self, what: &str) -> Option<TokenStream> {
        let mut change = Change {
            number: self.changes.len(),
            file: self.file.clone(),
            function: self.within.join("::"),
            what: what.to_owned(),
        };
        let mut times = 1;
        while !self.keys.insert(change.key()) {
            times += 1;
            change.what = format!("{what} #{times}");
        }
        if self.impossible.contains(&change.key()) {
            return None;
        }
        let number = change.number;
        self.changes.push(change);
        Some(quote!(crate::mutants::is(#number)))
    }

    fn in_function(&mut self, signature: &mut Signature, attributes: &[Attribute], block: &mut Block) {
        let name = signature.ident.to_string();
        if is_for_tests(attributes) || (signature.constness.is_some() && self.constant.contains(&name)) {
            return;
        }
        signature.constness = None;
        self.within.push(name);
        visit_mut::visit_block_mut(self, block);
        self.leave_early(signature, block);
        self.within.pop();
    }
}

impl VisitMut for Changer<'_> {
    fn visit_item_mod_mut(&mut self, item: &mut ItemMod) {
        if !is_for_tests(&item.attrs) {
            visit_mut::visit_item_mod_mut(self, item);
        }
    }

    fn visit_item_impl_mut(&mut self, item: &mut ItemImpl) {
        self.within.push(plain(&item.self_ty));
        visit_mut::visit_item_impl_mut(self, item);
        self.within.pop();
    }

    fn visit_item_trait_mut(&mut self, item: &mut ItemTrait) {
        self.within.push(item.ident.to_string());
        visit_mut::visit_item_trait_mut(self, item);
        self.within.pop();
    }

    fn visit_item_fn_mut(&mut self, item: &mut ItemFn) {
        self.in_function(&mut item.sig, &item.attrs, &mut item.block);
    }

    fn visit_impl_item_fn_mut(&mut self, item: &mut ImplItemFn) {
        self.in_function(&mut item.sig, &item.attrs, &mut item.block);
    }

    fn visit_trait_item_fn_mut(&mut self, item: &mut TraitItemFn) {
        if let Some(block) = &mut item.default {
            self.in_function(&mut item.sig, &item.attrs, block);
        }
    }

    // What is reckoned while the program is built can't be chosen later.
    fn visit_item_const_mut(&mut self, _: &mut ItemConst) {}
    fn visit_item_static_mut(&mut self, _: &mut ItemStatic) {}
    fn visit_impl_item_const_mut(&mut self, _: &mut ImplItemConst) {}
    fn visit_type_mut(&mut self, _: &mut Type) {}
    fn visit_pat_mut(&mut self, _: &mut Pat) {}
    fn visit_generic_argument_mut(&mut self, _: &mut GenericArgument) {}
    fn visit_attribute_mut(&mut self, _: &mut Attribute) {}
    fn visit_expr_repeat_mut(&mut self, repeat: &mut ExprRepeat) {
        self.visit_expr_mut(&mut repeat.expr);
    }

    fn visit_stmt_mut(&mut self, statement: &mut Stmt) {
        let what = plain(statement);
        visit_mut::visit_stmt_mut(self, statement);
        self.leave_out(statement, &what);
    }

    fn visit_arm_mut(&mut self, arm: &mut Arm) {
        let what = arm.guard.as_ref().map(|(_, guard)| plain(guard));
        visit_mut::visit_arm_mut(self, arm);
        let (Some((_, guard)), Some(what)) = (&mut arm.guard, what) else { return };
        if expression::has_let(guard) {
            return;
        }
        if let Some(chosen) = self.question(&format!("guard `{what}` always")) {
            **guard = parse_quote!((#chosen || (#guard)));
        }
        if let Some(chosen) = self.question(&format!("guard `{what}` never")) {
            **guard = parse_quote!((!#chosen && (#guard)));
        }
    }

    fn visit_expr_mut(&mut self, expression: &mut Expr) {
        if matches!(expression, Expr::Const(_)) {
            return;
        }
        let whole = expression.clone();
        visit_mut::visit_expr_mut(self, expression);
        self.change_expression(&whole, expression);
    }
}

/// Whether something is there for tests alone.
pub(crate) fn is_for_tests(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        let text = plain(&attribute.meta);
        text == "test" || text == "cfg(test)"
    })
}

/// A piece of the program in one line, without the spaces that tokens are printed with, and not too long.
fn plain(piece: &impl ToTokens) -> String {
    let mut text = piece.to_token_stream().to_string().replace('\n', " ");
    for (spaced, close) in
        [(" . ", "."), (" (", "("), ("( ", "("), (" )", ")"), (" ,", ","), ("& ", "&"), (" ::", "::"), (":: ", "::")]
    {
        text = text.replace(spaced, close);
    }
    for (spaced, close) in [(" ;", ";"), (" ?", "?"), (" <'", "<'"), (" >", ">")] {
        text = if text.contains(" > ") { text } else { text.replace(spaced, close) };
    }
    match text.char_indices().nth(100) {
        Some((end, _)) => format!("{}..", &text[..end]),
        None => text,
    }
}
