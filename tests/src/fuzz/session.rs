//! A host that loads and asks over a line that does several things wrong: what it learns is right, and so is the board
//! in the end.

use super::given::Given;
use crate::board::faults::{Case, Fault, Way, Wrong};

/// Most things that go wrong: a host gives up after ten conversations.
const FAULTS: usize = 6;
/// Most frames that a line is dead for: all four tries of a question. More, and six such times end a host's patience.
const DEAD: usize = 4;
/// Longest way between two of them, in bytes.
const APART: i32 = 400;

fn wrong(given: &mut Given<'_>) -> Wrong {
    match given.below(9) {
        0 => Wrong::Lost,
        1 => Wrong::Doubled,
        2 => Wrong::Swapped,
        3 => Wrong::Flipped(given.byte() % 8),
        4 => Wrong::Cut,
        5 => Wrong::Dead(1 + given.below(DEAD)),
        6 => Wrong::LateAgain,
        7 => Wrong::BoardRestarts,
        _ => Wrong::HostRestarts,
    }
}

/// The faults, each way at bytes further on than those before.
fn faults(given: &mut Given<'_>) -> Vec<Fault> {
    let (mut passed, mut faults) = ([0; 2], Vec::new());
    while !given.is_empty() && faults.len() < FAULTS {
        let way = given.pick(&[Way::ToBoard, Way::ToHost]);
        passed[way as usize] += given.between(0, APART).unsigned_abs() as usize;
        faults.push(Fault { way, at: passed[way as usize], wrong: wrong(given) });
    }
    faults
}

/// An exchange with faults.
///
/// # Panics
/// A wrong verdict is learnt, there is a permit for another route than the one, or it doesn't end as it must.
pub fn session(input: &[u8]) {
    let mut given = Given::new(input);
    let cases = Case::all();
    let case = &cases[given.below(cases.len())];
    case.run_until_right(faults(&mut given));
}
