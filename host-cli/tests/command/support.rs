//! Running the command on copies of the example.

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

/// The example's folder.
pub(crate) fn example() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("example")
}

/// What a run of the command gave.
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the command in a folder.
pub(crate) fn pinfold(folder: &Path, arguments: &[&str]) -> Run {
    let command = Command::new(env!("CARGO_BIN_EXE_pinfold"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("CLICOLOR_FORCE")
        .output()
        .expect("the command starts");
    let Output { status, stdout, stderr } = command;
    let text = |bytes| String::from_utf8(bytes).expect("UTF-8");
    Run { code: status.code().expect("an exit code, not a signal"), out: text(stdout), err: text(stderr) }
}

/// A folder with a copy of the example in it.
pub(crate) struct Copy {
    folder: tempfile::TempDir,
}

impl Copy {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        for name in ["route.toml", "in-flight.toml", "limits.toml", "site.geojson", "ground.asc"] {
            fs::copy(example().join(name), folder.path().join(name)).expect("a copy");
        }
        Self { folder }
    }

    /// The example with nothing about the ground in its limits.
    pub(crate) fn without_ground() -> Self {
        let copy = Self::new();
        let lines = ["ceiling_above_ground_m = 70.0\n", "ground_clearance_m = 5.0\n", "ground = \"ground.asc\"\n"];
        lines.into_iter().fold(copy, |copy, line| copy.edit("limits.toml", line, ""))
    }

    pub(crate) fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Replaces the first place of `old` in a file, which must be there.
    pub(crate) fn edit(self, file: &str, old: &str, new: &str) -> Self {
        let path = self.path().join(file);
        let text = fs::read_to_string(&path).expect("text");
        assert!(text.contains(old), "{file} has no {old}");
        fs::write(path, text.replacen(old, new, 1)).expect("written");
        self
    }

    /// Writes a file.
    pub(crate) fn with(self, file: &str, bytes: impl AsRef<[u8]>) -> Self {
        fs::write(self.path().join(file), bytes).expect("written");
        self
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Run {
        pinfold(self.path(), arguments)
    }

    /// Checks the copied route against the copied limits.
    pub(crate) fn check(&self) -> Run {
        self.check_with(&[])
    }

    /// The same, as JSON.
    pub(crate) fn check_json(&self) -> (i32, serde_json::Value) {
        let run = self.check_with(&["--json"]);
        (run.code, serde_json::from_str(&run.out).expect("JSON"))
    }

    /// Checks the copied route against the copied limits with more arguments.
    pub(crate) fn check_with(&self, more: &[&str]) -> Run {
        self.run(&[&["check", "route.toml", "--limits", "limits.toml"], more].concat())
    }

    /// Demands that the check ends with exit code 2 and a message with all these parts.
    pub(crate) fn is_unusable(&self, parts: &[&str]) {
        let run = self.check();
        assert_eq!(run.code, 2, "{}{}", run.out, run.err);
        assert_eq!(run.out, "", "nothing is printed as if it were a verdict");
        for part in parts {
            assert!(run.err.contains(part), "no «{part}» in:\n{}", run.err);
        }
        let (code, json) = self.check_json();
        assert_eq!(code, 2);
        assert!(json["error"]["say"].is_string() && json["error"]["file"].is_string(), "{json}");
    }

    /// Demands a Go.
    pub(crate) fn is_go(&self) {
        let run = self.check();
        assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    }

    /// Demands a No-go with a stop by this rule at this step.
    pub(crate) fn is_stopped_by(&self, rule: &str, step: Option<u64>) {
        let (code, json) = self.check_json();
        assert_eq!(code, 1, "{json:#}");
        let stops = json["findings"].as_array().expect("a list").iter().filter(|finding| finding["severity"] == "stop");
        let found = stops.filter(|finding| finding["rule"] == rule && finding["step"].as_u64() == step).count();
        assert_eq!(found, 1, "no stop by {rule} at {step:?} in {json:#}");
    }
}

/// The sentence of a rule's finding.
pub(crate) fn said(json: &serde_json::Value, rule: &str) -> String {
    let findings = json["findings"].as_array().expect("a list");
    let found =
        findings.iter().find(|finding| finding["rule"] == rule).unwrap_or_else(|| panic!("no {rule}: {json:#}"));
    found["say"].as_str().expect("a text").to_owned()
}

/// Demands that a sentence has all these parts.
pub(crate) fn has(said: &str, parts: &[&str]) {
    for part in parts {
        assert!(said.contains(part), "no «{part}» in «{said}»");
    }
}

/// Demands that the guide shows a command and all that it prints, where it can't be run from there.
pub(crate) fn shown_in_guide(command: &str, run: &Run) {
    let guide = fs::read_to_string(example().join("../docs/guide.md")).expect("text");
    let block = format!("\n```text\n$ pinfold {command}\n{}```\n", run.out);
    assert!(guide.contains(&block), "the guide has no block{block}");
}
