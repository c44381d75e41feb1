//! What DEVELOPERS.md says of the tests.

use std::{fs, path::Path};

/// Where the tests stand that it names.
const ROOMS: [&str; 4] = ["tests/tests", "tests/tests/emulator", "host-cli/tests/command", "core/src"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the project")
}

/// Every `file::test` in a text.
fn named(text: &str) -> Vec<(&str, &str)> {
    let quoted = text.split('`').skip(1).step_by(2).filter_map(|word| word.split_once("::"));
    let plain =
        |word: &str| word.chars().all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '_');
    quoted.filter(|(file, test)| plain(file) && plain(test)).collect()
}

fn exists(file: &str, test: &str) -> bool {
    ROOMS.iter().any(|room| {
        let text = fs::read_to_string(root().join(room).join(file).with_extension("rs")).unwrap_or_default();
        text.contains(&format!("fn {test}("))
    })
}

#[test]
fn what_guards_a_promise_exists() {
    let page = fs::read_to_string(root().join("DEVELOPERS.md")).expect("the page");
    let begin = page.find("## What is promised to whom").expect("the part about promises");
    let named = named(&page[begin..]);
    assert!(named.len() > 60, "the page names {} tests", named.len());
    let missing: Vec<_> = named.into_iter().filter(|(file, test)| !exists(file, test)).collect();
    assert!(missing.is_empty(), "no such tests: {missing:#?}");
}

#[test]
fn a_test_that_does_not_exist_is_noticed() {
    assert_eq!(
        named("a `developers::nothing_of_the_kind` b `code` c `Type::name`"),
        [("developers", "nothing_of_the_kind")]
    );
    assert!(!exists("developers", "nothing_of_the_kind") && exists("developers", "what_guards_a_promise_exists"));
}
