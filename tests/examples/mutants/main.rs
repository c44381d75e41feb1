//! Changes core in one place at a time and tells which changes no test notices.
//!
//! All changes are put into one copy of the project, each behind a question whether it is the chosen one, so that all are built at
//! once; which test comes to which place is found out first, and a change is held against those tests alone, the quick ones first.

mod at_once;
mod change;
mod copy;
mod explained;
mod held;
mod programs;

use std::{path::Path, process::ExitCode, sync::Mutex, time::Duration};

use change::Change;
use held::Outcomes;

/// A test that takes longer than this by itself isn't asked.
const PATIENCE: Duration = Duration::from_secs(60);

/// What was asked for.
struct Asked {
    /// Only those that nothing noticed when this ran before, and that nothing explains.
    again: bool,
    /// Only those that weren't held against anything before: a run that was ended goes on.
    rest: bool,
    /// Only the unit tests of core are asked.
    unit: bool,
    /// How long the tests may take that a change is held against.
    within: Duration,
    /// Files of core that begin so, in this order; all if there is none.
    files: Vec<String>,
}

fn main() -> ExitCode {
    let asked = asked();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the project");
    let copy = copy::Copy::new(root);
    let changes = copy.changed();
    println!("{} changes built", changes.len());
    let before = Outcomes::read(&copy.outcomes);
    let explained = explained::read(root);
    let chosen = chosen(&changes, &asked, &before, &explained);
    let tests = programs::tests(&copy, asked.unit, asked.within.min(PATIENCE));
    println!("{} tests, {} changes to be held against them", tests.len(), chosen.len());
    let outcomes = hold(&chosen, &tests, asked.within, &copy, before);
    outcomes.write(&copy.outcomes);
    report(&chosen, &outcomes, &explained)
}

fn asked() -> Asked {
    let mut asked =
        Asked { again: false, rest: false, unit: false, within: Duration::from_secs(60), files: Vec::new() };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let seconds = (word == "--within").then(|| words.next().and_then(|word| word.parse().ok()));
        match (&*word, seconds) {
            ("--again", _) => asked.again = true,
            ("--rest", _) => asked.rest = true,
            ("--unit", _) => asked.unit = true,
            (_, Some(Some(seconds))) => asked.within = Duration::from_secs(seconds),
            (_, None) if !word.starts_with('-') => asked.files.push(word),
            _ => {
                eprintln!("usage: tests/mutants [--again] [--rest] [--unit] [--within SECONDS] [files of core/src]");
                std::process::exit(2);
            }
        }
    }
    asked
}

fn chosen<'c>(
    changes: &'c [Change], asked: &Asked, before: &Outcomes, explained: &explained::Explained,
) -> Vec<&'c Change> {
    let settled = |key: &str| before.is_noticed(key) || explained.has(key);
    let done = |key: &str| (asked.again && settled(key)) || (asked.rest && before.is_known(key));
    let open: Vec<&Change> = changes.iter().filter(|change| !done(&change.key())).collect();
    if asked.files.is_empty() {
        return open;
    }
    let place = |change: &&Change| asked.files.iter().position(|begin| change.file.starts_with(begin));
    let mut chosen: Vec<&Change> = open.into_iter().filter(|change| place(change).is_some()).collect();
    chosen.sort_by_key(place);
    chosen
}

/// Holds each change against the tests that come to it, as many at once as there are processors.
fn hold(
    changes: &[&Change], tests: &[programs::Test], within: Duration, copy: &copy::Copy, outcomes: Outcomes,
) -> Outcomes {
    let outcomes = Mutex::new(outcomes);
    at_once::for_each(changes, |number, change| {
        let outcome = held::against(change, tests, within);
        copy.note_progress(number + 1, changes.len(), &change.key(), &outcome);
        let mut outcomes = outcomes.lock().expect("no worker panicked");
        outcomes.take(change.key(), outcome);
        if number.is_multiple_of(50) {
            outcomes.write(&copy.outcomes);
        }
    });
    outcomes.into_inner().expect("no worker panicked")
}

/// Fails where a change that nothing notices isn't explained, or an explanation isn't needed.
fn report(chosen: &[&Change], outcomes: &Outcomes, explained: &explained::Explained) -> ExitCode {
    let keys: Vec<String> = chosen.iter().map(|change| change.key()).collect();
    let unnoticed: Vec<&String> = keys.iter().filter(|key| !outcomes.is_noticed(key)).collect();
    let open: Vec<&&String> = unnoticed.iter().filter(|key| !explained.has(key)).collect();
    for key in &open {
        println!("NOT NOTICED: {key}{}", if outcomes.is_reached(key) { "" } else { " (no test comes to it)" });
    }
    let noticed = |key: &String| outcomes.is_noticed(key) && explained.has(key);
    for key in keys.iter().filter(|key| noticed(key)) {
        println!("noticed by {}, so it needs no explanation: {key}", outcomes.by(key));
    }
    println!(
        "{} changes: {} noticed, {} explained, {} open",
        keys.len(),
        keys.len() - unnoticed.len(),
        unnoticed.len() - open.len(),
        open.len()
    );
    if open.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
