//! Random bodies of packed verdicts, written without the core's help: a verdict can only be had from a check or from bytes.

use pinfold_core::{
    fingerprint::Fingerprint,
    model::zone::ZONES,
    units::{Direction, Latitude, Longitude},
    verdict::{Cause, RULE_COUNT, Rule, Unit},
};
use proptest::{collection, option, prelude::*};

use super::number;
use crate::packed::{signed, unsigned};

/// Causes from 0 on that a finding can have.
const CAUSES: u64 = Cause::AnotherLaunch as u64 + 1;
/// Units from 0 on that a measure can have.
const UNITS: u64 = Unit::Seconds as u64 + 1;

/// 00, or 01 and the value.
fn optional(value: Option<Vec<u8>>) -> Vec<u8> {
    value.map_or(vec![0], |bytes| [vec![1], bytes].concat())
}

fn any_unsigned() -> impl Strategy<Value = Vec<u8>> {
    prop_oneof![Just(u32::MAX), any::<u32>()].prop_map(|value| unsigned(value.into()))
}

fn any_signed() -> impl Strategy<Value = Vec<u8>> {
    number(i32::MIN, i32::MAX).prop_map(|value| signed(value.into()))
}

fn measure() -> impl Strategy<Value = Vec<u8>> {
    (any_signed(), any_signed(), 0..UNITS)
        .prop_map(|(clearance, required, unit)| [clearance, required, unsigned(unit)].concat())
}

fn place() -> impl Strategy<Value = Vec<u8>> {
    let latitude = number(Latitude::MIN, Latitude::MAX).prop_map(|value| signed(value.into()));
    let longitude = number(Longitude::MIN, Longitude::MAX).prop_map(|value| signed(value.into()));
    (latitude, longitude, any_signed()).prop_map(|(latitude, longitude, height)| [latitude, longitude, height].concat())
}

/// What a finding says besides its rule and zone.
fn rest() -> impl Strategy<Value = Vec<u8>> {
    (any::<u16>(), 0..CAUSES, option::of(measure()), option::of(place())).prop_map(|(step, cause, measure, place)| {
        [unsigned(step.into()), unsigned(cause), optional(measure), optional(place)].concat()
    })
}

/// The findings of one body: of each rule one at most, then of each zone one at most, then of returns and each zone one at
/// most.
fn findings() -> impl Strategy<Value = Vec<Vec<u8>>> {
    let of_rules = collection::vec(option::weighted(0.4, rest()), RULE_COUNT);
    let zone_rule = prop_oneof![Just(Rule::KeepIn), Just(Rule::KeepOut), Just(Rule::People)];
    let of_zones = collection::vec(option::weighted(0.4, (zone_rule, rest())), ZONES);
    let of_returns = collection::vec(option::weighted(0.4, (Just(Rule::ReturnPath), rest())), ZONES);
    (of_rules, of_zones, of_returns).prop_map(|(rules, zones, returns)| {
        let of_rule = |(rule, rest): (usize, Option<Vec<u8>>)| Some([unsigned(rule as u64), vec![0], rest?].concat());
        let of_zone = |(zone, found): (usize, Option<(Rule, Vec<u8>)>)| {
            found.map(|(rule, rest)| [vec![rule as u8, 1, zone as u8], rest].concat())
        };
        let rules = rules.into_iter().enumerate().filter_map(of_rule);
        let zones = zones.into_iter().enumerate().chain(returns.into_iter().enumerate());
        rules.chain(zones.filter_map(of_zone)).collect()
    })
}

fn energy() -> impl Strategy<Value = Vec<u8>> {
    let direction = number(Direction::MIN, Direction::MAX).prop_map(|value| signed(value.into()));
    (collection::vec(any_unsigned(), 3), option::of(direction))
        .prop_map(|(figures, worst_wind)| [figures.concat(), optional(worst_wind)].concat())
}

/// The body of a packed verdict.
pub fn verdict_body() -> impl Strategy<Value = Vec<u8>> {
    let subject = collection::vec(any::<u8>(), 2 * Fingerprint::NONE.bytes().len());
    let summary = (any::<u16>(), option::of(any_unsigned()), option::of(any_unsigned()));
    (subject, summary, option::of(energy()), findings()).prop_map(|(subject, summary, energy, findings)| {
        let (steps, length, duration) = summary;
        let summary = [unsigned(steps.into()), optional(length), optional(duration)].concat();
        [subject, summary, optional(energy), vec![findings.len() as u8], findings.concat()].concat()
    })
}
