//! What of the route has been flown before the leg at hand.

use super::{
    energy::{
        effort::{Effort, microjoules},
        sectors::SECTORS,
    },
    leg::Leg,
};
use crate::model::{
    path::{Motion, Spot},
    route::Step,
};

/// A height and the fly steps that have it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Level {
    pub(crate) height: i32,
    pub(crate) count: u16,
    /// The first of them.
    pub(crate) step: u16,
}

/// The heights of fly steps, as far as a single odd one could still be told from them.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Levels {
    pub(crate) first: Option<Level>,
    pub(crate) second: Option<Level>,
    /// There is a third height: no step is the only one that differs.
    pub(crate) more: bool,
}

impl Levels {
    fn add(&mut self, height: i32, step: u16) {
        for slot in [&mut self.first, &mut self.second] {
            match slot {
                None => {
                    *slot = Some(Level { height, count: 1, step });
                    return;
                }
                Some(level) if level.height == height => {
                    level.count = level.count.saturating_add(1);
                    return;
                }
                Some(_) => {}
            }
        }
        self.more = true;
    }
}

/// Everything that is carried along from step to step, in memory that doesn't depend on their number.
#[derive(Clone, Debug)]
pub(crate) struct Journey {
    /// Steps taken so far, the one at hand included.
    pub(crate) steps: u16,
    /// Where the aircraft is.
    pub(crate) spot: Spot,
    /// Speed over ground that it may still have, 0.01 m/s: that of the last fly step until the aircraft has held somewhere.
    pub(crate) speed: i32,
    /// The step before, where it was a climb or fly step: where it ended.
    pub(crate) waypoint: Option<Spot>,
    /// The step at hand is a return.
    pub(crate) returning: bool,
    /// A fly step has begun before the one at hand.
    pub(crate) flew: bool,
    pub(crate) levels: Levels,
    /// The largest airspeed needed so far, 0.01 m/s, and the step that needs it.
    pub(crate) airspeed: i32,
    pub(crate) airspeed_step: u16,
    /// mm.
    pub(crate) length: u64,
    /// Time so far, ms; `None` once that can't be said.
    pub(crate) time: Option<u64>,
    /// What was flown so far takes for each sector of the wind, µJ; `None` once that can't be said.
    pub(crate) used: Option<[i64; SECTORS]>,
}

impl Journey {
    pub(crate) const START: Self = Self {
        steps: 0,
        spot: Spot::LAUNCH,
        speed: 0,
        waypoint: None,
        returning: false,
        flew: false,
        levels: Levels { first: None, second: None, more: false },
        airspeed: 0,
        airspeed_step: 0,
        length: 0,
        time: Some(0),
        used: Some([0; SECTORS]),
    };

    /// Adds a leg.
    pub(crate) fn pass(&mut self, leg: &Leg, effort: &Effort) {
        self.spot = leg.piece.to;
        self.length = self.length.saturating_add(leg.length_ceil.unsigned_abs());
        self.spend(effort);
        let airspeed = effort.airspeed.max(effort.airspeed_home);
        if airspeed > self.airspeed {
            self.airspeed = airspeed;
            self.airspeed_step = leg.step;
        }
        if leg.piece.motion == Motion::Fly {
            self.levels.add(leg.piece.to.height, leg.step);
        }
    }

    fn spend(&mut self, effort: &Effort) {
        self.time = self.time.zip(effort.time).map(|(sum, more)| sum.saturating_add(more));
        match (&mut self.used, &effort.powers, effort.time) {
            (Some(used), Some(powers), Some(time)) => {
                for (used, power) in used.iter_mut().zip(powers) {
                    *used = used.saturating_add(microjoules(*power, time));
                }
            }
            (used, _, _) => *used = None,
        }
    }

    /// Ends a step.
    pub(crate) fn end_step(&mut self, step: &Step) {
        let (speed, waypoint, fly) = match step {
            Step::Fly { speed, hold, .. } => {
                (if hold.get() == 0 { speed.get().max(0) } else { 0 }, Some(self.spot), true)
            }
            Step::Climb { .. } => (self.speed, Some(self.spot), false),
            Step::Hold { time } if time.get() == 0 => (self.speed, None, false),
            Step::Hold { .. } | Step::Land | Step::Return => (0, None, false),
        };
        self.speed = speed;
        self.waypoint = waypoint;
        self.flew |= fly;
    }
}
