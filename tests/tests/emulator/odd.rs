//! Many small cases, the odd files kit among them: board and host agree on each, byte for byte.

use std::{env, time::Instant};

use pinfold_core::{
    link::Refusal,
    verdict::{Cause, Outcome},
    wire::Reason,
};
use pinfold_tests::{
    emulator::{Emulator, LinkError},
    odd::{Expected, Odd, kit},
};

use crate::{
    generate::{Chance, Place, limits, packed_limits, packed_route, route},
    host,
};

/// Routes by the same limits: loading limits takes longer than all of them.
const ROUTES: usize = 25;
/// How many routes by chance, where `PINFOLD_EMULATED_CASES` doesn't say.
const CASES: usize = 1_000;

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn each_of_the_odd_files_gets_the_answer_that_is_expected() {
    let (mut board, began, mut held, mut answered) = (Emulator::firmware(), Instant::now(), Vec::new(), 0);
    for odd in kit().filter(|odd| !odd.is_long()) {
        if matches!(odd.expected, Expected::LimitsRefused(_)) {
            // What was held before is held again.
            assert!(limits_are_refused(&mut board, &odd), "{}", odd.name);
        } else {
            if odd.limits != held {
                board.load_limits(&odd.limits).unwrap_or_else(|error| panic!("{}: {error:?}", odd.name));
                held.clone_from(&odd.limits);
            }
            board.load_route(&odd.route).unwrap_or_else(|error| panic!("{}: {error:?}", odd.name));
            is_answered(&odd, &board.verdict().unwrap());
        }
        answered += 1;
    }
    println!("{answered} odd files in {:.0?}", began.elapsed());
}

/// Whether the board takes none of these limits, or waits for what never comes.
fn limits_are_refused(board: &mut Emulator, odd: &Odd) -> bool {
    let answer = board.load_limits(&odd.limits);
    match (odd.expected, answer) {
        (Expected::LimitsRefused(Reason::Short), Ok(())) => board.status().unwrap().limits.is_none(),
        // Whole limits were taken, and what follows them is refused.
        (Expected::LimitsRefused(Reason::Trailing), Err(LinkError::Refused(Refusal::NothingBegun))) | (_, Ok(())) => {
            true
        }
        (_, Err(LinkError::Refused(Refusal::BadLimits | Refusal::NothingBegun))) => true,
        (_, Err(error)) => panic!("{}: {error:?}", odd.name),
    }
}

fn is_answered(odd: &Odd, verdict: &[u8]) {
    match odd.expected {
        Expected::RouteRefused(Reason::Short) => assert!(verdict.is_empty(), "{}: a verdict", odd.name),
        Expected::RouteRefused(_) => host::assert_form(verdict, Cause::NotARoute, &odd.name),
        Expected::Go | Expected::NoGo(_) => {
            assert_eq!(verdict, host::verdict_on_bytes(&odd.limits, &odd.route), "{}", odd.name);
            assert_eq!(host::outcome(verdict) == Outcome::Go, odd.expected == Expected::Go, "{}", odd.name);
        }
        Expected::LimitsRefused(_) => unreachable!("no route is held to those"),
    }
}

/// `PINFOLD_EMULATED_CASES` says how many: 10,000 take some minutes.
#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn many_routes_by_chance_get_the_verdict_that_they_get_on_the_host() {
    let count = env::var("PINFOLD_EMULATED_CASES").ok().and_then(|count| count.parse().ok()).unwrap_or(CASES);
    let (mut board, mut chance, began) = (Emulator::firmware(), Chance::new(8), Instant::now());
    let (mut go, mut no_go) = (0, 0);
    for number in 0..count.div_ceil(ROUTES) {
        let place = Place::number(number);
        let store = limits(&mut chance, place);
        let packed = packed_limits(&store);
        board.load_limits(&packed).unwrap();
        for _ in 0..ROUTES {
            let (launch, steps) = route(&mut chance, place);
            let bytes = packed_route(&launch, &steps);
            board.load_route(&bytes).unwrap();
            let verdict = board.verdict().unwrap();
            let expected = host::verdict(&store, &packed, (&launch, &steps), &bytes);
            assert_eq!(verdict, expected, "limits {number}: {launch:?} {steps:?}");
            match host::outcome(&verdict) {
                Outcome::Go => go += 1,
                Outcome::NoGo => no_go += 1,
            }
        }
    }
    println!("{go} go, {no_go} no-go in {:.0?}", began.elapsed());
    assert!(go * 20 >= count && no_go * 20 >= count, "one-sided: {go} go, {no_go} no-go");
}
