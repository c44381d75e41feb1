//! Every command that the documentation names can be given.

use std::{collections::BTreeSet, fs, path::Path};

use clap::{CommandFactory as _, Parser as _};

use super::Arguments;

/// What stands for a value, and one that can be given.
const PLACEHOLDERS: [(&str, &str); 4] =
    [("LAT,LON,HEIGHT", "46.2,-17.4,20"), ("LAT,LON", "46.2,-17.4"), ("PORT", "127.0.0.1:7373"), ("V", "12.3")];

fn texts() -> Vec<String> {
    let host = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = vec![host.join("../README.md"), host.join("example/README.md")];
    for folder in ["docs", "rules"] {
        paths.extend(fs::read_dir(host.join(folder)).expect("a folder").map(|entry| entry.expect("an entry").path()));
    }
    paths.iter().map(|path| fs::read_to_string(path).expect("text")).collect()
}

/// The commands in code, in a line of a block or between backticks.
fn commands(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (number, part) in text.split("```").enumerate() {
        let begins = |line: &str| line.trim_start_matches("$ ").starts_with("pinfold ");
        if number % 2 == 1 {
            found.extend(part.lines().filter(|line| begins(line)).map(|line| line.trim_start_matches("$ ").to_owned()));
        } else {
            let spans = part.split('`').skip(1).step_by(2).map(|span| span.replace('\n', " "));
            found.extend(spans.filter(|span| begins(span)));
        }
    }
    found
}

/// The words of a command, with values for what stands for one.
fn words(command: &str) -> Vec<String> {
    let value =
        |word: &str| PLACEHOLDERS.iter().find(|(name, _)| *name == word).map_or(word, |(_, value)| value).to_owned();
    command.split_whitespace().map(value).collect()
}

/// A command alone, as `pinfold learn` in a sentence: it names what there is, and asks for nothing.
fn is_a_name(words: &[String]) -> bool {
    let mut command = Arguments::command();
    words[1..].iter().all(|word| match command.find_subcommand(word) {
        Some(inner) => {
            command = inner.clone();
            true
        }
        None => word == "...",
    })
}

#[test]
fn every_command_named_can_be_given() {
    let all: BTreeSet<String> = texts().iter().flat_map(|text| commands(text)).collect();
    assert!(all.len() > 30, "only {} commands", all.len());
    for command in all {
        let words = words(&command);
        if is_a_name(&words) {
            continue;
        }
        if let Err(error) = Arguments::try_parse_from(&words) {
            let ends = [clap::error::ErrorKind::DisplayHelp, clap::error::ErrorKind::DisplayVersion];
            assert!(ends.contains(&error.kind()), "«{command}» can't be given: {error}");
        }
    }
}
