//! Which functions of core are asked while the program is built: those that a constant of any package names, and those that they
//! ask themselves.

use std::{
    collections::HashSet,
    fs,
    path::{Path, PathBuf},
};

use crate::change::is_for_tests;
use syn::{
    Block, Expr, ExprCall, ExprConst, ExprMethodCall, ImplItemConst, ImplItemFn, Item, ItemConst, ItemFn, ItemStatic,
    Type, TypeArray,
    visit::{self, Visit},
};

/// All files of Rust below a folder, in order.
pub(super) fn files(folder: &Path) -> Vec<PathBuf> {
    let mut entries: Vec<PathBuf> =
        fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path()).collect();
    entries.sort();
    let mut found = Vec::new();
    for path in entries {
        if path.is_dir() {
            found.extend(files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found
}

/// The files of these that are modules for tests alone.
pub(super) fn for_tests(files: &[PathBuf]) -> HashSet<PathBuf> {
    let named = |path: &PathBuf| {
        let text = fs::read_to_string(path).expect("a text");
        let file = syn::parse_file(&text).expect("core is Rust");
        let modules = file.items.into_iter().filter_map(|item| match item {
            Item::Mod(module) if module.content.is_none() && is_for_tests(&module.attrs) => {
                Some(module.ident.to_string())
            }
            _ => None,
        });
        // Beside mod.rs and lib.rs, or in the folder that is called as the file is.
        let own = path.with_extension("");
        let below = |name: String| [path.with_file_name(format!("{name}.rs")), own.join(format!("{name}.rs"))];
        modules.flat_map(below).collect::<Vec<_>>()
    };
    files.iter().flat_map(named).collect()
}

pub(super) fn functions(root: &Path) -> HashSet<String> {
    let mut seen = Seen::default();
    for room in ["tests/src", "tests/tests", "host-cli/src", "host-cli/tests", "core/src"] {
        // What other packages have is not made so that it can be chosen: all that stays constant asks for it.
        let elsewhere = seen.constant.drain(..).flat_map(|(_, asked)| asked);
        seen.asked.extend(elsewhere);
        for path in files_if_any(&root.join(room)) {
            if let Ok(file) = syn::parse_file(&fs::read_to_string(path).unwrap_or_default()) {
                seen.visit_file(&file);
            }
        }
    }
    let mut all = seen.asked;
    loop {
        let more: HashSet<String> =
            seen.constant.iter().filter(|(name, _)| all.contains(name)).flat_map(|(_, asked)| asked.clone()).collect();
        if more.is_subset(&all) {
            return all;
        }
        all.extend(more);
    }
}

fn files_if_any(folder: &Path) -> Vec<PathBuf> {
    if folder.is_dir() { files(folder) } else { Vec::new() }
}

/// What is asked by constants, and by each constant function.
#[derive(Default)]
struct Seen {
    asked: HashSet<String>,
    constant: Vec<(String, HashSet<String>)>,
}

/// The names of all functions that are called.
#[derive(Default)]
struct Called(HashSet<String>);

impl Visit<'_> for Called {
    fn visit_expr_call(&mut self, call: &ExprCall) {
        if let Expr::Path(path) = &*call.func {
            self.0.extend(path.path.segments.last().map(|last| last.ident.to_string()));
        }
        visit::visit_expr_call(self, call);
    }

    fn visit_expr_method_call(&mut self, call: &ExprMethodCall) {
        self.0.insert(call.method.to_string());
        visit::visit_expr_method_call(self, call);
    }
}

impl Seen {
    fn constant(&mut self, expression: &Expr) {
        let mut called = Called(std::mem::take(&mut self.asked));
        called.visit_expr(expression);
        self.asked = called.0;
    }

    fn function(&mut self, name: String, block: &Block) {
        let mut called = Called::default();
        called.visit_block(block);
        self.constant.push((name, called.0));
    }
}

impl Visit<'_> for Seen {
    fn visit_item_const(&mut self, item: &ItemConst) {
        self.constant(&item.expr);
    }

    fn visit_impl_item_const(&mut self, item: &ImplItemConst) {
        self.constant(&item.expr);
    }

    fn visit_item_static(&mut self, item: &ItemStatic) {
        self.constant(&item.expr);
    }

    fn visit_type(&mut self, item: &Type) {
        if let Type::Array(TypeArray { len, .. }) = item {
            self.constant(len);
        }
        visit::visit_type(self, item);
    }

    fn visit_expr_const(&mut self, item: &ExprConst) {
        let mut called = Called(std::mem::take(&mut self.asked));
        called.visit_block(&item.block);
        self.asked = called.0;
    }

    fn visit_item_fn(&mut self, item: &ItemFn) {
        if item.sig.constness.is_some() {
            self.function(item.sig.ident.to_string(), &item.block);
        }
        visit::visit_item_fn(self, item);
    }

    fn visit_impl_item_fn(&mut self, item: &ImplItemFn) {
        if item.sig.constness.is_some() {
            self.function(item.sig.ident.to_string(), &item.block);
        }
        visit::visit_impl_item_fn(self, item);
    }
}
