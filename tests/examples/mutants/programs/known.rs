//! Which test comes to which change, kept for as long as the programs are the same.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::Arc,
    time::Duration,
};

use serde::{Deserialize, Serialize};

use super::{Program, Test};

#[derive(Serialize, Deserialize)]
struct Kept {
    /// Every program, and when it was built.
    programs: Vec<(PathBuf, u128)>,
    /// How long a test might take.
    within: Duration,
    tests: Vec<KeptTest>,
}

#[derive(Serialize, Deserialize)]
struct KeptTest {
    /// Which of the programs.
    program: usize,
    name: String,
    took: Duration,
    reached: Vec<usize>,
}

pub(super) struct Known<'a> {
    programs: &'a [Arc<Program>],
    within: Duration,
    file: &'a Path,
}

impl<'a> Known<'a> {
    pub(super) fn of(programs: &'a [Arc<Program>], within: Duration, file: &'a Path) -> Self {
        Self { programs, within, file }
    }

    fn built(&self) -> Vec<(PathBuf, u128)> {
        let built = |program: &Arc<Program>| {
            let time = fs::metadata(&program.path).and_then(|data| data.modified()).expect("a program");
            let since = time.duration_since(std::time::UNIX_EPOCH).expect("a time of today");
            (program.path.clone(), since.as_nanos())
        };
        self.programs.iter().map(built).collect()
    }

    pub(super) fn read(&self) -> Option<Vec<Test>> {
        let kept: Kept = serde_json::from_slice(&fs::read(self.file).ok()?).ok()?;
        let test = |test: KeptTest| {
            let program = self.programs.get(test.program)?.clone();
            Some(Test { program, name: test.name, took: test.took, reached: test.reached.into_iter().collect() })
        };
        (kept.programs == self.built() && kept.within >= self.within)
            .then(|| kept.tests.into_iter().filter_map(test).collect())
    }

    pub(super) fn write(&self, tests: &[Test]) {
        let number = |test: &Test| self.programs.iter().position(|program| Arc::ptr_eq(program, &test.program));
        let kept = |test: &Test| KeptTest {
            program: number(test).expect("one of them"),
            name: test.name.clone(),
            took: test.took,
            reached: test.reached.iter().copied().collect(),
        };
        let all = Kept { programs: self.built(), within: self.within, tests: tests.iter().map(kept).collect() };
        fs::write(self.file, serde_json::to_vec(&all).expect("JSON")).expect("written");
    }
}
