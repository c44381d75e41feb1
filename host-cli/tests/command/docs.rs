//! What the documentation shows: it is run here, and looked up.
//!
//! In the README, the pages of `docs` and the pages of the rules (`rules`) a fenced block that begins with
//! * `console` shows commands and what they print: `$ pinfold ...` is run in a copy of the example, and a line `...`
//!   stands for any lines;
//! * `diff FILE` changes a file of a fresh copy for what comes next;
//! * `toml FILE` or `json FILE` writes a file;
//! * `figures` has lines `sum = figure`, worked out here: `=` to the last digit, `~` within 0.1, as the rounding against the
//!   route may take.

mod blocks;
mod keys;
mod links;
mod sums;

use std::{
    fs,
    path::{Path, PathBuf},
};

use crate::{
    flight::{Flight, valley},
    support::{Copy, example},
};
use blocks::{Block, blocks};

/// The project's folder.
fn root() -> PathBuf {
    example().join("../..")
}

/// The texts of a folder, with their names; a picture is none.
fn texts_in(folder: &str) -> Vec<(String, String)> {
    let entries = fs::read_dir(root().join(folder)).expect("a folder").map(|entry| entry.expect("an entry"));
    let is_picture = |path: &Path| path.extension().is_some_and(|extension| extension == "png");
    let files = entries.filter(|entry| entry.path().is_file() && !is_picture(&entry.path()));
    let mut names: Vec<String> =
        files.map(|entry| format!("{folder}/{}", entry.file_name().to_string_lossy())).collect();
    names.sort();
    names.into_iter().map(|name| (name.clone(), fs::read_to_string(root().join(&name)).expect("text"))).collect()
}

/// All the documentation that is run.
fn pages() -> Vec<(String, String)> {
    let readme = fs::read_to_string(root().join("README.md")).expect("text");
    let mut pages = vec![("README.md".to_owned(), readme)];
    pages.extend(texts_in("host-cli/docs"));
    pages.extend(texts_in("host-cli/rules"));
    pages
}

/// A copy of the example with everything that the pages need.
fn copy() -> Copy {
    let copy = Copy::new().with("log.csv", Flight::new(1, valley).csv());
    fs::create_dir(copy.path().join("no-go")).expect("a folder");
    for entry in fs::read_dir(example().join("no-go")).expect("a folder") {
        let entry = entry.expect("an entry");
        fs::copy(entry.path(), copy.path().join("no-go").join(entry.file_name())).expect("a copy");
    }
    copy
}

/// A command of a block, and the lines that it is to print.
struct Shown {
    command: String,
    lines: Vec<String>,
}

/// The commands of a console block.
fn commands(text: &str) -> Vec<Shown> {
    let mut shown: Vec<Shown> = Vec::new();
    for line in text.lines() {
        match (line.strip_prefix("$ "), shown.last_mut()) {
            (Some(command), _) => shown.push(Shown { command: command.to_owned(), lines: Vec::new() }),
            (None, Some(last)) => last.lines.push(line.to_owned()),
            (None, None) => panic!("a console block begins with «{line}»"),
        }
    }
    shown
}

/// Whether lines are those that are shown, where `...` stands for any.
fn matches(printed: &[&str], shown: &[&str]) -> bool {
    match shown {
        [] => printed.is_empty(),
        ["...", rest @ ..] => (0..=printed.len()).any(|start| matches(&printed[start..], rest)),
        [line, rest @ ..] => printed.first() == Some(line) && matches(&printed[1..], rest),
    }
}

/// Runs a command and demands what is shown of it; gives what it printed.
fn is_as_shown(page: &str, copy: &Copy, shown: &Shown) -> String {
    let words: Vec<&str> = shown.command.split_whitespace().collect();
    let ["pinfold", arguments @ ..] = &words[..] else { panic!("{page} runs «{}»", shown.command) };
    let run = copy.run(arguments);
    let all = [run.out, run.err].concat();
    let printed: Vec<&str> = all.lines().collect();
    let lines: Vec<&str> = shown.lines.iter().map(|line| if line.trim() == "..." { "..." } else { line }).collect();
    assert!(matches(&printed, &lines), "{page}: «{}» is not as shown; it prints\n{all}", shown.command);
    all
}

