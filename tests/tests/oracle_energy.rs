//! Holds what is said of charge, wind and turn-backs to the oracle on cases made to be hard, in both directions.

use std::{env, thread};

use pinfold_tests::oracle::{
    energy::bombard::{Report, bombard, run},
    tally::Fault,
};

fn number(name: &str, otherwise: u64) -> u64 {
    env::var(name).ok().and_then(|value| value.parse().ok()).unwrap_or(otherwise)
}

/// Compares that many routes and fails on any claim that promises too much or gives away what is there.
fn hold(seed: u64, cases: u64, threads: usize) -> Report {
    let report = bombard(seed, cases, threads);
    println!("{}", report.table());
    let faults = [Fault::Unsound, Fault::Loose, Fault::Needless].map(|fault| report.of(fault));
    assert_eq!(faults, [0, 0, 0], "unsafe, loose and needless claims about {} routes", report.cases);
    report
}

#[test]
fn a_pack_that_holds_a_little_less_than_a_route_takes_is_enough() {
    let report = hold(1, 2000, 1);
    assert!(report.unusable * 10 < report.cases, "{} of {} unusable", report.unusable, report.cases);
    for (what, share) in [
        ("stop by reserve", 10),
        ("stop by turn-back", 10),
        ("stop by wind", 20),
        ("Go", 10),
        ("pack", 10),
        ("stop by pack", 100),
        ("a voltage that tells nothing", 200),
        ("the power table ends", 200),
    ] {
        assert!(report.count(what) * share > report.cases, "{what}: {} of {}", report.count(what), report.cases);
    }
}

#[test]
#[ignore = "takes as long as the number of routes in PINFOLD_ORACLE_CASES says"]
fn millions_of_routes_find_what_thousands_miss() {
    let threads = thread::available_parallelism().map_or(2, usize::from);
    hold(number("PINFOLD_ORACLE_SEED", 7), number("PINFOLD_ORACLE_CASES", 100_000), threads);
}

#[test]
#[ignore = "shows the one case that PINFOLD_ORACLE_CASE names"]
fn one_case_of_a_campaign() {
    let (scene, found) = run(number("PINFOLD_ORACLE_SEED", 1), number("PINFOLD_ORACLE_CASE", 0));
    let found = found.expect("a flight");
    println!("{scene:#?}\n{:?}", found.ratios);
    found.wrong.iter().for_each(|one| println!("{:?} {:?}: {}", one.fault, one.rule, one.say));
    assert!(found.wrong.is_empty());
}
