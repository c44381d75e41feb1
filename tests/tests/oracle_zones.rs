//! Holds the checker to the oracle on sites and routes of every size, in both directions.

use std::env;

use pinfold_tests::oracle::{campaign::campaign, generate::case};

/// Runs cases and fails on any disagreement.
fn hold(far: f64, cases: u32, seed: u8) {
    let findings = campaign(&case(far), cases, seed);
    println!("{}", findings.tally.report());
    assert!(findings.wrong.is_empty(), "{}", findings.wrong.join("\n\n"));
    assert!(findings.tally.of("Go") > 0 && findings.tally.of("No-go") > 0, "both verdicts must come up");
}

#[test]
fn a_verdict_promises_too_much_or_refuses_what_is_clear() {
    hold(0.05, 250, 1);
}

#[test]
fn kilometres_pull_the_readings_of_straight_apart() {
    hold(1.0, 120, 2);
}

#[test]
#[ignore = "takes as long as the number of cases in PINFOLD_ORACLE_CASES says"]
fn a_long_campaign_finds_what_a_short_one_misses() {
    let number = |name: &str| env::var(name).ok().and_then(|value| value.parse().ok());
    let seed = number("PINFOLD_ORACLE_SEED").and_then(|seed| u8::try_from(seed).ok()).unwrap_or(7);
    hold(0.3, number("PINFOLD_ORACLE_CASES").unwrap_or(10_000), seed);
}
