//! The inputs that are kept in `fuzz/`, and changes of them by chance.
//!
//! * `fuzz/seeds/TARGET`: where fuzzing begins; written by the program `fuzz-seeds` of this package.
//! * `fuzz/corpus/TARGET`: what fuzzing has found that reaches more, made as few as possible.
//! * `fuzz/findings/TARGET`: what once went wrong, under a name that says what it was.

use std::{
    fs,
    panic::{AssertUnwindSafe, catch_unwind, resume_unwind},
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use super::Target;
use crate::oracle::space::dice::Dice;

/// What the folders of inputs are called.
const FOLDERS: [&str; 3] = ["seeds", "corpus", "findings"];
/// Longest input that is made.
const LONGEST: usize = 4096;

/// An input and where it is kept.
#[derive(Clone, Debug)]
pub struct Input {
    /// Where it is.
    pub path: PathBuf,
    /// What it is.
    pub bytes: Vec<u8>,
}

/// The folder of all that is about fuzzing.
#[must_use]
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../fuzz")
}

/// All inputs that are kept for a target, in order.
///
/// # Panics
/// One of them can't be read.
#[must_use]
pub fn inputs(target: &str) -> Vec<Input> {
    let files = FOLDERS.iter().filter_map(|name| fs::read_dir(folder().join(name).join(target)).ok()).flatten();
    let mut paths: Vec<_> = files.map(|file| file.expect("a file").path()).collect();
    paths.sort();
    paths.into_iter().map(|path| Input { bytes: fs::read(&path).expect("an input"), path }).collect()
}

/// Runs a target on all that is kept for it.
///
/// # Panics
/// One of them isn't what the oracle says: its path is printed. Or there are none.
pub fn replay(target: Target) {
    let kept = inputs(target.name);
    assert!(!kept.is_empty(), "no inputs are kept for {}", target.name);
    for input in &kept {
        run(target, &input.bytes, || input.path.display().to_string());
    }
    println!("{}: {} inputs", target.name, kept.len());
}

/// Runs a target on changes of what is kept for it, for so long; how many there were.
///
/// # Panics
/// One of them isn't what the oracle says: it is printed.
pub fn vary(target: Target, seed: u64, time: Duration) -> u64 {
    let (kept, began) = (inputs(target.name), Instant::now());
    assert!(!kept.is_empty(), "no inputs are kept for {}", target.name);
    let mut case = 0;
    while began.elapsed() < time {
        let input = changed(&mut Dice::of(seed, case), &kept);
        run(target, &input, || format!("case {case} of seed {seed}: {input:02x?}"));
        case += 1;
    }
    println!("{}: {case} changed inputs", target.name);
    case
}

fn run(target: Target, bytes: &[u8], called: impl Fn() -> String) {
    catch_unwind(AssertUnwindSafe(|| (target.run)(bytes))).unwrap_or_else(|wrong| {
        println!("{}: {}", target.name, called());
        resume_unwind(wrong)
    });
}

fn below(dice: &mut Dice, count: usize) -> usize {
    usize::try_from(dice.bits() >> 8).unwrap_or(0) % count.max(1)
}

/// One of the inputs with a few changes: bytes flipped, set, left out, doubled, or taken from another input.
fn changed(dice: &mut Dice, kept: &[Input]) -> Vec<u8> {
    let mut bytes = kept[below(dice, kept.len())].bytes.clone();
    for _ in 0..1 + below(dice, 6) {
        let other = below(dice, kept.len());
        change(dice, &mut bytes, &kept[other].bytes);
    }
    bytes.truncate(LONGEST);
    bytes
}

fn change(dice: &mut Dice, bytes: &mut Vec<u8>, other: &[u8]) {
    let at = below(dice, bytes.len() + 1);
    let end = (at + 1 + below(dice, 8)).min(bytes.len());
    match below(dice, 6) {
        0 if at < bytes.len() => bytes[at] ^= 1 << below(dice, 8),
        1 if at < bytes.len() => bytes[at] = dice.bits().to_le_bytes()[0],
        2 if at < bytes.len() => bytes[at] = dice.pick(&[0, 1, 0x7F, 0x80, 0xFF]),
        3 if at < end => drop(bytes.drain(at..end)),
        4 if at < end => bytes.extend_from_within(at..end),
        _ => {
            let from = below(dice, other.len() + 1);
            let to = (from + 1 + below(dice, 32)).min(other.len());
            let piece = other.get(from..to).unwrap_or(&[]).to_vec();
            bytes.splice(at..at, piece);
        }
    }
}
