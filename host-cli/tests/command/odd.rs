//! The odd files kit, given to the command: each file ends as its case says, and none in a crash.

use pinfold_tests::odd::{Expected, kit, texts};

use crate::support::Copy;

#[test]
fn each_packed_case_ends_with_its_exit_code() {
    let mut wrong = Vec::new();
    for odd in kit() {
        let copy = Copy::new().with("odd.limits", &odd.limits).with("odd.route", &odd.route);
        let run = copy.run(&["check", "odd.route", "--limits", "odd.limits"]);
        let expected = match odd.expected {
            Expected::Go => 0,
            Expected::NoGo(_) => 1,
            Expected::RouteRefused(_) | Expected::LimitsRefused(_) => 2,
        };
        if run.code != expected {
            wrong.push(format!("{}: {} instead of {expected}: {}", odd.name, run.code, run.err));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn text_that_is_nested_very_deep_is_unusable_and_crashes_nothing() {
    for text in texts::routes() {
        let copy = Copy::new().with(text.name, &text.bytes);
        let run = copy.run(&["check", text.name, "--limits", "limits.toml"]);
        assert_eq!(run.code, 2, "{}: {}", text.name, shortened(&run.err));
        assert_eq!(run.out, "", "{}", text.name);
    }
    for text in texts::sites() {
        let copy = Copy::new().with("site.geojson", &text.bytes);
        let run = copy.check();
        assert_eq!(run.code, 2, "{} as a site: {}", text.name, shortened(&run.err));
    }
}

/// The beginning of a message that may be as long as its file.
fn shortened(message: &str) -> String {
    message.chars().take(500).collect()
}
