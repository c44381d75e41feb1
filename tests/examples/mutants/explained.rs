//! The changes that nothing notices, and why that is as it should be.

use std::{collections::HashSet, fs, path::Path};

use serde::Deserialize;

#[derive(Deserialize)]
struct List {
    #[serde(default)]
    unnoticed: Vec<Entry>,
}

#[derive(Deserialize)]
struct Entry {
    file: String,
    function: String,
    changes: Vec<String>,
    reason: String,
}

/// By the keys of the changes.
pub(crate) struct Explained(HashSet<String>);

impl Explained {
    pub(crate) fn has(&self, key: &str) -> bool {
        self.0.contains(key)
    }
}

pub(crate) fn read(root: &Path) -> Explained {
    let text = fs::read_to_string(root.join("tests/mutants.toml")).expect("the list");
    let list: List = toml::from_str(&text).expect("the list is TOML");
    let mut keys = HashSet::new();
    for entry in list.unnoticed {
        assert!(!entry.reason.is_empty(), "a reason for {} {}", entry.file, entry.function);
        for change in &entry.changes {
            let key = format!("{} | {} | {change}", entry.file, entry.function);
            assert!(keys.insert(key.clone()), "twice: {key}");
        }
    }
    Explained(keys)
}