/// Changes a file as the lines of a diff say.
fn changed(copy: Copy, file: &str, diff: &str) -> Copy {
    let part = |sign: char| -> String {
        diff.lines().filter_map(|line| line.strip_prefix(sign)).map(|line| format!("{line}\n")).collect()
    };
    copy.edit(file, &part('-'), &part('+'))
}

/// Runs a page; gives all that its commands printed.
fn run(page: &str, text: &str) -> String {
    let (mut ground, mut printed) = (copy(), String::new());
    for Block { kind, file, text } in blocks(text) {
        match (kind, file) {
            ("console", _) => {
                printed.extend(commands(text).iter().map(|shown| is_as_shown(page, &ground, shown)));
            }
            ("diff", Some(file)) => ground = changed(copy_with_files(&ground), file, text),
            ("toml" | "json", Some(file)) => ground = ground.with(file, text),
            _ => {}
        }
    }
    printed
}

/// A fresh copy of the example with the files that a page has written.
fn copy_with_files(used: &Copy) -> Copy {
    let fresh = copy();
    for entry in fs::read_dir(used.path()).expect("a folder") {
        let entry = entry.expect("an entry");
        if !fresh.path().join(entry.file_name()).exists() && entry.path().is_file() {
            fs::copy(entry.path(), fresh.path().join(entry.file_name())).expect("a copy");
        }
    }
    fresh
}

#[test]
fn what_is_shown_is_what_is_printed() {
    let mut commands = 0;
    for (page, text) in pages() {
        commands += run(&page, &text).len().min(1);
    }
    assert!(commands > 25, "only {commands} pages run anything");
}

#[test]
fn figures_are_worked_out_and_are_those_that_the_checker_prints() {
    for (page, text) in texts_in("host-cli/rules") {
        let printed = run(&page, &text);
        assert!(!printed.is_empty(), "{page} shows no run");
        for block in blocks(&text).into_iter().filter(|block| block.kind == "figures") {
            let worked: Vec<&str> = block.text.lines().map(|line| sums::holds(&page, line)).collect();
            let last = worked[worked.len() - 1];
            let bare = last.trim_end_matches('0').trim_end_matches('.');
            let is_there = printed.split_whitespace().any(|word| word == last || word == bare);
            assert!(is_there, "{page}: the checker says no {last}");
        }
    }
}

/// The numbers in a text.
fn numbers(text: &str) -> Vec<f64> {
    let words = text.split(|c: char| !c.is_ascii_digit() && c != '.' && c != ',');
    words.filter_map(|word| word.trim_matches(['.', ',']).replace(',', "").parse().ok()).collect()
}

#[test]
fn figures_in_the_words_between_are_those_of_the_figures_or_of_the_example() {
    let mut example = String::new();
    for folder in ["host-cli/example", "host-cli/example/no-go"] {
        let texts = texts_in(folder).into_iter().filter(|(name, _)| !name.ends_with(".asc"));
        example.extend(texts.map(|(_, text)| text));
    }
    let example = numbers(&example);
    for (page, text) in texts_in("host-cli/rules") {
        let (_, part) = text.split_once("\n## Worked numbers\n").expect("worked numbers");
        let part = part.split("\n## ").next().unwrap_or(part);
        let shown: Vec<f64> = blocks(part).iter().flat_map(|block| numbers(block.text)).collect();
        for number in numbers(&blocks::prose(part)) {
            let is_there = shown.iter().chain(&example).any(|other| *other == number);
            assert!(is_there, "{page} says {number}, which stands nowhere else");
        }
    }
}

#[test]
fn the_lines_that_are_left_out_are_the_only_ones() {
    assert!(matches(&["a", "b", "c"], &["a", "...", "c"]) && matches(&["a", "c"], &["a", "...", "c"]));
    assert!(matches(&["a", "b"], &["...", "b"]) && matches(&["a", "b"], &["a", "..."]));
    assert!(!matches(&["a", "b", "c"], &["a", "c"]) && !matches(&["a"], &["a", "b"]) && !matches(&["a"], &[]));
}
