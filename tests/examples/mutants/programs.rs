//! The programs of tests, and which of their tests comes to which change.

mod known;

use std::{
    collections::HashSet,
    fs,
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    sync::{Arc, Mutex},
    thread,
    time::{Duration, Instant},
};

use crate::{at_once, copy::Copy};

pub(crate) struct Program {
    pub(crate) path: PathBuf,
    /// The folder of its package, in which cargo would start it.
    folder: PathBuf,
}

pub(crate) struct Test {
    pub(crate) program: Arc<Program>,
    pub(crate) name: String,
    pub(crate) took: Duration,
    /// Numbers of changes.
    pub(crate) reached: HashSet<usize>,
}

impl Program {
    pub(crate) fn command(&self, tests: &[&str]) -> Command {
        let mut command = Command::new(&self.path);
        command.args(["--exact", "--test-threads=1"]).args(tests).current_dir(&self.folder);
        command.stdin(Stdio::null()).stderr(Stdio::null());
        command
    }

    /// Its name without what cargo adds.
    pub(crate) fn name(&self) -> String {
        let file = self.path.file_name().expect("a file").to_string_lossy();
        file.rsplit_once('-').map_or(file.to_string(), |(name, _)| name.to_owned())
    }

    fn listed(&self, more: &[&str]) -> Vec<String> {
        let output =
            Command::new(&self.path).args(["--list", "--format=terse"]).args(more).output().expect("it starts");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        text.lines().filter_map(|line| line.strip_suffix(": test")).map(str::to_owned).collect()
    }
}

/// All tests that pass, end within a time and come to any change: those of the unit tests of core, or all.
pub(crate) fn tests(copy: &Copy, unit: bool, within: Duration) -> Vec<Test> {
    let programs: Vec<Arc<Program>> = programs(copy, unit).into_iter().map(Arc::new).collect();
    let known = known::Known::of(&programs, within, &copy.reached);
    if let Some(tests) = known.read() {
        return tests;
    }
    let mut tests = asked(&programs, copy, within);
    tests.retain(|test| !test.reached.is_empty());
    tests.sort_by_key(|test| test.took);
    known.write(&tests);
    tests
}

fn asked(programs: &[Arc<Program>], copy: &Copy, within: Duration) -> Vec<Test> {
    let named: Vec<(&Arc<Program>, String)> = programs
        .iter()
        .flat_map(|program| {
            let ignored = program.listed(&["--ignored"]);
            let all = program.listed(&[]);
            all.into_iter().filter(move |name| !ignored.contains(name)).map(move |name| (program, name))
        })
        .collect();
    let found = Mutex::new(Vec::new());
    at_once::for_each(&named, |number, (program, name)| {
        let test = tried(program, name, within, &copy.folder.join(format!("../reached-{number}")));
        found.lock().expect("no worker panicked").extend(test);
    });
    found.into_inner().expect("no worker panicked")
}

/// Runs a test with no change chosen, and takes down what it comes to.
fn tried(program: &Arc<Program>, name: &str, within: Duration, file: &Path) -> Option<Test> {
    let _ = fs::remove_file(file);
    let begin = Instant::now();
    let mut command = program.command(&[name]);
    // No change has this number.
    command.env("PINFOLD_MUTANT", usize::MAX.to_string()).env("PINFOLD_MUTANTS_REACHED", file).stdout(Stdio::null());
    let passed = ended(command.spawn().expect("it starts"), within);
    let bytes = fs::read(file).unwrap_or_default();
    let _ = fs::remove_file(file);
    if passed != Some(true) {
        println!(
            "not asked, since it {}: {name} of {}",
            if passed.is_none() { "takes long" } else { "fails" },
            program.name()
        );
        return None;
    }
    let number = |four: &[u8]| u32::from_le_bytes(four.try_into().expect("four bytes")) as usize;
    let reached = bytes.chunks_exact(4).map(number).collect();
    Some(Test { program: program.clone(), name: name.to_owned(), took: begin.elapsed(), reached })
}

/// Waits for a program's end: whether it ended well; `None` where it had to be stopped.
pub(crate) fn ended(mut child: Child, within: Duration) -> Option<bool> {
    let begin = Instant::now();
    let mut pause = Duration::from_millis(1);
    loop {
        if let Some(status) = child.try_wait().expect("it can be waited for") {
            return Some(status.success());
        }
        if begin.elapsed() > within {
            let _ = child.kill();
            let _ = child.wait();
            return None;
        }
        thread::sleep(pause);
        pause = (pause * 2).min(Duration::from_millis(50));
    }
}

/// Builds all programs of tests.
fn programs(copy: &Copy, unit: bool) -> Vec<Program> {
    let which: &[&str] =
        if unit { &["--package", "pinfold-core", "--lib"] } else { &["--workspace", "--lib", "--bins", "--tests"] };
    let said = copy.cargo(&[&["test", "--no-run"], which].concat());
    let built = said.iter().filter(|message| message["profile"]["test"] == true);
    let mut programs: Vec<Program> = built
        .filter_map(|message| {
            let path = PathBuf::from(message["executable"].as_str()?);
            let folder = Path::new(message["manifest_path"].as_str()?).parent()?.to_owned();
            Some(Program { path, folder })
        })
        .collect();
    assert!(!programs.is_empty(), "nothing was built");
    programs.sort_by(|one, other| one.path.cmp(&other.path));
    programs
}
