//! Limits in flash, whatever fails while they are written: the old ones are held or the new, what the board says is
//! held is what flash holds, and it can always be loaded anew.

use pinfold_core::{fingerprint::Fingerprint, link::Refusal, model::limits::Freshness};

use super::given::Given;
use crate::{
    board::{
        Bench, Failing, Order, RamFlash, SECTOR,
        layout::{Held, held},
        sample::{meadow_site, packed_meadow},
    },
    packed::packed_limits,
};

/// Most loads of one flash.
const LOADS: usize = 12;

/// Limits of some length: the longer the name.
fn limits(given: &mut Given<'_>) -> Vec<u8> {
    let name = "q".repeat(1 + given.below(32));
    let site = meadow_site(&name, 2_000 + 100 * given.between(0, 40), Freshness::default());
    packed_limits(site.seal().expect("sound").limits().expect("sealed")).0
}

/// What fails in the next load, and after how many bytes.
fn fail(flash: &mut RamFlash, given: &mut Given<'_>) {
    let size = i32::try_from(2 * flash.bytes().len()).expect("small");
    flash.order = given.pick(&[Order::Up, Order::Down]);
    flash.failing = given.pick(&[Failing::Power, Failing::Writing]);
    flash.torn = given.byte();
    flash.left = match given.below(4) {
        0 => None,
        // About where a slot has been erased and is being written.
        1 => Some(SECTOR + given.below(512)),
        _ => Some(given.between(0, size).unsigned_abs() as usize),
    };
}

/// What flash holds, which must be what the board says.
fn holds(bench: &Bench) -> Held {
    let held = held(bench.hardware.flash.bytes());
    let said = bench.status().limits;
    match &held {
        Held::Limits(packed) => assert_eq!(said, Some(Fingerprint::of(packed)), "not what flash holds"),
        Held::Nothing | Held::Damaged => assert_eq!(said, None, "flash holds nothing"),
    }
    held
}

/// Loads, cuts and restarts in any order.
///
/// # Panics
/// Limits are held that are neither the old nor the new, or none can be loaded any more.
pub fn power_cuts(input: &[u8]) {
    let mut given = Given::new(input);
    let mut bench = Bench::on(RamFlash::new(1 + given.below(2)));
    let mut old = Held::Nothing;
    for _ in 0..LOADS {
        if given.is_empty() {
            break;
        }
        old = load(&mut bench, &old, &mut given);
    }
    let last = packed_meadow(9_000, Freshness::default());
    bench.restart();
    assert_eq!(bench.load_limits(&last), Ok(()), "nothing can be loaded any more");
    bench.restart();
    assert_eq!(holds(&bench), Held::Limits(last));
}

/// A load in which something may fail; what is held after it.
fn load(bench: &mut Bench, old: &Held, given: &mut Given<'_>) -> Held {
    let packed = limits(given);
    fail(&mut bench.hardware.flash, given);
    let failing = bench.hardware.flash.failing;
    let done = match bench.load_limits(&packed) {
        Ok(()) => true,
        Err(Refusal::Flash) => false,
        other => panic!("{other:?}"),
    };
    if failing == Failing::Power || given.yes() {
        bench.restart();
    } else {
        bench.hardware.flash.mend();
    }
    let held = holds(bench);
    let new = Held::Limits(packed);
    assert!(held == new || (held == *old && !done), "{held:?} after {done}, before {old:?}");
    held
}
