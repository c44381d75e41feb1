//! The path as it is drawn, leg by leg, and what it takes of the charge, step by step.

use pinfold_core::{
    check::Checker,
    model::{
        limits::ReturnHabits,
        route::{Launch, Step},
        store::Limits,
    },
    rules::Readings,
    verdict::Subject,
};

use super::{
    plane::{Plane, Point},
    terrain::Terrain,
};

/// Where the aircraft is: place, and metres above launch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub(super) point: Point,
    pub(super) height: f64,
}

/// How a leg is flown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Motion {
    /// Straight up, straight down, or staying.
    Upright,
    Fly,
    /// The way to launch of a return.
    Home,
}

/// A straight part of the path.
#[derive(Clone, Copy, Debug)]
pub(super) struct Leg {
    /// The step that it belongs to, from 1.
    pub(super) step: usize,
    pub(super) motion: Motion,
    pub(super) from: Spot,
    pub(super) to: Spot,
    /// How much of the path over ground lies before it, in metres.
    pub(super) begins: f64,
}

impl Leg {
    pub(super) fn length(&self) -> f64 {
        self.from.point.distance(self.to.point)
    }

    pub(super) fn ends(&self) -> f64 {
        self.begins + self.length()
    }
}

/// What there is to say about the charge after a step. Upper bounds, in Wh, in the wind that takes most.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Charge {
    pub(super) step: usize,
    /// Seconds since the start.
    pub(super) time: f64,
    pub(super) used: f64,
    /// What the flight takes to touchdown if it turns back here; none where it is on the ground.
    pub(super) turned_back: Option<f64>,
}

/// The legs of a route.
pub(super) fn legs(steps: &[Step], plane: Plane, terrain: Option<&Terrain<'_>>, homeward: &ReturnHabits) -> Vec<Leg> {
    let mut path = Path { legs: Vec::new(), spot: Spot { point: Point::LAUNCH, height: 0.0 }, length: 0.0, step: 0 };
    for step in steps {
        path.step += 1;
        let Spot { point, height } = path.spot;
        match step {
            Step::Climb { height } => path.go(Motion::Upright, point, metres(height.get())),
            Step::Fly { to, height, .. } => path.go(Motion::Fly, plane.point(*to), metres(height.get())),
            Step::Hold { .. } => path.go(Motion::Upright, point, height),
            Step::Land => {
                let ground = terrain.filter(|_| point != Point::LAUNCH).and_then(|terrain| terrain.at(point));
                path.go(Motion::Upright, point, ground.map_or(0.0, |(lowest, _)| lowest));
            }
            Step::Return => {
                let top = height.max(metres(homeward.height.get()));
                path.go(Motion::Upright, point, top);
                path.go(Motion::Home, Point::LAUNCH, top);
                path.go(Motion::Upright, Point::LAUNCH, 0.0);
            }
        }
    }
    path.legs
}

struct Path {
    legs: Vec<Leg>,
    spot: Spot,
    length: f64,
    step: usize,
}

impl Path {
    fn go(&mut self, motion: Motion, point: Point, height: f64) {
        let (from, to) = (self.spot, Spot { point, height });
        let leg = Leg { step: self.step, motion, from, to, begins: self.length };
        self.length = leg.ends();
        self.spot = to;
        self.legs.push(leg);
    }
}

/// Hundredths of a metre as metres.
pub(super) fn metres(hundredths: i32) -> f64 {
    f64::from(hundredths) / 100.0
}

/// What the checker says of the charge after each step; up to where it can say it.
pub(super) fn charges(steps: &[Step], limits: Limits<'_>, launch: &Launch, subject: Subject) -> Vec<Charge> {
    let mut checker = Checker::new(limits, launch.clone(), Readings::NONE);
    let mut charges = vec![Charge::default()];
    for (number, step) in (1..).zip(steps) {
        checker.step(limits, step);
        let so_far = checker.so_far();
        let Some((used, time)) = so_far.used.zip(so_far.time) else { break };
        let time =
            Some(time).and_then(|time| u32::try_from(time).ok()).map_or(f64::NAN, |time| f64::from(time) / 1000.0);
        let turned_back = turned_back(checker.clone(), step, limits, subject);
        charges.push(Charge { step: number, time, used: watt_hours(used), turned_back });
    }
    charges.retain(|charge| charge.time.is_finite());
    charges
}

fn turned_back(mut checker: Checker, step: &Step, limits: Limits<'_>, subject: Subject) -> Option<f64> {
    if matches!(step, Step::Land | Step::Return) {
        return None;
    }
    checker.step(limits, &Step::Return);
    checker.finish(limits, subject).energy.map(|energy| watt_hours(energy.needed))
}

/// Thousandths of a watt-hour as watt-hours.
pub(super) fn watt_hours(thousandths: u32) -> f64 {
    f64::from(thousandths) / 1000.0
}
