//! What tells one state from another.

use std::{
    fmt::Write as _,
    hash::{DefaultHasher, Hash, Hasher as _},
};

use pinfold_core::{interlock::Stage, link::PATIENCE};

use super::world::World;
use crate::board::layout::{self, HEAD};

/// From this age on a place that is asked for, and a place in flight, are too old. Unit: ms.
const AGE: u32 = 2_001;
/// From this age on nobody knows whether an aircraft flies, whatever limits say. Unit: ms.
const FLIGHT_AGE: u32 = 5_001;

/// All of a state that can matter, as a number of 128 bits.
///
/// A board's own print tells everything but the insides of readers, which are fixed by the bytes that came since the
/// begin, and the number of the last question, which is always the number before the next. Of numbers that grow without
/// end it keeps what the board compares: ages up to where they are too old, sequence numbers of slots as differences.
pub(super) fn key(world: &World, printed: &str) -> u128 {
    let mut text = String::with_capacity(printed.len() + 200);
    let coming = ["incoming: Limits", "incoming: Route"].iter().any(|incoming| printed.contains(incoming));
    let quiet = if printed.contains("incoming: Limits") { PATIENCE + 1 } else { 0 };
    let highest = slots(world).filter_map(layout::sequence).max().unwrap_or(0);
    assert!(printed.starts_with("Board { reader: FrameReader { frame: [], overrun: false }"), "frames come whole here");
    let start = printed.find("limits: LimitsStore").expect("a board prints its limits");
    let end = printed[start..].find("instruments: ").expect("a board prints its readings") + start;
    append_capped(
        &mut text,
        &printed[start..end],
        &[(" sequence: ", &|number| i64::from(number) - i64::from(highest))],
    );
    let flight = printed[end..].find("position: ").expect("readings have a position") + end;
    append_capped(&mut text, &printed[end..flight], &[(" age: ", &|age| age.min(world.files.flight_age).into())]);
    let capped: [(&str, &dyn Fn(u32) -> i64); 2] =
        [(" age: ", &|age| age.min(AGE).into()), (" quiet: ", &|time| time.min(quiet).into())];
    let wired = printed[flight..].find("wired: ").expect("a board prints its wire") + flight;
    let rest = printed[wired..].find("interlock: ").expect("a board prints its interlock") + wired;
    append_capped(&mut text, &printed[flight..wired], &capped);
    append_capped(&mut text, &printed[wired..rest], &[(" age: ", &|age| age.min(world.files.flight_age).into())]);
    append_capped(&mut text, &printed[rest..], &capped);
    append_surroundings(&mut text, world, coming, highest);
    hash(text.as_str())
}

/// Appends text in which numbers after a label are replaced.
fn append_capped(text: &mut String, printed: &str, labels: &[(&str, &dyn Fn(u32) -> i64)]) {
    let mut rest = printed;
    while let Some((at, label, replace)) = labels
        .iter()
        .filter_map(|(label, replace)| Some((rest.find(label)?, label, replace)))
        .min_by_key(|found| found.0)
    {
        let from = at + label.len();
        let digits = rest[from..].bytes().take_while(u8::is_ascii_digit).count();
        let number = rest[from..from + digits].parse().expect("a number");
        write!(text, "{}{}", &rest[..from], replace(number)).expect("memory");
        rest = &rest[from + digits..];
    }
    text.push_str(rest);
}

/// What isn't in the board.
fn append_surroundings(text: &mut String, world: &World, coming: bool, highest: u32) {
    let mut account = world.account.clone();
    account.transfer = account.transfer.filter(|_| coming);
    account.route_aloft &= coming || account.route.is_some();
    if world.board.status().stage != Stage::Latched {
        account.grounded = 0;
    }
    let flight_age = FLIGHT_AGE.min(world.files.flight_age);
    account.flight = account.flight.map(|(flies, age)| (flies, age.min(flight_age)));
    account.wired = account.wired.map(|(flies, age)| (flies, age.min(flight_age)));
    account.here = account.here.map(|(right, age)| (right, age.min(AGE)));
    account.pack = account.pack.map(|(right, age)| (right, age.min(AGE)));
    write!(text, "{account:?} {}", world.hardware.held).expect("memory");
    for slot in slots(world) {
        let body = hash(&slot[HEAD..]);
        // A slot without a right head is nothing to the board, and erased before it is used: what else it holds can't
        // matter. With `every_byte` that isn't taken for granted.
        match layout::sequence(slot) {
            Some(sequence) => write!(text, " {} {:?} {body}", i64::from(sequence) - i64::from(highest), &slot[8..16]),
            None if world.files.every_byte => write!(text, " {} {body}", slot[..HEAD].iter().any(|byte| *byte != 0xFF)),
            None => write!(text, " none"),
        }
        .expect("memory");
    }
}

fn slots(world: &World) -> impl Iterator<Item = &[u8]> {
    let bytes = world.hardware.flash.bytes();
    bytes.chunks(bytes.len() / 2)
}

fn hash<T: Hash + ?Sized>(text: &T) -> u128 {
    let half = |salt: u8| {
        let mut hasher = DefaultHasher::new();
        (salt, text).hash(&mut hasher);
        u128::from(hasher.finish())
    };
    half(0) << 64 | half(1)
}
