//! The numbers of rules, causes and units are part of the format: two that change places would turn one finding into another.

use pinfold_core::verdict::{Cause, FINDINGS, RULE_COUNT, Rule, Unit};
use serde::{Serialize, de::DeserializeOwned};

/// The rules of version 4 of the format, written down a second time.
const RULES: [Rule; 24] = [
    Rule::Form,
    Rule::Sequence,
    Rule::Extent,
    Rule::KeepIn,
    Rule::KeepOut,
    Rule::People,
    Rule::Ceiling,
    Rule::Floor,
    Rule::Ground,
    Rule::Speed,
    Rule::ClimbRate,
    Rule::DescentRate,
    Rule::Landing,
    Rule::Wind,
    Rule::Reserve,
    Rule::TurnBack,
    Rule::ReturnPath,
    Rule::Link,
    Rule::Sight,
    Rule::Launch,
    Rule::Pack,
    Rule::Stray,
    Rule::Repeat,
    Rule::OddHeight,
];

/// The causes of version 4.
const CAUSES: [Cause; 26] = [
    Cause::Measured,
    Cause::NotARoute,
    Cause::NoLimits,
    Cause::NoSteps,
    Cause::NoClimbFirst,
    Cause::ClimbDoesNotRise,
    Cause::NoEnd,
    Cause::AfterEnd,
    Cause::TooManySteps,
    Cause::LaunchTooFarNorth,
    Cause::BeyondReach,
    Cause::NoElevation,
    Cause::NoSpeed,
    Cause::PowerTableEnds,
    Cause::NoDisarm,
    Cause::LateDisarm,
    Cause::SameAsBefore,
    Cause::HeightOfItsOwn,
    Cause::LandsBelowLaunch,
    Cause::GroundUnknown,
    Cause::PackNotRested,
    Cause::PackTooLow,
    Cause::PackTooHigh,
    Cause::PackOfOtherCells,
    Cause::NoReading,
    Cause::AnotherLaunch,
];

/// The units of version 4.
const UNITS: [Unit; 5] = [Unit::Metres, Unit::MetresVertical, Unit::MetresPerSecond, Unit::WattHours, Unit::Seconds];

/// Holds that each value is written as its place in the list, a byte, and that no other number is known.
fn are_numbered<T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug>(values: &[T]) {
    for (number, value) in (0_u8..).zip(values) {
        assert_eq!(postcard::to_allocvec(value), Ok(vec![number]), "{value:?}");
        assert_eq!(postcard::from_bytes::<T>(&[number]).as_ref(), Ok(value));
    }
    assert!(postcard::from_bytes::<T>(&[values.len() as u8]).is_err());
}

#[test]
fn a_finding_is_never_another_one_unnoticed() {
    are_numbered(&RULES);
    are_numbered(&CAUSES);
    are_numbered(&UNITS);
    assert_eq!((RULES.len(), RULES.len() + 2 * 16), (RULE_COUNT, FINDINGS));
}
