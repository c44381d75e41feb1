//! Findings that no check on a laptop has: a board's verdict comes as bytes.

use std::path::Path;

use pinfold_core::{
    rules::Readings,
    verdict::{Cause, Rule, Unit, Verdict},
    wire::{
        Kind, VERSION,
        envelope::{MAGIC, checksum},
        verdict::unpack_verdict,
    },
};
use serde_json::Value;

use super::Report;
use crate::{
    arguments::route::AsRoute,
    problem::Source,
    read::{self, limits_toml},
};

/// A finding as it is packed, with a cause alone.
fn bare(rule: Rule, cause: Cause) -> Vec<u8> {
    vec![rule as u8, 0, 0, cause as u8, 0, 0]
}

/// A verdict of these findings, in the rules' order.
fn verdict(findings: &[Vec<u8>]) -> Verdict {
    let number = u8::try_from(findings.len()).expect("few");
    // Two fingerprints, no steps, neither length nor time, no energy.
    let body = [&[0; 10][..], &[0; 4], &[number], &findings.concat()].concat();
    let length = u32::try_from(body.len()).expect("short").to_le_bytes();
    let bytes = [&MAGIC[..], &[Kind::Verdict.number(), VERSION], &length, &body].concat();
    unpack_verdict(&[&bytes[..], &checksum(&bytes).to_le_bytes()].concat()).expect("a verdict")
}

/// Both forms of a report of these findings, under the example's limits with or without what they ask of readings.
fn reported(asks: bool, findings: &[Vec<u8>]) -> (String, Value) {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("example");
    let mut source = read::text_file(&example.join("limits.toml")).expect("the example's limits");
    if !asks {
        let end = source.text.find("[readings]").expect("the section");
        source = Source { text: source.text[..end].to_owned(), ..source };
    }
    let held = limits_toml::read(&source).expect("limits");
    let route = read::route(&example.join("route.toml"), Some(&held), &AsRoute::default()).expect("a route");
    let (verdict, limits) = (verdict(findings), held.sound(&source.path).expect("sound"));
    let readings = Readings::default();
    let report = Report { verdict: &verdict, limits, launch: &route.launch, readings, preset: None };
    let mut people = Vec::new();
    report.write(&mut people).expect("memory");
    let people = String::from_utf8(people).expect("text");
    (people.split_whitespace().collect::<Vec<_>>().join(" "), report.json())
}

/// What is said of the only finding with this rule and cause, for people and for programs.
fn said(asks: bool, rule: Rule, cause: Cause) -> String {
    let (people, json) = reported(asks, &[bare(rule, cause)]);
    let finding = &json["findings"][0];
    assert_eq!((&json["verdict"], &finding["severity"]), (&"no-go".into(), &"stop".into()));
    assert_eq!(json["findings"].as_array().map(Vec::len), Some(1));
    let said = finding["say"].as_str().expect("a text").to_owned();
    // For people the rule stands before it.
    assert!(people.contains(&said[1..]), "no «{said}» in {people}");
    said
}

#[test]
fn a_reading_that_is_missing_is_named_with_the_age_it_may_have() {
    for (rule, what, age) in [
        (Rule::Launch, "where the aircraft stands", " of the last 5.00 s"),
        (Rule::Pack, "the pack's resting voltage", " of the last 600.00 s"),
        (Rule::Form, "whether the aircraft is flying", " of the last 2.00 s"),
    ] {
        let with = said(true, rule, Cause::NoReading);
        assert!(with.contains(&format!("a reading of {what}{age}, and there is none: send it")), "{with}");
        // These may be other limits than the board's.
        let without = said(false, rule, Cause::NoReading);
        assert!(without.contains(&format!("a reading of {what}, and there is none: send it")), "{without}");
    }
}

#[test]
fn a_route_in_flight_that_begins_elsewhere_is_told_what_to_begin_with() {
    let said = said(true, Rule::Launch, Cause::AnotherLaunch);
    assert!(said.contains("another launch point than the one that is flown"), "{said}");
    assert!(said.contains("the launch point that the aircraft took off from"), "{said}");
}

#[test]
fn without_a_reading_the_pack_counts_as_it_was_planned() {
    let turn_back = |clearance: u8, required: u8| {
        let zigzag = [clearance, required].map(|count| 2 * count);
        [&[Rule::TurnBack as u8, 0, 1, Cause::Measured as u8, 1][..], &zigzag, &[Unit::WattHours as u8, 0]].concat()
    };
    let said = |cause| {
        let (_, json) = reported(true, &[turn_back(20, 60), bare(Rule::Pack, cause)]);
        json["findings"][0]["say"].as_str().expect("a text").to_owned()
    };
    let unread = said(Cause::NoReading);
    assert!(unread.contains("0.020 Wh may be used"), "{unread}");
    let unknown = said(Cause::PackTooLow);
    assert!(unknown.contains("how much may be used isn't known"), "{unknown}");
}
