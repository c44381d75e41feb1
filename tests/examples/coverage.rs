//! Reads how often which line and branch of core was run, and tells what wasn't and isn't explained.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    ops::Range,
    path::{Path, PathBuf},
    process::ExitCode,
};

use serde::Deserialize;

#[derive(Deserialize)]
struct Explained {
    #[serde(default)]
    not_run: Vec<Entry>,
}

/// Lines by their texts, and functions by their first lines.
#[derive(Deserialize)]
struct Entry {
    file: String,
    #[serde(default)]
    lines: Vec<String>,
    #[serde(default)]
    functions: Vec<String>,
    reason: String,
}

/// How often the lines and branches of a file were run. Lines from 1.
#[derive(Default)]
struct File {
    lines: BTreeMap<usize, u64>,
    /// By line and by what the compiler calls the branch.
    branches: BTreeMap<(usize, String), u64>,
}

/// A line of a file that isn't run, or has a branch that isn't.
struct Missing {
    line: usize,
    what: &'static str,
}

fn main() -> ExitCode {
    let path = std::env::args().nth(1).expect("the figures");
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the project");
    let text = fs::read_to_string(root.join("tests/coverage.toml")).expect("the list");
    let explained: Explained = toml::from_str(&text).expect("the list is TOML");
    assert!(explained.not_run.iter().all(|entry| !entry.reason.is_empty()), "a reason for each");
    let core = root.join("core/src");
    let (mut lines, mut branches, mut open) = (Share::default(), Share::default(), 0);
    let mut needed = BTreeSet::new();
    for (path, file) in read(&fs::read_to_string(path).expect("a text")) {
        let Ok(below) = path.strip_prefix(&core) else { continue };
        let name = below.to_string_lossy().into_owned();
        if is_for_tests_alone(&path) {
            continue;
        }
        let source = Source::read(&path);
        let file = file.without_tests(&source);
        lines.add(file.lines.values());
        branches.add(file.branches.values());
        for Missing { line, what } in file.missing() {
            match explained.not_run.iter().find_map(|entry| entry.explains(&name, &source, line)) {
                Some(by) => {
                    needed.insert(by);
                }
                None => {
                    open += 1;
                    println!("{name}:{line}: {what}: {}", source.line(line));
                }
            }
        }
    }
    let all = explained.not_run.iter().flat_map(Entry::all);
    let unneeded: Vec<_> = all.filter(|entry| !needed.contains(entry)).collect();
    for (file, text) in &unneeded {
        println!("run, or no longer there, so it needs no explanation: {file}: {text}");
    }
    println!("Lines of core that are run: {lines}. Branches: {branches}. Not run and not explained: {open}.");
    if open == 0 && unneeded.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

impl Entry {
    /// By which file and text a line is explained, if it is.
    fn explains(&self, file: &str, source: &Source, line: usize) -> Option<(&str, &str)> {
        let own = self.lines.iter().find(|text| *text == source.line(line));
        let within = || self.functions.iter().find(|text| source.function(text).contains(&line));
        let by = own.or_else(within).filter(|_| self.file == file)?;
        Some((&self.file, by))
    }

    fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.lines.iter().chain(&self.functions).map(|text| (&*self.file, &**text))
    }
}

/// A file's lines, from 1.
struct Source(Vec<String>);

impl Source {
    fn read(path: &Path) -> Self {
        Self(fs::read_to_string(path).expect("a text").lines().map(str::to_owned).collect())
    }

    fn line(&self, line: usize) -> &str {
        self.0.get(line - 1).map_or("", |text| text.trim())
    }

    /// The lines of a function that begins with this one; it ends with the bracket that stands where it begins.
    fn function(&self, first: &str) -> Range<usize> {
        let Some(start) = self.0.iter().position(|text| text.trim() == first) else { return 0..0 };
        let indent = self.0[start].len() - self.0[start].trim_start().len();
        let end = format!("{}}}", " ".repeat(indent));
        let length = self.0[start..].iter().position(|text| *text == end).map_or(1, |length| length + 1);
        start + 1..start + 1 + length
    }
}

/// Whether a file is a module that only tests have.
fn is_for_tests_alone(path: &Path) -> bool {
    let folder = path.parent().expect("a folder");
    let module = path.file_stem().expect("a name").to_string_lossy().into_owned();
    let parents = [folder.join("mod.rs"), folder.with_extension("rs"), folder.join("lib.rs")];
    let texts = parents.iter().filter_map(|parent| fs::read_to_string(parent).ok());
    texts.into_iter().any(|text| {
        let lines: Vec<&str> = text.lines().collect();
        lines.windows(2).any(|pair| pair[0] == "#[cfg(test)]" && pair[1].ends_with(&format!("mod {module};")))
    })
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
    fn without_tests(mut self, source: &Source) -> Self {
        let begins = |pair: &[String]| pair[0] == "#[cfg(test)]" && pair[1] == "mod tests {";
        let end = source.0.windows(2).position(begins).map_or(usize::MAX, |line| line + 1);
        self.lines.retain(|line, _| *line < end);
        self.branches.retain(|(line, _), _| *line < end);
        self
    }

    fn missing(&self) -> impl Iterator<Item = Missing> {
        let lines = self.lines.iter().filter(|(_, count)| **count == 0).map(|(line, _)| (*line, "not run"));
        let run = |line: &usize| self.lines.get(line).is_none_or(|count| *count > 0);
        let branches = self.branches.iter().filter(|((line, _), count)| **count == 0 && run(line));
        let branches = branches.map(|((line, _), _)| (*line, "a branch is never taken"));
        let all: BTreeMap<usize, &str> = branches.chain(lines).collect();
        all.into_iter().map(|(line, what)| Missing { line, what })
    }
}

/// Files of LCOV's trace format: `SF` names one, `DA` a line and how often it was run, `BRDA` a branch of a line. The same file
/// may come more than once, from one program of tests after another: what one of them runs is run.
fn read(trace: &str) -> BTreeMap<PathBuf, File> {
    let mut files: BTreeMap<PathBuf, File> = BTreeMap::new();
    let mut path = PathBuf::new();
    for (key, value) in trace.lines().filter_map(|line| line.split_once(':')) {
        let parts: Vec<&str> = value.split(',').collect();
        let count = |text: &str| text.parse::<u64>().unwrap_or(0);
        let number = |text: &str| text.parse().expect("a line");
        match (key, &*parts) {
            ("SF", _) => path = PathBuf::from(value),
            ("DA", [line, runs, ..]) => {
                let known = files.entry(path.clone()).or_default().lines.entry(number(line)).or_default();
                *known = (*known).max(count(runs));
            }
            ("BRDA", [line, block, branch, taken]) => {
                let branches = &mut files.entry(path.clone()).or_default().branches;
                let known = branches.entry((number(line), format!("{block} {branch}"))).or_default();
                *known = (*known).max(count(taken));
            }
            _ => {}
        }
    }
    files
}
