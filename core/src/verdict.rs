//! What the checker says: findings, the tightest place by every rule, and Go or No-go.

mod finding;
mod findings;
mod rule;

use serde::{Deserialize, Serialize};

use crate::{fingerprint::Fingerprint, units::Direction};
pub use finding::{Cause, Finding, Measure, Place, Unit};
pub use findings::Findings;
pub use rule::{FINDINGS, RULE_COUNT, Rule, Severity};

/// What the route needs of the charge. Unit: 0.001 Wh.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Energy {
    /// From launch to touchdown, an upper bound.
    pub needed: u32,
    /// What may be used, rounded down: by plan, or by the pack's voltage or what is known to be left, if that is less.
    pub usable: u32,
    /// What the pack holds by plan, rounded down.
    pub held: u32,
    /// The wind's direction that takes the most, where there may be wind.
    pub worst_wind_from: Option<Direction>,
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
