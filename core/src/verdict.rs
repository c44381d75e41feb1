//! What the checker says: findings, the tightest place by every rule, and Go or No-go.

use serde::{Deserialize, Serialize};

use crate::{fingerprint::Fingerprint, geometry::position::Position, model::zone::ZONES};

/// A named check. The order is the order of reports; the numbers are part of the packed format.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Rule {
    /// The bytes mean a route, or limits.
    Form,
    /// Steps come in an order that makes a flight.
    Sequence,
    /// Everything is within what distances can be vouched for.
    Extent,
    /// The path stays inside the keep-in zone.
    KeepIn,
    /// The path stays out of a keep-out zone.
    KeepOut,
    /// The path stays below the highest height.
    Ceiling,
    /// The path stays above the lowest height.
    Floor,
    /// Legs are flown at a speed that is allowed.
    Speed,
    /// Legs don't ask for more than the climb rate.
    ClimbRate,
    /// Legs don't ask for more than the descent rate.
    DescentRate,
    /// The landing is slow and ends disarmed.
    Landing,
    /// The airspeed that a leg needs can be held.
    Wind,
    /// The charge at touchdown is above the reserve.
    Reserve,
    /// The aircraft can be seen.
    Sight,
    /// No leg is longer than expected.
    Stray,
    /// No two steps in a row are the same.
    Repeat,
    /// No single step has a height of its own.
    OddHeight,
}

/// Number of rules.
pub const RULE_COUNT: usize = 17;
/// Most findings that a verdict can hold: one a rule, and one a zone for the rules about zones.
pub const FINDINGS: usize = RULE_COUNT + ZONES;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth a look; doesn't change the verdict.
    Caution,
    /// No-go.
    Stop,
}

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
            | Rule::Ceiling
            | Rule::Floor
            | Rule::Speed
            | Rule::ClimbRate
            | Rule::DescentRate
            | Rule::Landing
            | Rule::Wind
            | Rule::Reserve
            | Rule::Stray => Severity::Stop,
        }
    }

    /// Whether this is worse news than `other`: a worse severity, or less to spare. Of two equal ones the earlier stays.
    fn is_worse_than(&self, other: &Self) -> bool {
        let spare = |finding: &Self| finding.measure.map_or(i32::MIN, Measure::spare);
        match self.severity().cmp(&other.severity()) {
            core::cmp::Ordering::Greater => true,
            core::cmp::Ordering::Less => false,
            core::cmp::Ordering::Equal => spare(self) < spare(other),
        }
    }
}

/// The tightest place by every rule, and by every zone for rules about zones.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Findings {
    slots: [Option<Finding>; FINDINGS],
}

impl Findings {
    pub(crate) const EMPTY: Self = Self { slots: [None; FINDINGS] };

    /// Takes in a finding; the worst of a rule and zone stays.
    pub(crate) fn add(&mut self, finding: Finding) {
        let slot = match (finding.rule, finding.zone) {
            (Rule::KeepIn | Rule::KeepOut, Some(zone)) => RULE_COUNT.saturating_add(usize::from(zone)),
            _ => finding.rule as usize,
        };
        if let Some(slot) = self.slots.get_mut(slot)
            && slot.as_ref().is_none_or(|old| finding.is_worse_than(old))
        {
            *slot = Some(finding);
        }
    }

    /// Takes in a finding where there is one.
    pub(crate) fn add_some(&mut self, finding: Option<Finding>) {
        if let Some(finding) = finding {
            self.add(finding);
        }
    }

    /// Forgets all.
    pub(crate) fn clear(&mut self) {
        *self = Self::EMPTY;
    }

    /// All of them: first those of rules in the rules' order, then those of zones in the zones' order.
    pub fn iter(&self) -> impl Iterator<Item = &Finding> {
        self.slots.iter().flatten()
    }

    /// The stops and cautions.
    pub fn broken(&self) -> impl Iterator<Item = (Severity, &Finding)> {
        self.iter().filter_map(|finding| finding.severity().map(|severity| (severity, finding)))
    }
}

/// What the route needs of the charge. Unit: 0.001 Wh.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Energy {
    /// From launch to touchdown, an upper bound.
    pub needed: u32,
    /// What may be used, rounded down.
    pub usable: u32,
    /// What the pack holds, rounded down.
    pub held: u32,
}

/// Go or No-go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// No path that the route can mean breaks a limit.
    Go,
    /// It may break one, or that can't be decided.
    NoGo,
}

/// Which route and limits a verdict is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Subject {
    /// Of the packed route.
    pub route: Fingerprint,
    /// Of the packed limits.
    pub limits: Fingerprint,
}

/// How long the route is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    /// Number of steps.
    pub steps: u16,
    /// Length of the path over ground, an upper bound, where there is a flight. Unit: 0.01 m.
    pub length: Option<u32>,
    /// Time from launch to touchdown, an upper bound, where that can be said. Unit: 0.01 s.
    pub duration: Option<u32>,
}

/// What the checker says of one route held to one set of limits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// What it is about.
    pub subject: Subject,
    /// How long the route is.
    pub summary: Summary,
    /// What it needs of the charge, where that can be said.
    pub energy: Option<Energy>,
    /// The tightest places.
    pub findings: Findings,
}

impl Verdict {
    /// No-go if there is any stop.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        if self.findings.broken().any(|(severity, _)| severity == Severity::Stop) { Outcome::NoGo } else { Outcome::Go }
    }
}
