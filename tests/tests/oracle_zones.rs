//! Holds the checker to the oracle on sites and routes of every size, in both directions.

use std::env;

use pinfold_core::model::route::Step;
use pinfold_tests::{
    oracle::{
        campaign::{campaign, compare},
        generate::{Case, case},
        sketch::Drawn,
        tally::Tally,
        vary::slopes,
    },
    sample::{climb, figures, fly, launch, length},
};
use proptest::strategy::Strategy;

/// Runs cases and fails on any disagreement.
fn hold(strategy: &impl Strategy<Value = Case>, cases: u32, seed: u8) {
    let findings = campaign(strategy, cases, seed);
    println!("{}", findings.tally.report());
    assert!(findings.wrong.is_empty(), "{}", findings.wrong.join("\n\n"));
    assert!(findings.tally.of("Go") > 0 && findings.tally.of("No-go") > 0, "both verdicts must come up");
}

#[test]
fn a_verdict_promises_too_much_or_refuses_what_is_clear() {
    hold(&case(0.05), 200, 1);
}

#[test]
fn kilometres_pull_the_readings_of_straight_apart() {
    hold(&case(1.0), 80, 2);
}

#[test]
fn the_middle_of_a_long_slope_is_not_half_way_in_degrees() {
    hold(&slopes(), 40, 3);
}

#[test]
fn the_tangent_plane_and_the_geodesic_part_far_from_launch() {
    let level = case(1.0).prop_filter("near the equator", |case| case.launch.position.latitude.get().abs() < 1_000_000);
    hold(&level, 60, 4);
}

#[test]
#[ignore = "takes as long as the number of cases in PINFOLD_ORACLE_CASES says"]
fn a_long_campaign_finds_what_a_short_one_misses() {
    let number = |name: &str| env::var(name).ok().and_then(|value| value.parse().ok());
    let seed = number("PINFOLD_ORACLE_SEED").and_then(|seed| u8::try_from(seed).ok()).unwrap_or(7);
    hold(&case(0.3), number("PINFOLD_ORACLE_CASES").unwrap_or(10_000), seed);
}

#[test]
fn a_wide_circle_is_kept_away_from_by_more_than_it_asks() {
    // Five nautical miles around a place west of a leg to the north that is bent for none of its readings.
    let mut figures = figures();
    figures.margins.fixed = length(0);
    let (start, radius) = ((500_000_000, 0), 926_000);
    let square =
        vec![(497_000_000, -3_000_000), (497_000_000, 3_000_000), (503_000_000, 3_000_000), (503_000_000, -3_000_000)];
    let wide = Drawn::Circle((500_400_000, -1_292_900), radius);
    let steps = vec![climb(3000), fly((500_800_000, 0), 3000, 100), Step::Land];
    let zones = vec![(Drawn::Rings(vec![square]), None), (wide, None)];
    let case = Case { figures, zones, launch: launch(start.0, start.1), steps, tune: None };
    let wrong = compare(&case, &mut Tally::default());
    assert!(wrong.is_empty(), "{wrong:#?}");
}
