//! Holds the rules about space to the oracle on cases made to be hard, in both directions.

use std::{env, thread};

use pinfold_tests::oracle::{
    space::bombard::{bombard, run},
    tally::Fault,
};

fn number(name: &str, otherwise: u64) -> u64 {
    env::var(name).ok().and_then(|value| value.parse().ok()).unwrap_or(otherwise)
}

/// Compares that many decisions and fails on any that promises too much, refuses what is clear, or gives away too much.
fn hold(seed: u64, decisions: u64) {
    let threads = thread::available_parallelism().map_or(2, usize::from);
    let report = bombard(seed, decisions, threads);
    println!("{}{} cases unusable", report.table(), report.unusable);
    for ((rule, fault), example) in &report.examples {
        println!("{fault:?} {rule}: {example}\n");
    }
    let faults = [Fault::Unsound, Fault::Needless, Fault::Loose].map(|fault| report.of(fault));
    assert_eq!(faults, [0, 0, 0], "unsafe, needless and loose decisions of {}", report.decisions());
}

#[test]
fn an_obstacle_a_few_centimetres_away_is_seen_on_the_wrong_side() {
    hold(1, 4000);
}

#[test]
#[ignore = "takes as long as the number of decisions in PINFOLD_ORACLE_CASES says"]
fn millions_of_decisions_find_what_thousands_miss() {
    hold(number("PINFOLD_ORACLE_SEED", 7), number("PINFOLD_ORACLE_CASES", 100_000));
}

#[test]
#[ignore = "shows the one case that PINFOLD_ORACLE_CASE names"]
fn one_case_of_a_campaign() {
    let (scene, found) = run(number("PINFOLD_ORACLE_SEED", 1), number("PINFOLD_ORACLE_CASE", 0));
    println!("{scene:#?}");
    for decision in found.iter().flatten().filter(|decision| !decision.faults.is_empty()) {
        println!("{:?} {:?}, zone {:?}: {}", decision.faults, decision.rule, decision.zone, decision.say);
    }
    assert!(found.iter().flatten().all(|decision| decision.faults.is_empty()));
}
