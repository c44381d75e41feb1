//! The rules. One rule, one file, one line in `RULES`.
//!
//! Rules see values, never bytes. `sequence` and `extent` say whether there is anything to judge at all and are asked first,
//! by [`crate::check`]; the others stand in `RULES` and are asked about every leg, and at the end of the route.

pub mod air;
mod ceiling;
mod climb_rate;
mod descent_rate;
pub mod energy;
pub(crate) mod extent;
mod floor;
pub(crate) mod grid;
mod ground;
pub(crate) mod journey;
mod keep_in;
mod keep_out;
mod landing;
pub(crate) mod launch;
pub(crate) mod leg;
mod link;
pub mod margin;
mod odd_height;
mod overlap;
pub(crate) mod pack;
mod people;
mod repeat;
pub(crate) mod reserve;
mod return_path;
pub(crate) mod sequence;
mod sight;
mod slope;
mod speed;
mod stray;
pub(crate) mod surroundings;
mod sweep;
pub(crate) mod turn_back;
mod wind;
mod zones;

use serde::{Deserialize, Serialize};

use crate::{
    geometry::position::Position,
    model::{limits::Figures, route::Launch, store::Limits},
    units::{Charge, Duration, Height, Voltage},
    verdict::Findings,
};
use energy::effort::Effort;
use journey::Journey;
use leg::Leg;
use surroundings::Surroundings;

/// The pack's voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackReading {
    /// Of the whole pack, without load.
    pub voltage: Voltage,
    /// How long it has had neither load nor charge; where that isn't said, long enough.
    pub rested: Option<Duration>,
}

/// An aircraft that is flying when a route is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Aloft {
    /// Where it is.
    pub position: Position,
    /// Its height above launch.
    pub height: Height,
    /// What is left in its pack, the reserve included.
    pub left: Charge,
}

/// What is known at the field when a route is checked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Readings {
    /// Where the aircraft stands.
    pub here: Option<Position>,
    /// Its pack's voltage.
    pub pack: Option<PackReading>,
    /// Where it is and what is left, if it is flying: the route goes on from there.
    pub aloft: Option<Aloft>,
}

impl Readings {
    /// Nothing is known.
    pub const NONE: Self = Self { here: None, pack: None, aloft: None };
}

/// All that a rule may look at besides the leg.
pub(crate) struct Scene<'a> {
    pub(crate) limits: Limits<'a>,
    pub(crate) launch: &'a Launch,
    pub(crate) readings: &'a Readings,
    pub(crate) around: &'a Surroundings,
    pub(crate) journey: &'a Journey,
    /// What the leg at hand takes.
    pub(crate) effort: &'a Effort,
}

impl<'a> Scene<'a> {
    pub(crate) const fn figures(&self) -> &'a Figures {
        self.limits.figures()
    }
}

/// A rule: what it makes of a leg, and of the whole route at its end.
pub(crate) struct Judge {
    pub(crate) leg: fn(&Scene<'_>, &Leg, &mut Findings),
    pub(crate) end: fn(&Scene<'_>, &mut Findings),
}

/// A rule that has nothing to say of a single leg.
const fn no_leg(_: &Scene<'_>, _: &Leg, _: &mut Findings) {}
/// A rule that has nothing to say at the end.
const fn no_end(_: &Scene<'_>, _: &mut Findings) {}

const fn by_leg(leg: fn(&Scene<'_>, &Leg, &mut Findings)) -> Judge {
    Judge { leg, end: no_end }
}

const fn by_end(end: fn(&Scene<'_>, &mut Findings)) -> Judge {
    Judge { leg: no_leg, end }
}

/// Every rule that is asked once there is something to judge.
pub(crate) static RULES: [Judge; 21] = [
    by_leg(keep_in::judge),
    by_leg(keep_out::judge),
    by_leg(people::judge),
    by_leg(ceiling::judge),
    by_leg(floor::judge),
    by_leg(ground::judge),
    by_leg(speed::judge),
    by_leg(climb_rate::judge),
    by_leg(descent_rate::judge),
    by_end(landing::judge),
    by_leg(wind::judge),
    by_end(reserve::judge),
    by_leg(turn_back::judge),
    by_leg(return_path::judge),
    by_leg(link::judge),
    by_leg(sight::judge),
    by_end(launch::judge),
    by_end(pack::judge),
    by_leg(stray::judge),
    by_leg(repeat::judge),
    by_end(odd_height::judge),
];
