//! Zones as obstacles: what every passage has to spare of them.

use pinfold_core::{
    model::{
        route::Launch,
        store::Limits,
        zone::{HeightBand, HeightReference, Shape, Zone as Described, ZoneKind},
    },
    units::Height,
};

use super::{
    air::Air,
    near::{Stretch, nearest, nearly},
    passage::{Kind, Passage},
    sift::sift,
    spread::Spread,
    triangle::{is_within, touches},
};
use crate::oracle::{
    course::Home,
    earth::Ground,
    exact::{Local, edges},
    flight::{home, hundredths, local},
};

/// A zone.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Its number.
    pub number: u8,
    /// What it is for.
    pub kind: ZoneKind,
    rings: Vec<Vec<Local>>,
    lines: Vec<Stretch>,
    /// Of a circle.
    radius: f64,
    center: Option<Local>,
    /// Lowest and highest height above launch.
    band: Option<(f64, f64)>,
}

/// What a zone looks like from launch: rings, or centre and radius in metres.
#[derive(Clone, Debug)]
pub enum Outline {
    /// Rings.
    Rings(Vec<Vec<Local>>),
    /// A circle.
    Circle(Local, f64),
}

/// Lowest and highest height above launch.
fn above_launch(launch: &Launch, heights: HeightBand) -> (f64, f64) {
    let elevation = launch.elevation.map_or(f64::NAN, |sea| hundredths(sea.get()));
    let zero = if heights.reference == HeightReference::AboveLaunch { 0.0 } else { elevation };
    let above = |height: Option<Height>, none: f64| height.map_or(none, |height| hundredths(height.get()) - zero);
    (above(heights.floor, f64::NEG_INFINITY), above(heights.ceiling, f64::INFINITY))
}

/// What there is to spare, in metres.
#[derive(Clone, Copy, Debug)]
pub struct Spare {
    /// Of which step.
    pub step: u16,
    /// Of which part of it.
    pub kind: Kind,
    /// No more may be reported.
    pub most: f64,
    /// No less may be reported.
    pub least: f64,
    /// Above zero there must be no refusal.
    pub needless: f64,
    /// Distance and the least margin, where heights don't matter.
    pub flat: Option<(f64, f64)>,
    /// A point in common: always a refusal.
    pub touched: bool,
}

/// What may be demanded for the readings of "straight": at most a tenth above how far they are apart, and a centimetre.
fn allowance(spread: Spread) -> f64 {
    1.1 * spread.at_most + 0.01
}

/// Bounds of what heights are off.
#[derive(Clone, Copy, Debug, Default)]
pub struct Airs {
    /// The least that is meant.
    pub least: Air,
    /// The most that may be counted.
    pub most: Air,
}

impl Zone {
    /// A zone of limits, seen from launch.
    #[must_use]
    pub fn of_limits(limits: Limits<'_>, launch: &Launch, number: u8, zone: &Described) -> Self {
        let outline = match zone.shape {
            Shape::Circle { center, radius } => Outline::Circle(local(launch, center), hundredths(radius.get())),
            Shape::Polygon => {
                let ring = |ring: &[_]| ring.iter().map(|vertex| local(launch, *vertex)).collect();
                Outline::Rings(limits.rings(number).map(ring).collect())
            }
        };
        Self::new(launch, number, zone.kind, outline, zone.heights)
    }

    /// A zone, seen from launch.
    #[must_use]
    pub fn new(launch: &Launch, number: u8, kind: ZoneKind, outline: Outline, heights: Option<HeightBand>) -> Self {
        let home = home(launch);
        let band = heights.map(|heights| above_launch(launch, heights));
        match outline {
            Outline::Circle(center, radius) => {
                let dot = Stretch::new(home.ground(center), home.ground(center));
                Self { number, kind, rings: vec![], lines: vec![dot], radius, center: Some(center), band }
            }
            Outline::Rings(rings) => {
                let line = |(from, to)| Stretch::new(home.ground(from), home.ground(to));
                let lines = edges(&rings).map(line).collect();
                Self { number, kind, rings, lines, radius: 0.0, center: None, band }
            }
        }
    }

    /// Whether it has heights of its own.
    #[must_use]
    pub const fn has_heights(&self) -> bool {
        self.band.is_some()
    }

