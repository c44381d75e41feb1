//! Every input that fuzzing keeps, and changes of them by chance, without a fuzzer: the targets that are about the
//! core. Those about text are in the command's package.
//!
//! `PINFOLD_FUZZ_SECONDS` says for how long each target gets changed inputs, `PINFOLD_FUZZ_SEED` which ones.

use std::{env, fs, time::Duration};

use pinfold_tests::fuzz::{TARGETS, kept};

fn number(name: &str, otherwise: u64) -> u64 {
    env::var(name).ok().and_then(|value| value.parse().ok()).unwrap_or(otherwise)
}

/// Replays a target and goes on from there.
fn hold(name: &str) {
    let target = TARGETS.into_iter().find(|target| target.name == name).expect("a target");
    kept::replay(target);
    let time = Duration::from_secs(number("PINFOLD_FUZZ_SECONDS", 1));
    assert!(kept::vary(target, number("PINFOLD_FUZZ_SEED", 1), time) > 0);
}

macro_rules! targets {
    ($($name:ident)*) => {
        $(#[test]
        fn $name() {
            hold(stringify!($name));
        })*

        /// All that have a test here.
        const HELD: &[&str] = &[$(stringify!($name)),*];
    };
}

targets! {
    packed_route
    packed_limits
    packed_verdict
    predicates
    checker_space
    checker_energy
    interlock_events
    link_frames
    link_session
    limits_power_cuts
}

#[test]
fn every_target_is_replayed() {
    assert!(TARGETS.iter().map(|target| target.name).eq(HELD.iter().copied()));
}

#[test]
fn the_inputs_that_are_kept_are_those_of_targets() {
    let stems = |folder: &str| -> Vec<String> {
        // Before the first finding there is no folder for them.
        let Ok(files) = fs::read_dir(kept::folder().join(folder)) else { return Vec::new() };
        let mut stems: Vec<_> = files
            .map(|file| file.expect("a file").path().file_stem().expect("a name").to_string_lossy().into_owned())
            .collect();
        stems.sort();
        stems
    };
    let targets = stems("fuzz_targets");
    let ours = TARGETS.iter().all(|target| targets.iter().any(|name| name == target.name));
    assert!(ours, "a target isn't fuzzed: {targets:?}");
    assert_eq!(stems("seeds"), targets, "targets without seeds, or seeds without a target");
    for folder in ["corpus", "findings"] {
        assert!(stems(folder).iter().all(|name| targets.contains(name)), "{folder}");
    }
}
