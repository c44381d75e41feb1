//! Puts the mistakes of faults.toml into a copy of the project, one at a time, and tells which test notices each.

use std::{
    fs,
    path::Path,
    process::{Command, ExitCode},
};

use pinfold_tests::copied::{bring_up_to_date, put};
use serde::Deserialize;

/// A mistake.
#[derive(Deserialize)]
struct Fault {
    name: String,
    file: String,
    from: String,
    to: String,
    /// The program of tests that is asked after those of core, where one is known to notice it: the whole takes longer.
    program: Option<String>,
}

/// All of them.
#[derive(Deserialize)]
struct Faults {
    fault: Vec<Fault>,
}

/// What became of a mistake.
enum Outcome {
    Noticed(String),
    NotNoticed,
    /// It is no mistake that could be made: it doesn't compile.
    NoProgram(String),
}

fn main() -> ExitCode {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the project");
    let text = fs::read_to_string(root.join("tests/faults.toml")).expect("the list");
    let faults: Faults = toml::from_str(&text).expect("the list is TOML");
    let copy = root.join("target/seeded-faults");
    fs::create_dir_all(&copy).expect("a folder");
    bring_up_to_date(root, &copy, |_| true);
    let mut left = 0;
    for fault in &faults.fault {
        let outcome = tried(&copy, fault);
        left += usize::from(!matches!(outcome, Outcome::Noticed(_)));
        println!("{}\n    {}", fault.name, said(&outcome));
    }
    println!("{} of {} noticed", faults.fault.len() - left, faults.fault.len());
    if left == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn said(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Noticed(test) => format!("noticed by {test}"),
        Outcome::NotNoticed => "NOT NOTICED".to_owned(),
        Outcome::NoProgram(why) => format!("DOESN'T COMPILE: {why}"),
    }
}

fn tried(copy: &Path, fault: &Fault) -> Outcome {
    let path = copy.join("core/src").join(&fault.file);
    let right = fs::read_to_string(&path).expect("a file of core");
    assert_eq!(right.matches(&fault.from).count(), 1, "`from` of {} must stand once in {}", fault.name, fault.file);
    put(&path, right.replacen(&fault.from, &fault.to, 1).as_bytes());
    let outcome = tested(copy, fault);
    put(&path, right.as_bytes());
    outcome
}

/// Runs the ordinary tests, up to the first program that fails: those of core, which are built in a moment, then the one that is
/// known to notice the mistake, then all.
fn tested(copy: &Path, fault: &Fault) -> Outcome {
    let core: &[&str] = &["--package", "pinfold-core", "--lib"];
    let known = fault.program.as_ref().map(|program| ["--package", "pinfold-tests", "--test", program]);
    let whole = &["--package", "pinfold-core", "--package", "pinfold-tests", "--lib", "--tests"];
    let all = [Some(core), known.as_ref().map(|known| &known[..]), Some(whole)];
    let mut outcomes = all.into_iter().flatten().map(|which| run(copy, which));
    outcomes.find(|outcome| !matches!(outcome, Outcome::NotNoticed)).unwrap_or(Outcome::NotNoticed)
}

fn run(copy: &Path, which: &[&str]) -> Outcome {
    let output =
        Command::new("cargo").args(["test", "--locked"]).args(which).current_dir(copy).output().expect("cargo starts");
    let [out, err] = [output.stdout, output.stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
    if output.status.success() {
        return Outcome::NotNoticed;
    }
    let failed = out.lines().filter_map(|line| line.strip_prefix("test ")?.strip_suffix(" ... FAILED"));
    match (failed.collect::<Vec<_>>().join(", "), err.lines().find(|line| line.starts_with("error"))) {
        (tests, Some(program)) if !tests.is_empty() => Outcome::Noticed(format!("{tests} ({})", program_of(program))),
        (_, why) => Outcome::NoProgram(why.unwrap_or("no reason").to_owned()),
    }
}

/// Which program of tests failed, by cargo's own words.
fn program_of(error: &str) -> &str {
    error.split('`').nth(1).unwrap_or(error)
}
