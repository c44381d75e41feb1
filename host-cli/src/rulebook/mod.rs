//! The pages that explain the rules: `host-cli/rules/NAME.md`, one a rule.
//!
//! They are plain Markdown, so that they can be read where they lie too: a title, a line with severity and summary, and
//! [`HEADINGS`]. Tests run what they show and work out their figures.

mod show;

use pinfold_core::verdict::{RULE_COUNT, Rule};

use crate::report::words;

macro_rules! pages {
    ($($rule:ident: $name:literal,)*) => { [$((Rule::$rule, include_str!(concat!("../../rules/", $name, ".md")))),*] };
}

/// Every rule and its page, in the order of reports.
const PAGES: [(Rule, &str); RULE_COUNT] = pages![
    Form: "form",
    Sequence: "sequence",
    Extent: "extent",
    KeepIn: "keep-in",
    KeepOut: "keep-out",
    People: "people",
    Ceiling: "ceiling",
    Floor: "floor",
    Ground: "ground",
    Speed: "speed",
    ClimbRate: "climb-rate",
    DescentRate: "descent-rate",
    Landing: "landing",
    Wind: "wind",
    Reserve: "reserve",
    TurnBack: "turn-back",
    ReturnPath: "return-path",
    Link: "link",
    Sight: "sight",
    Launch: "launch",
    Pack: "pack",
    Stray: "stray",
    Repeat: "repeat",
    OddHeight: "odd-height",
];

/// A rule's page.
#[derive(Clone, Copy)]
pub(crate) struct Page {
    pub(crate) name: &'static str,
    /// `stop`, `caution`, or both.
    pub(crate) severity: &'static str,
    /// What the rule asks for, in a few words.
    pub(crate) summary: &'static str,
    /// All that comes after.
    body: &'static str,
}

/// The pages of all rules.
pub(crate) fn all() -> [Page; RULE_COUNT] {
    PAGES.map(|(rule, text)| page(words::rule(rule), text))
}

/// The page of a name.
pub(crate) fn named(name: &str) -> Option<Page> {
    all().into_iter().find(|page| page.name == name)
}

/// A page from its text. What doesn't look like one leaves gaps, which a test finds.
fn page(name: &'static str, text: &'static str) -> Page {
    let (_, rest) = text.split_once("\n\n").unwrap_or_default();
    let (line, body) = rest.split_once("\n\n").unwrap_or_default();
    let (severity, summary) = line.split_once(": ").unwrap_or_default();
    Page { name, severity, summary, body }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use pinfold_core::verdict::{Cause, Finding};

    use super::*;

    /// What each page says, in this order.
    const HEADINGS: [&str; 8] =
        ["Checks", "Without it", "Formula", "Worked numbers", "Keys", "What to change", "Source", "Does not see"];

    #[test]
    fn every_rule_has_one_page_of_its_name() {
        let rules: BTreeSet<Rule> = PAGES.iter().map(|(rule, _)| *rule).collect();
        assert_eq!(rules.len(), RULE_COUNT, "a rule has two pages, another none");
        for (rule, text) in PAGES {
            assert!(text.starts_with(&format!("# {}\n\n", words::rule(rule))), "{text}");
        }
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("rules");
        assert_eq!(std::fs::read_dir(folder).expect("a folder").count(), RULE_COUNT, "a page of no rule");
    }

    #[test]
    fn every_page_says_everything_in_the_same_order() {
        for page in all() {
            let headings: Vec<&str> = page.body.lines().filter_map(|line| line.strip_prefix("## ")).collect();
            assert_eq!(headings, HEADINGS, "{}", page.name);
            assert!(page.summary.chars().count() <= 52 && !page.summary.contains('\n'), "{}", page.name);
            for part in page.body.split("## ").skip(1) {
                assert!(
                    part.split_once("\n\n").is_some_and(|(_, text)| text.trim().len() > 4),
                    "{}: {part}",
                    page.name
                );
            }
        }
    }

    #[test]
    fn severities_are_those_of_the_core() {
        let word = |rule, cause| Finding::of(rule, 1, cause).severity().map(words::severity);
        for ((rule, _), page) in PAGES.into_iter().zip(all()) {
            let broken = words::severity(Finding::of(rule, 1, Cause::Measured).severity_if_broken());
            let expected = match rule {
                // Its causes differ: a fast landing is a stop, a late disarm isn't.
                Rule::Landing => ["stop or ", word(rule, Cause::LateDisarm).unwrap_or_default()].concat(),
                _ => broken.to_owned(),
            };
            assert_eq!(page.severity, expected, "{}", page.name);
        }
    }
}
