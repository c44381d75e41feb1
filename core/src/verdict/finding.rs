//! What a rule found.

use serde::{Deserialize, Serialize};

use super::{Rule, Severity};
use crate::geometry::position::Position;

/// What exactly a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Cause {
    /// The clearance against what is required: broken where it is less.
    Measured,
    /// The bytes that came are no route.
    NotARoute,
    /// There are no limits to hold a route to.
    NoLimits,
    /// The route has no steps.
    NoSteps,
    /// The first step isn't a climb.
    NoClimbFirst,
    /// A climb doesn't rise.
    ClimbDoesNotRise,
    /// The last step is neither land nor return.
    NoEnd,
    /// A step follows the land or return.
    AfterEnd,
    /// There are more steps than a route can have.
    TooManySteps,
    /// The launch point is at 80 degrees of latitude or beyond.
    LaunchTooFarNorth,
    /// A place is so far away that its distance isn't even computed.
    BeyondReach,
    /// Heights above the sea can't be compared: the launch point's elevation isn't known.
    NoElevation,
    /// The speed is zero or negative.
    NoSpeed,
    /// The power table ends below the airspeed that is needed.
    PowerTableEnds,
    /// The aircraft doesn't disarm by itself after landing.
    NoDisarm,
    /// The aircraft disarms late after landing.
    LateDisarm,
    /// Two steps in a row are at the same place and height.
    SameAsBefore,
    /// All fly steps have one height but for this one.
    HeightOfItsOwn,
    /// A landing begins below launch height.
    LandsBelowLaunch,
    /// The ground isn't known there.
    GroundUnknown,
    /// The pack hasn't rested long enough for its voltage to tell anything.
    PackNotRested,
    /// The pack's voltage is below the table of charge by voltage.
    PackTooLow,
    /// The pack's voltage is above the table of charge by voltage.
    PackTooHigh,
    /// The pack's voltage is that of a pack with another number of cells.
    PackOfOtherCells,
    /// The limits ask for a reading that isn't there or is too old.
    NoReading,
    /// A route that came in flight has another launch point than the one flown.
    AnotherLaunch,
}

/// What a finding's numbers count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unit {
    /// 0.01 m, horizontally.
    Metres,
    /// 0.01 m, vertically.
    MetresVertical,
    /// 0.01 m/s.
    MetresPerSecond,
    /// 0.001 Wh.
    WattHours,
    /// 0.01 s.
    Seconds,
}

/// How much there is and how much there must be. For rules of the form "at most" both are headroom, and nothing is required.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Measure {
    /// What the path has: a guaranteed lower bound.
    pub clearance: i32,
    /// What it must have: an upper bound of the margin.
    pub required: i32,
    /// What the two count.
    pub unit: Unit,
}

impl Measure {
    /// What is to spare; below 0 where the rule is broken.
    #[must_use]
    pub const fn spare(self) -> i32 {
        self.clearance.saturating_sub(self.required)
    }
}

/// A place on the path.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Place {
    /// Where.
    pub position: Position,
    /// Height above launch, 0.01 m.
    pub height: i32,
}

/// What a rule found at its tightest place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Finding {
    /// The rule.
    pub rule: Rule,
    /// The number of the zone, from 0, for a rule about zones.
    pub zone: Option<u8>,
    /// The number of the step, from 1; 0 where it is about no step.
    pub step: u16,
    /// What exactly it is about.
    pub cause: Cause,
    /// How much and how much is required, where that can be said.
    pub measure: Option<Measure>,
    /// Where on the path.
    pub place: Option<Place>,
}

impl Finding {
    /// A finding with nothing but a rule and a cause.
    #[must_use]
    pub const fn of(rule: Rule, step: u16, cause: Cause) -> Self {
        Self { rule, zone: None, step, cause, measure: None, place: None }
    }

    /// A finding about how much there is.
    #[must_use]
    pub const fn measured(rule: Rule, step: u16, measure: Measure) -> Self {
        Self { measure: Some(measure), ..Self::of(rule, step, Cause::Measured) }
    }

    /// The same, at a place.
    #[must_use]
    pub const fn at(self, place: Place) -> Self {
        Self { place: Some(place), ..self }
    }

    /// How bad it is; `None` where the rule is kept.
    #[must_use]
    pub const fn severity(&self) -> Option<Severity> {
        match self.cause {
            Cause::Measured => match self.measure {
                Some(measure) if measure.clearance >= measure.required => None,
                Some(_) | None => Some(self.severity_if_broken()),
            },
            Cause::NoDisarm | Cause::LateDisarm | Cause::SameAsBefore | Cause::HeightOfItsOwn => {
                Some(Severity::Caution)
            }
            Cause::NotARoute
            | Cause::NoLimits
            | Cause::NoSteps
            | Cause::NoClimbFirst
            | Cause::ClimbDoesNotRise
            | Cause::NoEnd
            | Cause::AfterEnd
            | Cause::TooManySteps
            | Cause::LaunchTooFarNorth
            | Cause::BeyondReach
            | Cause::NoElevation
            | Cause::NoSpeed
            | Cause::LandsBelowLaunch
            | Cause::GroundUnknown
            | Cause::PackNotRested
            | Cause::PackTooLow
            | Cause::PackTooHigh
            | Cause::PackOfOtherCells
            | Cause::NoReading
            | Cause::AnotherLaunch
            | Cause::PowerTableEnds => Some(Severity::Stop),
        }
    }

    /// How bad it is, or would be if less were left than is required.
    #[must_use]
    pub const fn severity_if_broken(&self) -> Severity {
        match self.rule {
            Rule::Sight | Rule::Repeat | Rule::OddHeight => Severity::Caution,
            Rule::Form
            | Rule::Sequence
            | Rule::Extent
            | Rule::KeepIn
            | Rule::KeepOut
            | Rule::People
            | Rule::Ceiling
            | Rule::Floor
            | Rule::Ground
            | Rule::Speed
            | Rule::ClimbRate
            | Rule::DescentRate
            | Rule::Landing
            | Rule::Wind
            | Rule::Reserve
            | Rule::TurnBack
            | Rule::ReturnPath
            | Rule::Link
            | Rule::Launch
            | Rule::Pack
            | Rule::Stray => Severity::Stop,
        }
    }

    /// What is to spare, for a comparison: less than anything where no number says it.
    pub(crate) fn spare(&self) -> i32 {
        self.measure.map_or(i32::MIN, Measure::spare)
    }

    /// Whether this is worse news than `other`: a worse severity, or less to spare. Of two equal ones the earlier stays.
    pub(super) fn is_worse_than(&self, other: &Self) -> bool {
        match self.severity().cmp(&other.severity()) {
            core::cmp::Ordering::Greater => true,
            core::cmp::Ordering::Less => false,
            core::cmp::Ordering::Equal => self.spare() < other.spare(),
        }
    }
}