    /// Whether a passage has a point in common with what must not be reached. Exact, but for circles.
    #[must_use]
    pub fn touched(&self, passage: &Passage) -> bool {
        match (self.center, self.kind) {
            (Some(center), _) => {
                super::triangle::encloses(passage.triangle, center)
                    || nearest(&passage.sides, &self.lines) <= self.radius
            }
            (None, ZoneKind::KeepIn) => !is_within(passage.triangle, &self.rings),
            (None, ZoneKind::KeepOut | ZoneKind::People) => touches(passage.triangle, &self.rings),
        }
    }

    /// Distance of a whole passage.
    fn distance(&self, passage: &Passage) -> (f64, bool) {
        let touched = self.touched(passage);
        (if touched { 0.0 } else { (nearest(&passage.sides, &self.lines) - self.radius).max(0.0) }, touched)
    }

    /// Distance of what passes at a parameter; roughly, or by search.
    fn distance_at(&self, passage: &Passage, share: f64, roughly: bool) -> f64 {
        let slice = [passage.slice(share)];
        if self.strikes(passage.home, &slice[0]) {
            return 0.0;
        }
        let far = if roughly { nearly(&slice, &self.lines) } else { nearest(&slice, &self.lines) };
        (far - self.radius).max(0.0)
    }

    /// Whether a line begins in the zone or crosses its outline, in floating point.
    fn strikes(&self, home: Home, line: &Stretch) -> bool {
        let flat = |place: Ground| (place.longitude, place.latitude);
        let (a, b) = (flat(line.at(0.0)), flat(line.at(1.0)));
        let turn = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
        let mut inside = false;
        for (from, to) in edges(&self.rings) {
            let (c, d) = (flat(home.ground(from)), flat(home.ground(to)));
            if turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0 {
                return true;
            }
            if (c.0 <= a.0) != (d.0 <= a.0) {
                inside ^= c.1 + (a.0 - c.0) / (d.0 - c.0) * (d.1 - c.1) > a.1;
            }
        }
        inside
    }

    /// The parameter with the least value of those where what passes is within reach; `value` only falls or only rises.
    #[must_use]
    pub fn first_within(
        &self, passage: &Passage, reach: &dyn Fn(f64) -> bool, value: &dyn Fn(f64) -> f64,
    ) -> Option<f64> {
        if !passage.is_slanted() {
            return reach(self.distance(passage).0).then_some(0.0);
        }
        let far = |share: f64| self.distance_at(passage, share, false);
        let nearest = sift(|share| self.distance_at(passage, share, true));
        if !reach(far(nearest)) {
            return None;
        }
        // What is within reach of a cell is one stretch: from the nearest place on to where it ends.
        let (mut inside, mut outside) = (nearest, if value(0.0) < value(1.0) { 0.0 } else { 1.0 });
        if reach(far(outside)) {
            return Some(outside);
        }
        for _ in 0..30 {
            let middle = f64::midpoint(inside, outside);
            if reach(far(middle)) { inside = middle } else { outside = middle }
        }
        Some(inside)
    }

    /// What a passage has to spare; nothing where the zone is not asked about it.
    #[must_use]
    pub fn spare(&self, passage: &Passage, airs: &Airs) -> Spare {
        match (self.kind, self.band) {
            (ZoneKind::KeepOut, Some(band)) => self.banded(passage, airs, band),
            (ZoneKind::People, _) => self.crowd(passage, airs),
            (ZoneKind::KeepIn | ZoneKind::KeepOut, _) => self.flat(passage, 0.0, 0.0),
        }
    }

    /// Distance alone, against the margin and at least `heights`.
    fn flat(&self, passage: &Passage, least_height: f64, most_height: f64) -> Spare {
        let (meters, touched) = self.distance(passage);
        let spread = passage.spread;
        let margin = passage.across.0.max(least_height) + spread.surely;
        let wide = passage.across.1.max(most_height);
        let (least, needless) = if touched {
            (f64::NEG_INFINITY, f64::NEG_INFINITY)
        } else {
            (
                meters - passage.tolerance(meters) - wide - 1.1 * spread.at_most - 0.02,
                meters - 0.05 - 0.001 * meters - wide - allowance(spread),
            )
        };
        let flat = Some((meters, margin));
        Spare { step: passage.step, kind: passage.kind, most: meters - margin, least, needless, flat, touched }
    }

