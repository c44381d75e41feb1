//! The odd files kit: limits and routes that are well formed and unusual, or wrong in one way, each with what it is
//! meant to provoke and what must come of it. For whoever tests a board, or a program, that takes packed bytes.
//!
//! * [`bytes`]: envelopes, integers, counts and names that are written wrong; truncations.
//! * [`zones`]: spirals, needles, zones that touch, polygons that are none; as many as there can be.
//! * [`paths`]: coordinates, heights, speeds and times at the ends of their ranges; steps in odd orders, and as many as
//!   there can be.
//! * [`texts`]: text that is nested deeper than anybody writes.

pub mod bytes;
pub mod paths;
pub mod texts;
mod unsealed;
pub mod zones;

use std::fmt;

use pinfold_core::{
    model::{
        limits::{Figures, Freshness},
        route::{Launch, Step},
        store::LimitsStore,
    },
    verdict::Rule,
    wire::Reason,
};

use crate::{
    board::sample::{meadow, route, start},
    packed::{packed_limits, packed_route},
    sample::duration,
};

/// What must come of a case.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Expected {
    /// The route is Go by the limits.
    Go,
    /// It is No-go, by this rule at least.
    NoGo(Rule),
    /// The route isn't taken, for this reason.
    RouteRefused(Reason),
    /// The limits aren't taken, for this reason.
    LimitsRefused(Reason),
}

impl fmt::Display for Expected {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Go => write!(to, "go"),
            Self::NoGo(rule) => write!(to, "no-go by {rule:?}"),
            Self::RouteRefused(reason) => write!(to, "route refused: {reason:?}"),
            Self::LimitsRefused(reason) => write!(to, "limits refused: {reason:?}"),
        }
    }
}

/// A case.
#[derive(Clone, Debug)]
pub struct Odd {
    /// What it is called: a family, a slash and a name.
    pub name: String,
    /// Packed limits, or what is wrong with them.
    pub limits: Vec<u8>,
    /// A packed route, or what is wrong with it.
    pub route: Vec<u8>,
    /// What it is meant to provoke.
    pub provokes: String,
    /// What must come of it.
    pub expected: Expected,
}

impl Odd {
    /// A route held to plain limits.
    fn route(name: impl Into<String>, provokes: impl Into<String>, route: Vec<u8>, expected: Expected) -> Self {
        Self { name: name.into(), limits: plain_limits(), route, provokes: provokes.into(), expected }
    }

    /// Limits that a plain route is held to.
    fn limits(name: impl Into<String>, provokes: impl Into<String>, limits: Vec<u8>, expected: Expected) -> Self {
        Self { name: name.into(), limits, route: plain_route(), provokes: provokes.into(), expected }
    }

    /// Whether it takes a slow line long.
    #[must_use]
    pub fn is_long(&self) -> bool {
        self.route.len() > 20_000
    }
}

/// Every case of packed bytes.
pub fn kit() -> impl Iterator<Item = Odd> {
    bytes::cases().into_iter().chain(zones::cases()).chain(paths::cases())
}

/// What limits ask to be known: whether the aircraft flies. Nobody says so here, so a board waits with its permit, and
/// the next case isn't judged as one in flight.
fn asked() -> Freshness {
    Freshness { flight: Some(duration(200)), ..Freshness::default() }
}

/// An invented quad with wide limits.
fn figures() -> Figures {
    Figures { readings: asked(), ..crate::sample::figures() }
}

/// A meadow some 446 m wide about (0, 0), ceiling 60 m.
fn plain_store() -> Box<LimitsStore> {
    meadow(6_000, asked())
}

fn plain_limits() -> Vec<u8> {
    packed_limits(plain_store().limits().expect("sealed")).0
}

/// Up to 20 m, 78 m to the north-east, and back.
fn plain_route() -> Vec<u8> {
    route(2_000)
}

/// A route from the meadow's middle.
fn route_of(steps: &[Step]) -> Vec<u8> {
    packed_route(&start(), steps).0
}

/// A route from elsewhere.
fn route_from(launch: &Launch, steps: &[Step]) -> Vec<u8> {
    packed_route(launch, steps).0
}
