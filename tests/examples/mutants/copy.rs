//! The copy of the project that has all changes in it, and what is kept beside it.

mod constant;

use std::{
    collections::HashSet,
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use pinfold_tests::copied::{bring_up_to_date, put};
use serde_json::Value;

use crate::{
    change::{Change, Changer},
    held::Outcome,
};

/// What stands in core in place of a choice: which change is chosen is in the environment.
const QUESTION: &str = include_str!("question.rs");

/// Lints are no matter here, and neither is what is never used.
const NO_LINTS: &str = "--cap-lints=allow";

pub(crate) struct Copy {
    /// The project's own folder.
    root: PathBuf,
    pub(crate) folder: PathBuf,
    pub(crate) target: PathBuf,
    pub(crate) outcomes: PathBuf,
    pub(crate) reached: PathBuf,
    impossible: PathBuf,
    progress: PathBuf,
}

/// A file of core.
struct Source {
    /// Where it is below core/src.
    below: PathBuf,
    text: String,
    /// Nothing is changed in what is there for tests alone.
    for_tests: bool,
}

/// Core as it is, and which of its functions can't be changed.
struct Sources {
    files: Vec<Source>,
    constant: HashSet<String>,
}

impl Sources {
    fn read(root: &Path) -> Self {
        let core = root.join("core/src");
        let paths = constant::files(&core);
        let for_tests = constant::for_tests(&paths);
        let source = |path: &PathBuf| Source {
            below: path.strip_prefix(&core).expect("below core/src").to_owned(),
            text: fs::read_to_string(path).expect("a text"),
            for_tests: for_tests.contains(path),
        };
        Self { files: paths.iter().map(source).collect(), constant: constant::functions(root) }
    }
}

impl Source {
    fn changed(&self, changer: &mut Changer<'_>) -> String {
        if self.for_tests { self.text.clone() } else { changer.changed(&self.below.to_string_lossy(), &self.text) }
    }
}

impl Copy {
    pub(crate) fn new(root: &Path) -> Self {
        let all = root.join("target/mutants");
        let folder = all.join("copy");
        fs::create_dir_all(&folder).expect("a folder");
        bring_up_to_date(root, &folder, |name| !(name.starts_with("core/src/") && name.ends_with(".rs")));
        let [target, outcomes, reached, impossible, progress] =
            ["target", "outcomes.txt", "reached.json", "impossible.txt", "progress.txt"].map(|name| all.join(name));
        let _ = fs::remove_file(&progress);
        Self { root: root.to_owned(), folder, target, outcomes, reached, impossible, progress }
    }

    /// Puts every change into core that compiles.
    pub(crate) fn changed(&self) -> Vec<Change> {
        let sources = Sources::read(&self.root);
        let known = fs::read_to_string(&self.impossible).unwrap_or_default();
        let mut impossible: HashSet<String> = known.lines().map(str::to_owned).collect();
        loop {
            let changes = self.written(&sources, &impossible);
            let wrong = self.wrong(&changes);
            if wrong.is_empty() {
                return changes;
            }
            println!("{} changes don't compile", wrong.len());
            impossible.extend(wrong);
            let mut lines: Vec<&str> = impossible.iter().map(String::as_str).collect();
            lines.sort_unstable();
            fs::write(&self.impossible, lines.join("\n")).expect("written");
        }
    }

    fn written(&self, sources: &Sources, impossible: &HashSet<String>) -> Vec<Change> {
        let mut changer = Changer::new(impossible, &sources.constant);
        let texts: Vec<(&Source, String)> =
            sources.files.iter().map(|source| (source, source.changed(&mut changer))).collect();
        let question = QUESTION.replace("0 /* how many */", &changer.changes.len().to_string());
        for (Source { below, .. }, text) in texts {
            let text = if below == Path::new("lib.rs") { format!("{text}\n{question}") } else { text };
            put(&self.folder.join("core/src").join(below), text.as_bytes());
        }
        changer.changes
    }

    /// The changes that the compiler doesn't take.
    fn wrong(&self, changes: &[Change]) -> HashSet<String> {
        let mut wrong = HashSet::new();
        for message in self.cargo(&["check", "--package", "pinfold-core"]) {
            let message = &message["message"];
            if message["level"] != "error" {
                continue;
            }
            let spans = message["spans"].as_array().cloned().unwrap_or_default();
            let found: Vec<usize> = spans.iter().flat_map(|span| self.questions_at(span)).collect();
            let said = message["rendered"].as_str().unwrap_or_default();
            assert!(!found.is_empty() || spans.is_empty(), "core doesn't compile, and not because of a change: {said}");
            wrong.extend(found.into_iter().map(|number| changes[number].key()));
        }
        wrong
    }

    /// The numbers of the changes in the lines that the compiler speaks of, or just above them.
    fn questions_at(&self, span: &Value) -> Vec<usize> {
        let text =
            fs::read_to_string(self.folder.join(span["file_name"].as_str().unwrap_or_default())).unwrap_or_default();
        let line = |key: &str| usize::try_from(span[key].as_u64().unwrap_or(1)).expect("a line");
        let lines: Vec<&str> = text.lines().collect();
        let within = |from: usize, to: usize| -> Vec<usize> {
            lines.get(from..to.min(lines.len())).unwrap_or_default().iter().flat_map(|line| numbers(line)).collect()
        };
        let (from, to) = (line("line_start").saturating_sub(1), line("line_end"));
        (0..8).map(|more| within(from.saturating_sub(more), to)).find(|found| !found.is_empty()).unwrap_or_default()
    }

    /// Runs cargo in the copy and reads what it says.
    pub(crate) fn cargo(&self, words: &[&str]) -> Vec<Value> {
        let output = Command::new("cargo")
            .args(words)
            .args(["--locked", "--message-format=json"])
            .env("CARGO_TARGET_DIR", &self.target)
            .env("RUSTFLAGS", NO_LINTS)
            .current_dir(&self.folder)
            .stderr(Stdio::inherit())
            .output()
            .expect("cargo starts");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        text.lines().filter_map(|line| serde_json::from_str(line).ok()).collect()
    }

    /// A line for each change that was held against its tests, for somebody who waits.
    pub(crate) fn note_progress(&self, done: usize, all: usize, key: &str, outcome: &Outcome) {
        use std::io::Write;
        let file = fs::OpenOptions::new().create(true).append(true).open(&self.progress);
        writeln!(file.expect("opened"), "{done}/{all} {key} => {}", outcome.said()).expect("written");
    }
}

fn numbers(line: &str) -> Vec<usize> {
    let after = line.split("mutants::is(").skip(1);
    after.filter_map(|rest| rest.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()).collect()
}
