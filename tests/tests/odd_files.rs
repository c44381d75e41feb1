//! The odd files kit says of each case what must come of it: the checker on the host must say so too.

use std::collections::BTreeSet;

use pinfold_core::{
    check::check,
    fingerprint::Fingerprint,
    rules::Readings,
    verdict::{Outcome, Severity, Subject},
};
use pinfold_tests::{
    odd::{Expected, Odd, kit},
    packed::{read_limits, read_route},
};

/// What comes of a case.
fn found(odd: &Odd) -> Result<(Outcome, BTreeSet<String>), Expected> {
    let (store, _) = read_limits(&odd.limits).map_err(|fault| Expected::LimitsRefused(fault.reason))?;
    let route = read_route(&odd.route).map_err(|fault| Expected::RouteRefused(fault.reason))?;
    let subject = Subject { route: Fingerprint::of(&odd.route), limits: Fingerprint::of(&odd.limits) };
    let limits = store.limits().expect("sealed");
    let verdict = check(limits, route.launch, Readings::NONE, route.steps.iter().copied(), subject);
    let stops = verdict.findings.broken().filter(|(severity, _)| *severity == Severity::Stop);
    let rules = stops.map(|(_, finding)| format!("{:?}", finding.rule)).collect();
    Ok((verdict.outcome(), rules))
}

fn is_met(odd: &Odd) -> bool {
    match (odd.expected, found(odd)) {
        (Expected::Go, Ok((Outcome::Go, _))) => true,
        (Expected::NoGo(rule), Ok((Outcome::NoGo, stops))) => stops.contains(&format!("{rule:?}")),
        (expected, Err(refused)) => expected == refused,
        _ => false,
    }
}

#[test]
fn what_is_expected_of_each_case_comes_of_it() {
    let wrong: Vec<_> = kit().filter(|odd| !is_met(odd)).collect();
    for odd in &wrong {
        println!("{}: {}; {:?}", odd.name, odd.expected, found(odd));
    }
    assert!(wrong.is_empty(), "{} cases", wrong.len());
}

#[test]
fn the_kit_has_every_answer_and_no_name_twice() {
    let names: Vec<_> = kit().map(|odd| odd.name).collect();
    let distinct: BTreeSet<_> = names.iter().collect();
    assert_eq!(names.len(), distinct.len());
    let count = |answer: &dyn Fn(Expected) -> bool| kit().filter(|odd| answer(odd.expected)).count();
    assert!(count(&|expected| expected == Expected::Go) >= 20);
    assert!(count(&|expected| matches!(expected, Expected::NoGo(_))) >= 30);
    assert!(count(&|expected| matches!(expected, Expected::RouteRefused(_))) >= 100);
    assert!(count(&|expected| matches!(expected, Expected::LimitsRefused(_))) >= 100);
}
