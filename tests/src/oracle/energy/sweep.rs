//! The direction of the wind that takes the most.

use super::{
    flight::Flight,
    wind::{Winds, turn},
};

/// Degrees to which a worst direction is narrowed.
const NARROW: f64 = 1e-3;

/// The most that a flight takes, and from where the wind comes then.
#[derive(Clone, Copy, Debug)]
pub struct Worst {
    /// Watt-hours.
    pub needed: f64,
    /// Degrees.
    pub from: f64,
}

impl Worst {
    /// The worse of two.
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        if other.needed > self.needed { other } else { self }
    }
}

/// How many of the worst directions are looked at closely.
const CLOSELY: usize = 4;

/// The most that anything takes: every degree is looked at, and around the worst every tenth and less.
pub fn worst(winds: &Winds, value: impl Fn(f64) -> f64) -> Worst {
    let mut all: Vec<Worst> = winds.directions(1.0).iter().map(|&from| Worst { needed: value(from), from }).collect();
    all.sort_by(|a, b| b.needed.total_cmp(&a.needed));
    let mut peaks: Vec<Worst> = Vec::new();
    for one in &all {
        let apart = peaks.iter().all(|peak| turn(peak.from - one.from).abs() > 5.0);
        if apart && peaks.len() < CLOSELY {
            peaks.push(*one);
        }
    }
    peaks.iter().map(|peak| climb(winds, *peak, &value)).fold(all[0], Worst::or)
}

/// Goes up from a direction in ever smaller steps.
fn climb(winds: &Winds, start: Worst, value: &impl Fn(f64) -> f64) -> Worst {
    let (mut best, mut step) = (start, 0.5);
    while step > NARROW {
        let beside = [-step, step].map(|by| winds.allowed(best.from + by));
        let better = beside.map(|from| Worst { needed: value(from), from }).into_iter().fold(best, Worst::or);
        if better.needed > best.needed { best = better } else { step /= 2.0 }
    }
    best
}

impl Flight {
    /// The most that the flight takes to touchdown.
    #[must_use]
    pub fn worst(&self) -> Worst {
        worst(&self.air.winds, |from| self.needed(from))
    }

    /// The most that it takes with the wind from no farther than some degrees to either side of a direction.
    #[must_use]
    pub fn worst_near(&self, direction: f64, reach: i32) -> f64 {
        let near = (-4 * reach..=4 * reach).map(|quarter| direction + f64::from(quarter) / 4.0);
        near.map(|from| self.needed(self.air.winds.allowed(from))).fold(0.0, f64::max)
    }
}
