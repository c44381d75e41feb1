//! Links of the documentation lead somewhere.

use std::{collections::BTreeSet, fs, path::Path};

use super::{blocks::prose, root, texts_in};

/// The targets of a page's links.
fn targets(text: &str) -> Vec<String> {
    let prose = prose(text);
    let parts = prose.split("](").skip(1);
    parts.filter_map(|part| part.split_once(')')).map(|(target, _)| target.to_owned()).collect()
}

/// The anchors that a page's headings make: letters, digits and hyphens, blanks as hyphens.
fn anchors(text: &str) -> BTreeSet<String> {
    let titles = prose(text).lines().filter(|line| line.starts_with('#')).map(anchor).collect::<Vec<_>>();
    titles.into_iter().collect()
}

fn anchor(title: &str) -> String {
    let kept = title.trim_start_matches('#').trim().to_lowercase();
    let kept = kept.chars().filter(|c| c.is_alphanumeric() || [' ', '-', '_'].contains(c));
    kept.map(|c| if c == ' ' { '-' } else { c }).collect()
}

fn leads_somewhere(page: &str, text: &str, target: &str) {
    if target.starts_with("https://") {
        return;
    }
    let (file, place) = target.split_once('#').map_or((target, None), |(file, place)| (file, Some(place)));
    let path = root().join(Path::new(page).parent().expect("a folder")).join(file);
    assert!(file.is_empty() || path.exists(), "{page} links to {file}, which isn't there");
    if let Some(place) = place {
        let there = if file.is_empty() { text.to_owned() } else { fs::read_to_string(path).expect("text") };
        assert!(anchors(&there).contains(place), "{page} links to {target}, which has no such heading");
    }
}

#[test]
fn every_link_leads_somewhere() {
    let top = ["README.md", "DEVELOPERS.md", "host-cli/example/README.md"];
    let mut pages: Vec<(String, String)> =
        top.map(|name| (name.to_owned(), fs::read_to_string(root().join(name)).expect("text"))).into();
    pages.extend(texts_in("host-cli/docs"));
    let mut seen = 0;
    for (page, text) in pages {
        for target in targets(&text) {
            leads_somewhere(&page, &text, &target);
            seen += 1;
        }
    }
    assert!(seen > 20, "only {seen} links");
}

#[test]
fn every_page_of_the_documentation_can_be_reached_from_the_readme() {
    let readme = fs::read_to_string(root().join("README.md")).expect("text");
    for (page, _) in texts_in("host-cli/docs") {
        assert!(targets(&readme).contains(&page), "the README has no link to {page}");
    }
}

#[test]
fn a_heading_becomes_an_anchor() {
    assert_eq!(anchor("## [margins] `fixed_m`"), "margins-fixed_m");
    assert_eq!(anchor("### What it *isn't*"), "what-it-isnt");
}
