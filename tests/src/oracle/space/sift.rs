//! Where along a piece a value is least, when it may have several valleys: a scan, then the deepest few narrowed.

use crate::oracle::search::least;

const SCAN: u8 = 40;
/// Valleys looked into.
const VALLEYS: usize = 3;
/// Values so near to each other are the same, in metres.
const LEVEL: f64 = 1e-6;

/// The parameter from 0 to 1 with the least value.
pub fn sift(value: impl Fn(f64) -> f64) -> f64 {
    let share = |number: u8| f64::from(number) / f64::from(SCAN);
    let seen: Vec<f64> = (0..=SCAN).map(|number| value(share(number))).collect();
    // Amid a plateau there is nothing to narrow; its edges may hide a valley.
    let level = |one: u8, other: u8| (seen[usize::from(one)] - seen[usize::from(other)]).abs() < LEVEL;
    let amid = |number: &u8| (1..SCAN).contains(number) && level(number - 1, *number) && level(*number, number + 1);
    let mut order: Vec<u8> = (0..=SCAN).filter(|number| !amid(number)).collect();
    order.sort_by(|a, b| seen[usize::from(*a)].total_cmp(&seen[usize::from(*b)]));
    let mut best = (seen[usize::from(order[0])], share(order[0]));
    for number in order.into_iter().take(VALLEYS) {
        let (low, high) = (share(number.saturating_sub(1)), share((number + 1).min(SCAN)));
        let found = least(1, 1e-7, |within| value(low + within * (high - low)));
        if found.0 < best.0 {
            best = (found.0, low + found.1 * (high - low));
        }
    }
    best.1
}