    /// People: as far as high.
    fn crowd(&self, passage: &Passage, airs: &Airs) -> Spare {
        let height = |air: &Air, share: f64| air.highest(passage.heights(share).1);
        if !passage.is_slanted() {
            return self.flat(passage, height(&airs.least, 0.0), height(&airs.most, 0.0) + 0.01);
        }
        let spread = passage.spread;
        let value = |share: f64, roughly: bool| {
            let required = passage.across.0.max(height(&airs.least, share)) + spread.surely;
            self.distance_at(passage, share, roughly) - required
        };
        let share = sift(|share| value(share, true));
        let (touched, most) = (self.touched(passage), value(share, false));
        let wide = |extra: f64| {
            let meters = self.distance_at(passage, share, false);
            meters - 0.05 - 0.001 * meters - passage.across.1.max(height(&airs.most, share) + 0.01) - extra
        };
        let slope = passage.slope_lost();
        let long = if passage.length() > 500.0 { spread.at_most } else { 0.0 };
        let (least, needless) = (wide(1.1 * spread.at_most + 0.02 + slope + long), wide(allowance(spread) + slope));
        let refuse = if touched { (f64::NEG_INFINITY, f64::NEG_INFINITY) } else { (least, needless) };
        Spare { step: passage.step, kind: passage.kind, most, least: refuse.0, needless: refuse.1, flat: None, touched }
    }

    /// Heights count: the larger of what is to spare across and up or down.
    fn banded(&self, passage: &Passage, airs: &Airs, band: (f64, f64)) -> Spare {
        let vertical = |air: &Air, up: f64, share: f64| {
            let (low, high) = passage.heights(share);
            let (floor, ceiling) = (band.0 - up, band.1 + passage.down);
            let nearer = (floor - air.highest(high)).max(air.lowest(low) - ceiling);
            // What passes at several heights, or at one that isn't known, is never farther from a zone than from its middle.
            let middle = (floor - ceiling) / 2.0;
            if middle > nearer { (middle, f64::NEG_INFINITY) } else { (nearer, nearer) }
        };
        let spread = passage.spread;
        let most = |meters: f64, share: f64| {
            (meters - passage.across.0 - spread.surely).max(vertical(&airs.least, passage.up.0, share).0)
        };
        let slope = passage.slope_lost();
        let eased = |meters: f64, share: f64, sideways: f64, loss: &dyn Fn(f64) -> f64| {
            let across = meters - loss(meters) - passage.across.1 - sideways;
            let gap = vertical(&airs.most, passage.up.1, share).1;
            across.max(gap - 0.05 - 0.001 * gap.abs() - slope)
        };
        let (share, meters, touched) = if passage.is_slanted() {
            let share = sift(|share| most(self.distance_at(passage, share, true), share));
            (share, self.distance_at(passage, share, false), false)
        } else {
            let (low, high) = passage.heights(0.0);
            let (meters, touched) = self.distance(passage);
            // Closed sets: at a zone's very floor the zone is touched.
            (0.0, meters, touched && low <= band.1 && high >= band.0)
        };
        // What may be lost across is more than what may be lost of heights: with both off, the tightest place can be another.
        let tight = |sideways: f64, loss: &dyn Fn(f64) -> f64| {
            let here = eased(meters, share, sideways, loss);
            if !passage.is_slanted() {
                return here;
            }
            let at =
                |share: f64, roughly: bool| eased(self.distance_at(passage, share, roughly), share, sideways, loss);
            here.min(at(sift(|share| at(share, true)), false))
        };
        let needless = tight(allowance(spread), &|meters| 0.05 + 0.001 * meters);
        let lost = tight(1.1 * spread.at_most + 0.02, &|meters| passage.tolerance(meters));
        // By how much a zone with heights is broken is nobody's promise: what passes at several heights is within it somehow.
        let lost = if most(meters, share) < 0.0 { f64::NEG_INFINITY } else { lost };
        let most = most(meters, share);
        Spare { step: passage.step, kind: passage.kind, most, least: lost, needless, flat: None, touched }
    }
}
