//! `docs/limits.md` and the pages of the rules against the reader of limits.toml: which keys there are, which may be left
//! out, and from where to where they go. The reader is asked by what it refuses.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

use super::{root, texts_in};
use crate::support::{Copy, example};

/// Keys that go with another: one without the other is refused, both may be left out.
const TOGETHER: [(&str, &str); 4] = [
    ("[wind] from_deg", "[wind] spread_deg"),
    ("[wind] spread_deg", "[wind] from_deg"),
    ("[link] lat", "[link] lon"),
    ("[link] lon", "[link] lat"),
];

/// A key with its section, as `[margins] fixed_m`.
type Key = String;

fn key(section: &str, name: &str) -> Key {
    if section.is_empty() { name.to_owned() } else { format!("[{section}] {name}") }
}

/// What a check with these limits is refused with.
fn refused(limits: &str) -> Option<String> {
    let run = Copy::new().with("limits.toml", limits).check();
    (run.code == 2).then_some(run.err)
}

fn shipped() -> toml::Table {
    fs::read_to_string(example().join("limits.toml")).expect("text").parse().expect("TOML")
}

/// The names that an unknown key in a section is told.
fn known_in(section: &str) -> BTreeSet<String> {
    let text = fs::read_to_string(example().join("limits.toml")).expect("text");
    let unknown = "qqqqqqqqqqqq = 1\n";
    let text = match section {
        "" => format!("{unknown}{text}"),
        _ => text.replacen(&format!("[{section}]\n"), &format!("[{section}]\n{unknown}"), 1),
    };
    let said = refused(&text).expect("an unknown key is refused");
    let words = said.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, list) = words.split_once("known here: ").unwrap_or_else(|| panic!("no list in {said}"));
    list.split(", ").map(|word| word.trim().to_owned()).collect()
}

/// Every key that the reader knows.
fn known() -> BTreeSet<Key> {
    let mut keys = BTreeSet::new();
    for name in known_in("") {
        if name == "name" {
            keys.insert(name);
        } else {
            keys.extend(known_in(&name).iter().map(|inner| key(&name, inner)));
        }
    }
    keys
}

/// What the page says of each key: the line below its heading, and the rules that it names.
fn described() -> BTreeMap<Key, String> {
    let page = fs::read_to_string(root().join("host-cli/docs/limits.md")).expect("text");
    let sections = page.split("\n### ").skip(1);
    let entry = |text: &str| {
        let (title, body) = text.split_once("\n\n").expect("a heading");
        (title.to_owned(), body.split("\n## ").next().unwrap_or(body).to_owned())
    };
    sections.map(entry).collect()
}

/// What the page says first of a key: its type, its range, and whether it may be left out.
fn nature(text: &str) -> String {
    text.split("\n\n").next().unwrap_or(text).replace('\n', " ")
}

fn split(key: &str) -> (&str, &str) {
    key.strip_prefix('[').and_then(|rest| rest.split_once("] ")).unwrap_or(("", key))
}

/// The example's limits with another value at a key.
fn with(key: &str, value: toml::Value) -> String {
    let mut limits = shipped();
    put(&mut limits, key, value);
    if let Some((_, other)) = TOGETHER.iter().find(|(one, _)| *one == key) {
        put(&mut limits, other, toml::Value::Integer(0));
    }
    limits.to_string()
}

fn put(limits: &mut toml::Table, key: &str, value: toml::Value) {
    match split(key) {
        ("", name) => limits.insert(name.to_owned(), value),
        (section, name) => limits
            .get_mut(section)
            .and_then(toml::Value::as_table_mut)
            .expect("a section")
            .insert(name.to_owned(), value),
    };
}

/// The example's limits without a key.
fn without(key: &str) -> String {
    let mut limits = shipped();
    match split(key) {
        ("", name) => limits.remove(name),
        (section, name) => limits.get_mut(section).and_then(toml::Value::as_table_mut).expect("a section").remove(name),
    };
    limits.to_string()
}

