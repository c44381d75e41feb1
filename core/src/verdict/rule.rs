//! The rules' names and how bad it is to break them.

use serde::{Deserialize, Serialize};

use crate::model::zone::ZONES;

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
    /// The path stays as far from people as it is high.
    People,
    /// The path stays below the highest height.
    Ceiling,
    /// The path stays above the lowest height.
    Floor,
    /// The path stays above the ground.
    Ground,
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
    /// The charge left at any point of the path is enough for an automatic return from there.
    TurnBack,
    /// Every automatic return that could start on the path stays clear of all.
    ReturnPath,
    /// The radio reaches the aircraft.
    Link,
    /// The aircraft can be seen.
    Sight,
    /// The aircraft stands where the route begins.
    Launch,
    /// The pack on the aircraft holds what the route needs.
    Pack,
    /// No leg is longer than expected.
    Stray,
    /// No two steps in a row are the same.
    Repeat,
    /// No single step has a height of its own.
    OddHeight,
}

/// Number of rules.
pub const RULE_COUNT: usize = 24;
/// Most findings that a verdict can hold: one a rule, one a zone for the rule that the zone is held to, and one a zone for
/// returns.
pub const FINDINGS: usize = RULE_COUNT + 2 * ZONES;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth a look; doesn't change the verdict.
    Caution,
    /// No-go.
    Stop,
}
