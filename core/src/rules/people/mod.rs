//! `people`: the path stays as far from people as it is high, and no nearer than the margin of its speed (the one-to-one rule),
//! nor than the least distance that limits may give.
//!
//! Distances are horizontal, heights above launch (the highest that they may truly be, where limits know the air). On a leg
//! that climbs while it comes nearer, distance less height is taken along the leg, not the least distance less the greatest
//! height: see [`super::slope`].
//!
//! For the ways home from such a leg, where it is above the return height, see [`homeward`].

mod homeward;

use super::{
    Scene,
    leg::Leg,
    slope::{Least, Slope, cut},
    sweep::{Heights, Stretch, Sweep},
    zones::{limit_of, measure_of, outside_floor},
};
use crate::{
    arithmetic::clamp_i32,
    geometry::{
        predicate::{Point, edges},
        separation::Line,
    },
    model::zone::{Shape as Outline, Zone, ZoneKind},
    verdict::{Finding, Findings, Measure, Place, Rule},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if !leg.stays() {
        away_from_all(&Sweep::of_leg(scene, leg), Rule::People, findings);
    }
}

/// What passes, held to every zone of people by a rule.
pub(crate) fn away_from_all(sweep: &Sweep<'_>, rule: Rule, findings: &mut Findings) {
    for (index, zone) in sweep.scene.limits.zones().filter(|(_, zone)| zone.kind == ZoneKind::People) {
        let known = findings.spare(rule, Some(index));
        let crowd = Crowd { sweep, index, zone };
        if let Some((measure, place)) = crowd.tightest(known) {
            let finding = Finding::measured(rule, sweep.leg.step, measure).at(place);
            findings.add(Finding { zone: Some(index), ..finding });
        }
    }
}

/// A zone of people, held against what passes.
struct Crowd<'a> {
    sweep: &'a Sweep<'a>,
    index: u8,
    zone: &'a Zone,
}

impl Crowd<'_> {
    /// The least of distance less what is required, and where; nothing if it is no less than `known`.
    fn tightest(&self, known: i64) -> Option<(Measure, Place)> {
        let (measure, place) = self.held_to_greatest(Stretch::ALL, known)?;
        let level = self.required(Stretch::ALL, false) == measure.required;
        if level || !self.sweep.slanted() || measure.clearance <= 0 {
            return Some((measure, place));
        }
        match self.sweep.heights {
            Heights::Own | Heights::Rise(_) => self.along(known),
            Heights::Home(_) => self.piecewise(known),
        }
    }

    /// The least distance of a stretch against what its greatest height requires; nothing if that leaves no less than `known`.
    fn held_to_greatest(&self, stretch: Stretch, known: i64) -> Option<(Measure, Place)> {
        let required = self.required(stretch, true);
        let limit = limit_of(known, required);
        let shape = self.sweep.shape_over(stretch);
        let near = outside_floor(self.sweep.scene, &shape, self.index, self.zone, limit);
        (near.distance < limit).then(|| (measure_of(near.distance, required), self.sweep.place(&shape, stretch, near)))
    }

    /// What the greatest or the least height of a stretch requires, 0.01 m.
    fn required(&self, stretch: Stretch, greatest: bool) -> i32 {
        let leg = self.sweep.leg;
        let ends = [leg.height_at(stretch.start), leg.height_at(stretch.end)];
        // A height between two whole ones was rounded down.
        let [one, two] = ends.map(|own| self.sweep.heights.highest(own.saturating_add(1).min(leg.highest())));
        let own = if greatest { one.max(two) } else { one.min(two) };
        self.required_at(own)
    }

    /// What a height requires: the margin or the height, whichever is more, and for the readings of "straight", 0.01 m.
    fn required_at(&self, height: i32) -> i32 {
        let height = self.sweep.scene.around.air.highest_ceil(height);
        self.at_least().max(height.saturating_add(self.sweep.apart))
    }

    /// What is required at any height: the margin, and the least distance from people where limits say one.
    fn at_least(&self) -> i32 {
        let people = self.sweep.scene.around.margins.people();
        self.sweep.horizontal.max(people.saturating_add(self.sweep.apart))
    }

    /// A leg that changes its height: along it, edge by edge.
    fn along(&self, known: i64) -> Option<(Measure, Place)> {
        let (sweep, frame) = (self.sweep, &self.sweep.scene.around.frame);
        let flat = outside_floor(sweep.scene, &sweep.shape, self.index, self.zone, i64::MAX);
        let margin = measure_of(flat.distance, self.at_least());
        let mut least = Least { value: known.saturating_mul(10), part: 0 };
        for leg in cut(frame, sweep.leg.line) {
            let slope = Slope::new(sweep, leg);
            match self.zone.shape {
                Outline::Circle { center, radius } => {
                    let center = frame.local(center).unwrap_or(Point { x: 0, y: 0 });
                    let radius = i64::from(radius.get()).saturating_mul(10);
                    least = slope.least(Line::new(frame, center, center), radius, least);
                }
                Outline::Polygon => {
                    for ring in sweep.scene.limits.rings(self.index) {
                        for (a, b) in edges(ring.iter().filter_map(|vertex| frame.local(*vertex))) {
                            let edge = Line::new(frame, a, b);
                            if slope.may_be_less(edge, least) {
                                least = cut(frame, edge).fold(least, |least, (part, ..)| slope.least(part, 0, least));
                            }
                        }
                    }
                }
            }
        }
        let by_height = least.value < known.saturating_mul(10);
        let spare = clamp_i32(least.value.div_euclid(10));
        if by_height && spare < margin.spare() {
            let place = sweep.leg.place(frame, least.part);
            let required = sweep.scene.around.air.highest_ceil(place.height).saturating_add(sweep.apart);
            return Some((Measure { clearance: spare.saturating_add(required), required, ..margin }, place));
        }
        let place = sweep.place(&sweep.shape, Stretch::ALL, flat);
        (i64::from(margin.spare()) < known).then_some((margin, place))
    }
}
