//! Holds the rules about space to the oracle on cases made to be hard, in both directions.

use std::{env, thread};

use pinfold_core::{
    model::{route::Step, zone::ZoneKind},
    verdict::{Rule, Severity},
};
use pinfold_tests::{
    oracle::{
        space::bombard::{bombard, run},
        tally::Fault,
    },
    sample::{Site, climb, duration, figures, fly, found, judge, launch, length},
};

fn number(name: &str, otherwise: u64) -> u64 {
    env::var(name).ok().and_then(|value| value.parse().ok()).unwrap_or(otherwise)
}

/// Compares that many decisions and fails on any that promises too much or refuses what is clear.
fn hold(seed: u64, decisions: u64) {
    let threads = thread::available_parallelism().map_or(2, usize::from);
    let report = bombard(seed, decisions, threads);
    println!("{}{} cases unusable", report.table(), report.unusable);
    for ((rule, fault), example) in &report.examples {
        println!("{fault:?} {rule}: {example}\n");
    }
    let faults = [Fault::Unsound, Fault::Needless].map(|fault| report.of(fault));
    assert_eq!(faults, [0, 0], "unsafe and needless decisions of {}", report.decisions());
    let close: u64 = report.rows.values().map(|row| row.close).sum();
    assert!(5 * close > report.decisions(), "only {close} of {} are close", report.decisions());
}

#[test]
fn an_obstacle_a_few_centimetres_away_is_seen_on_the_wrong_side() {
    hold(1, 8000);
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

/// An edge of 10 km at 60 degrees of latitude is 3.4 m away from its chord: launch is between the two.
#[test]
fn a_place_between_a_long_edge_and_its_chord_is_on_the_wrong_side() {
    let (edge, half) = (600_000_000 - 180, 900_000);
    let box_to = |far: i32| vec![(edge, -half), (edge, half), (far, half), (far, -half)];
    let wide = vec![(598_500_000, -half), (598_500_000, half), (601_500_000, half), (601_500_000, -half)];
    let mut figures = figures();
    (figures.margins.fixed, figures.margins.reaction) = (length(100), duration(0));
    let outside = Site::new(figures.clone()).polygon("in", ZoneKind::KeepIn, None, &[box_to(edge - half)]);
    let inside = Site::new(figures)
        .polygon("in", ZoneKind::KeepIn, None, &[wide])
        .and_then(|site| site.polygon("out", ZoneKind::KeepOut, None, &[box_to(edge + half)]));
    for (site, rule, zone) in [(outside, Rule::KeepIn, 0), (inside, Rule::KeepOut, 1)] {
        let store = site.and_then(Site::seal).expect("polygons");
        let steps = [climb(2000), fly((600_000_000, 20), 2000, 50), Step::Land];
        let verdict = judge(&store, launch(600_000_000, 0), &steps);
        let finding = found(&verdict, rule, Some(zone)).expect("a finding");
        assert_eq!(finding.severity(), Some(Severity::Stop), "{finding:?}");
    }
}