#[test]
fn the_page_has_every_key_and_no_other() {
    assert_eq!(described().into_keys().collect::<BTreeSet<_>>(), known());
}

/// Values out of any range, for each number that a key takes.
fn too_large(key: &str) -> Vec<toml::Value> {
    let pairs = |pair: [f64; 2]| toml::Value::from(vec![pair.to_vec(), pair.to_vec()]);
    match key {
        "[power] table" | "[battery] charge_table" => vec![pairs([1e15, 1.0]), pairs([1.0, 1e15])],
        _ => vec![toml::Value::Float(1e15)],
    }
}

/// From where to where a key's number goes, as the reader says it when another is given.
fn range(key: &str, value: toml::Value) -> Option<String> {
    let Some(said) = refused(&with(key, value)) else { panic!("{key} takes anything") };
    let words = said.split_whitespace().collect::<Vec<_>>().join(" ");
    words.split_once("help: ").map(|(_, help)| help.to_owned()).filter(|help| help.starts_with("from "))
}

#[test]
fn ranges_are_those_that_the_reader_holds_to() {
    let mut ranges = 0;
    for (key, text) in described() {
        let first = nature(&text);
        let told: Vec<String> = too_large(&key).into_iter().filter_map(|value| range(&key, value)).collect();
        for range in &told {
            assert!(first.contains(range.as_str()), "{key}: «{first}» has no «{range}»");
        }
        assert_eq!(first.matches("from ").count(), told.len(), "{key}: «{first}» says other ranges than {told:?}");
        ranges += told.len();
    }
    assert!(ranges > 40, "only {ranges} ranges");
}

#[test]
fn keys_that_may_be_left_out_are_called_optional() {
    for (key, text) in described() {
        let first = nature(&text);
        let missing = refused(&without(&key))
            .is_some_and(|said| said.contains("is missing") || said.contains("is to be a list of ["));
        let expected = if missing { "required" } else { "optional" };
        assert!(first.contains(expected), "{key}: «{first}» doesn't say {expected}");
        if let Some((_, other)) = TOGETHER.iter().find(|(one, _)| *one == key) {
            assert!(text.contains(&format!("goes with `{}`", split(other).1)), "{key} doesn't say what it goes with");
        }
    }
}

/// The rules that the page names for each key.
fn rules_by_page() -> BTreeSet<(Key, String)> {
    let mut pairs = BTreeSet::new();
    for (key, text) in described() {
        let line =
            text.lines().find_map(|line| line.strip_prefix("Rules: ")).unwrap_or_else(|| panic!("{key}: no rules"));
        let names = line.trim_end_matches('.').split(", ").filter(|name| *name != "none");
        pairs.extend(names.map(|name| (key.clone(), name.trim_matches('`').to_owned())));
    }
    pairs
}

/// The keys that the pages of the rules name.
fn keys_by_rule() -> BTreeSet<(Key, String)> {
    let mut pairs = BTreeSet::new();
    for (page, text) in texts_in("host-cli/rules") {
        let rule = page.trim_start_matches("host-cli/rules/").trim_end_matches(".md").to_owned();
        let (_, keys) = text.split_once("\n## Keys\n").expect("a part about keys");
        let keys = keys.split("\n## ").next().unwrap_or(keys);
        let named = keys.lines().filter_map(|line| line.strip_prefix("* `")?.split_once('`')).map(|(key, _)| key);
        pairs.extend(named.map(|key| (key.to_owned(), rule.clone())));
    }
    pairs
}

#[test]
fn rules_name_keys_that_there_are_and_that_name_them() {
    let (known, by_rule, by_page) = (known(), keys_by_rule(), rules_by_page());
    for (key, rule) in &by_rule {
        assert!(known.contains(key), "{rule} names {key}, which isn't a key");
    }
    assert_eq!(by_rule.difference(&by_page).collect::<Vec<_>>(), Vec::<&(Key, String)>::new(), "only in rules");
    assert_eq!(by_page.difference(&by_rule).collect::<Vec<_>>(), Vec::<&(Key, String)>::new(), "only in limits.md");
}
