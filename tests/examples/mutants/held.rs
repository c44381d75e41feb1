//! What became of each change.

use std::{collections::BTreeMap, fs, io::Read, path::Path, process::Stdio, time::Duration};

use crate::{
    change::Change,
    programs::{Test, ended},
};

/// Tests are asked in groups: the first that together take less than this, then those that take so many times as long, and so on.
const FIRST_GROUP: Duration = Duration::from_millis(60);
const GROWTH: u32 = 4;

#[derive(Clone)]
pub(crate) enum Outcome {
    /// By this test.
    Noticed(String),
    Unnoticed,
    /// No test comes there.
    Unreached,
}

impl Outcome {
    pub(crate) fn said(&self) -> String {
        match self {
            Self::Noticed(test) => format!("noticed by {test}"),
            Self::Unnoticed => "not noticed".to_owned(),
            Self::Unreached => "not reached".to_owned(),
        }
    }

    fn read(said: &str) -> Self {
        match said.strip_prefix("noticed by ") {
            Some(test) => Self::Noticed(test.to_owned()),
            None if said == "not reached" => Self::Unreached,
            None => Self::Unnoticed,
        }
    }
}

/// By the keys of the changes.
#[derive(Default)]
pub(crate) struct Outcomes(BTreeMap<String, Outcome>);

impl Outcomes {
    pub(crate) fn read(path: &Path) -> Self {
        let text = fs::read_to_string(path).unwrap_or_default();
        let of_line = |line: &str| {
            let (key, said) = line.rsplit_once(" => ")?;
            Some((key.to_owned(), Outcome::read(said)))
        };
        Self(text.lines().filter_map(of_line).collect())
    }

    pub(crate) fn write(&self, path: &Path) {
        let lines: Vec<String> = self.0.iter().map(|(key, outcome)| format!("{key} => {}\n", outcome.said())).collect();
        fs::write(path, lines.concat()).expect("written");
    }

    pub(crate) fn take(&mut self, key: String, outcome: Outcome) {
        self.0.insert(key, outcome);
    }

    pub(crate) fn is_known(&self, key: &str) -> bool {
        self.0.contains_key(key)
    }

    pub(crate) fn is_noticed(&self, key: &str) -> bool {
        matches!(self.0.get(key), Some(Outcome::Noticed(_)))
    }

    pub(crate) fn is_reached(&self, key: &str) -> bool {
        !matches!(self.0.get(key), Some(Outcome::Unreached))
    }

    pub(crate) fn by(&self, key: &str) -> &str {
        match self.0.get(key) {
            Some(Outcome::Noticed(test)) => test,
            _ => "nothing",
        }
    }
}

/// Holds a change against the tests that come to it, for as long as is asked: the unit tests beside it first, then those that are
/// quick and come to little else.
pub(crate) fn against(change: &Change, tests: &[Test], within: Duration) -> Outcome {
    let mut coming: Vec<&Test> = tests.iter().filter(|test| test.reached.contains(&change.number)).collect();
    if coming.is_empty() {
        return Outcome::Unreached;
    }
    let own = module(&change.file);
    coming.sort_by_key(|test| {
        let elsewhere = !test.name.starts_with(&own);
        (elsewhere, test.took.as_micros().saturating_mul(test.reached.len() as u128))
    });
    let (mut group, mut taken, mut limit) = (Vec::new(), Duration::ZERO, FIRST_GROUP);
    for (number, test) in coming.iter().enumerate() {
        group.push(*test);
        taken += test.took;
        let last = number + 1 == coming.len() || taken > within;
        if taken < limit && !last {
            continue;
        }
        if let Some(test) = by_program(&group).iter().find_map(|tests| failing(change.number, tests)) {
            return Outcome::Noticed(test);
        }
        if last {
            break;
        }
        group.clear();
        limit *= GROWTH;
    }
    Outcome::Unnoticed
}

/// How the names of the unit tests of a file begin.
fn module(file: &str) -> String {
    let path = file.trim_end_matches(".rs").trim_end_matches("/mod").replace('/', "::");
    format!("{path}::tests::")
}

fn by_program<'t>(tests: &[&'t Test]) -> Vec<Vec<&'t Test>> {
    let mut groups: BTreeMap<&Path, Vec<&Test>> = BTreeMap::new();
    for test in tests {
        groups.entry(&test.program.path).or_default().push(test);
    }
    groups.into_values().collect()
}

/// The first of some tests of one program that fails.
fn failing(number: usize, tests: &[&Test]) -> Option<String> {
    let program = &tests[0].program;
    let names: Vec<&str> = tests.iter().map(|test| test.name.as_str()).collect();
    let took: Duration = tests.iter().map(|test| test.took).sum();
    let mut command = program.command(&names);
    let mut child =
        command.env("PINFOLD_MUTANT", number.to_string()).stdout(Stdio::piped()).spawn().expect("it starts");
    let mut out = child.stdout.take().expect("a pipe");
    let reader = std::thread::spawn(move || {
        let mut bytes = Vec::new();
        let _ = out.read_to_end(&mut bytes);
        String::from_utf8_lossy(&bytes).into_owned()
    });
    let passed = ended(child, took * 10 + Duration::from_secs(10));
    if passed == Some(true) {
        return None;
    }
    let said = reader.join().unwrap_or_default();
    let last = said
        .lines()
        .filter_map(|line| line.strip_prefix("test "))
        .rfind(|line| !line.ends_with("... ok") && !line.starts_with("result: "));
    let test = last.and_then(|line| line.split(" ...").next()).unwrap_or("a test");
    let why = if passed.is_none() { ", which doesn't end" } else { "" };
    Some(format!("{test} of {}{why}", program.name()))
}
