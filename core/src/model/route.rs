//! A route: launch point and an ordered list of steps.

use serde::{Deserialize, Serialize};

use super::Name;
use crate::{
    geometry::position::Position,
    units::{Duration, Height, Speed},
};

/// Most steps in a route.
pub const STEPS: usize = 65_535;

/// Everything of a route but its steps.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Launch {
    /// What the route is called.
    pub name: Name,
    /// Where the aircraft starts, on the ground.
    pub position: Position,
    /// How high the launch point is above mean sea level, where that is known.
    pub elevation: Option<Height>,
}

/// One step. Heights are above launch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Straight up to a height.
    Climb {
        /// Where the climb ends.
        height: Height,
    },
    /// Straight to a point, the height changing linearly with the distance covered, and a hold there.
    Fly {
        /// Where the leg ends.
        to: Position,
        /// The height at its end.
        height: Height,
        /// Speed over ground.
        speed: Speed,
        /// How long the aircraft stays at the end.
        hold: Duration,
    },
    /// Stay.
    Hold {
        /// For how long.
        time: Duration,
    },
    /// Straight down to launch height.
    Land,
    /// Up to the return height if lower, straight to launch, hold, descend.
    Return,
}
