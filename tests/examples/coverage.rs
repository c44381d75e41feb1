//! Reads how often which line and branch of core was run, and tells what wasn't and isn't explained.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
    process::ExitCode,
};

use serde::Deserialize;

#[derive(Deserialize)]
struct Explained {
    #[serde(default)]
    not_run: Vec<Entry>,
}

#[derive(Deserialize)]
struct Entry {
    file: String,
    lines: Vec<String>,
    reason: String,
}

/// How often the lines and branches of a file were run. Lines from 1.
#[derive(Default)]
struct File {
    lines: BTreeMap<usize, u64>,
    /// By line and by what the compiler calls the branch.
    branches: BTreeMap<(usize, String), u64>,
}

/// Lines of a file that aren't run, or have a branch that isn't, with their texts.
struct Missing {
    line: usize,
    text: String,
    what: String,
}

fn main() -> ExitCode {
    let path = std::env::args().nth(1).expect("the figures");
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the project");
    let text = fs::read_to_string(root.join("tests/coverage.toml")).expect("the list");
    let explained: Explained = toml::from_str(&text).expect("the list is TOML");
    assert!(explained.not_run.iter().all(|entry| !entry.reason.is_empty()), "a reason for each");
    let core = root.join("core/src");
    let (mut lines, mut branches, mut open) = (Share::default(), Share::default(), 0);
    let mut unneeded: BTreeSet<(&str, &str)> =
        explained.not_run.iter().flat_map(|entry| entry.lines.iter().map(|line| (&*entry.file, &**line))).collect();
    for (path, file) in read(&fs::read_to_string(path).expect("a text")) {
        let Ok(below) = path.strip_prefix(&core) else { continue };
        let name = below.to_string_lossy().into_owned();
        let source = fs::read_to_string(&path).expect("a text");
        let file = file.without_tests(&source);
        lines.add(file.lines.values());
        branches.add(file.branches.values());
        for Missing { line, text, what } in file.missing(&source) {
            let entry = explained.not_run.iter().find(|entry| entry.file == name && entry.lines.contains(&text));
            unneeded.retain(|(file, line)| *file != name || *line != text);
            if entry.is_none() {
                open += 1;
                println!("{name}:{line}: {what}: {text}");
            }
        }
    }
    for (file, line) in &unneeded {
        println!("run, or no longer there, so it needs no explanation: {file}: {line}");
    }
    println!("Lines of core that are run: {lines}. Branches: {branches}. Not run and not explained: {open}.");
    if open == 0 && unneeded.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// How many of how many.
#[derive(Default)]
struct Share {
    run: usize,
    all: usize,
}

impl Share {
    fn add<'c>(&mut self, counts: impl Iterator<Item = &'c u64>) {
        for count in counts {
            self.all += 1;
            self.run += usize::from(*count > 0);
        }
    }
}

impl std::fmt::Display for Share {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // In thousandths, rounded down: all is only said of all.
        let thousandths = self.run * 1000 / self.all.max(1);
        write!(out, "{} of {} ({}.{} %)", self.run, self.all, thousandths / 10, thousandths % 10)
    }
}

impl File {
    /// Without the unit tests, which stand at the end.
    fn without_tests(mut self, source: &str) -> Self {
        let end = source.lines().position(|line| line == "#[cfg(test)]").map_or(usize::MAX, |line| line + 1);
        self.lines.retain(|line, _| *line < end);
        self.branches.retain(|(line, _), _| *line < end);
        self
    }

    fn missing(&self, source: &str) -> Vec<Missing> {
        let texts: Vec<&str> = source.lines().collect();
        let text = |line: usize| texts.get(line - 1).copied().unwrap_or_default().trim().to_owned();
        let lines = self.lines.iter().filter(|(_, count)| **count == 0).map(|(line, _)| (*line, "not run"));
        let run = |line: &usize| self.lines.get(line).is_none_or(|count| *count > 0);
        let branches = self.branches.iter().filter(|((line, _), count)| **count == 0 && run(line));
        let branches = branches.map(|((line, _), _)| (*line, "a branch is never taken"));
        let all: BTreeMap<usize, &str> = branches.chain(lines).collect();
        all.into_iter().map(|(line, what)| Missing { line, text: text(line), what: what.to_owned() }).collect()
    }
}

/// Files of LCOV's trace format: `SF` names one, `DA` a line and how often it was run, `BRDA` a branch of a line.
fn read(trace: &str) -> BTreeMap<PathBuf, File> {
    let mut files: BTreeMap<PathBuf, File> = BTreeMap::new();
    let mut path = PathBuf::new();
    for (key, value) in trace.lines().filter_map(|line| line.split_once(':')) {
        let parts: Vec<&str> = value.split(',').collect();
        let count = |text: &str| text.parse::<u64>().unwrap_or(0);
        let file = files.entry(path.clone()).or_default();
        match (key, &*parts) {
            ("SF", _) => path = PathBuf::from(value),
            ("DA", [line, runs, ..]) => {
                let known = file.lines.entry(line.parse().expect("a line")).or_default();
                *known = (*known).max(count(runs));
            }
            // Of a branch of generic code there is one for each type: it is run if one of them is.
            ("BRDA", [line, block, branch, taken]) => {
                let known =
                    file.branches.entry((line.parse().expect("a line"), format!("{block} {branch}"))).or_default();
                *known = (*known).max(count(taken));
            }
            _ => {}
        }
    }
    files
}
