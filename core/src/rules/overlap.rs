//! Where what passes is both too near to a zone and within its heights: decided along the leg, not by its highest point.
//!
//! At each point of the leg the horizontal *spare* f is distance less margin, the vertical spare g is vertical gap less
//! vertical margin. The zone is kept at that point if either is at least 0; what is reported is the least value of
//! max(f, g) over the leg, V. g depends on the height alone, so the part of the leg where g < c is one stretch, known exactly;
//! V >= c if and only if f >= c on all of that stretch. V is found by narrowing an interval of c down to 1 cm. What is
//! reported is always a c for which that was shown, so it is never above V, and less than 1 cm below what the distances allow.
//! Narrowing takes more than halves: F(c), the least f on the stretch of c, falls as c rises, so V lies between c and F(c);
//! and at the place where it was reached V is no more than max(f, g). So a trial just below that often ends the search.
//!
//! All that holds for rises and ways home, too: which heights they take where the leg has a height h rises with h.

use super::{
    sweep::{Heights, Stretch, Sweep, Trial, gap_to_keep, search},
    zones::{limit_of, measure_of, outside_floor},
};
use crate::{
    arithmetic::clamp_i32,
    geometry::{
        plane::Part,
        shape::{Approach, Shape},
    },
    model::zone::Zone,
    verdict::{Measure, Place, Unit},
};

/// A zone's lowest and highest height above launch, 0.01 m; `None` without end.
#[derive(Clone, Copy)]
pub(crate) struct Band {
    pub(crate) floor: Option<i32>,
    pub(crate) ceiling: Option<i32>,
}

/// What a hint of a place may be off by, in heights, 0.01 m.
const HINT: i64 = 3;
/// Higher than any height, and lower when negative.
const ENDLESS: i64 = 1 << 40;

/// A zone with heights, held against what passes.
pub(crate) struct Overlap<'a> {
    pub(crate) sweep: &'a Sweep<'a>,
    pub(crate) index: u8,
    pub(crate) zone: &'a Zone,
    pub(crate) band: Band,
}

impl Overlap<'_> {
    /// The least of max(f, g) as a measure on the axis that decides, and where; nothing if it is no less than `known`.
    /// `flat` is f over the whole leg, at `place`.
    pub(crate) fn tightest(&self, flat: Measure, place: Place, known: i64) -> Option<(Measure, Place)> {
        let base = i64::from(flat.spare());
        if self.most() <= base {
            // No height of the leg keeps more than the distance does.
            return (base < known).then_some((flat, place));
        }
        let slanted = self.sweep.slanted();
        let trial = |spare: i64| match self.stretch(spare) {
            None => Trial::Kept,
            // Nothing less than what the distance leaves is tried.
            Some(_) if !slanted => Trial::Not { from: base, to: spare },
            Some(stretch) => self.trial(stretch, spare),
        };
        let first = match trial(known) {
            Trial::Kept => return None,
            Trial::Not { to, .. } => to,
        };
        let high = known.min(first).min(self.most()).max(base).saturating_add(1);
        let found = search(base, high, trial);
        let next = self.stretch(found.saturating_add(1));
        Some(match (self.stretch(found), next) {
            _ if found == base => (flat, place),
            (None, Some(tight)) => self.vertical(found, tight),
            (_, tight) => {
                let (measure, place, _) = self.flat(tight.unwrap_or(Stretch::ALL), i64::MAX);
                let clearance = clamp_i32(found.saturating_add(i64::from(measure.required)));
                (Measure { clearance, ..measure }, place)
            }
        })
    }

    /// The heights (0.01 m) that keep `spare` more than the vertical margin are those surely up to the first and those surely
    /// from the second.
    fn bounds(&self, spare: i64) -> (i64, i64) {
        let Band { floor, ceiling } = self.band;
        let low = floor.map_or(-ENDLESS, i64::from).saturating_sub(gap_to_keep(self.sweep.up, spare));
        let high = ceiling.map_or(ENDLESS, i64::from).saturating_add(gap_to_keep(self.sweep.down, spare));
        (low, high)
    }

    /// The part of the leg whose heights keep less than `spare`.
    fn stretch(&self, spare: i64) -> Option<Stretch> {
        let (low, high) = self.bounds(spare);
        let heights = self.sweep.between(low, high)?;
        Some(Stretch::with_heights(self.sweep.leg, heights))
    }

    /// f over a stretch, where it is less than `spare`, and where.
    fn flat(&self, stretch: Stretch, spare: i64) -> (Measure, Place, Part) {
        let sweep = self.sweep;
        let shape = sweep.shape_over(stretch);
        let limit = limit_of(spare, sweep.horizontal);
        let near: Approach = outside_floor(sweep.scene, &shape, self.index, self.zone, limit);
        let part = stretch.part(Shape::part_of_base(near));
        (measure_of(near.distance, sweep.horizontal), sweep.place(&shape, stretch, near), part)
    }

    /// Whether f keeps `spare` on a stretch; if not, what that tells of V.
    fn trial(&self, stretch: Stretch, spare: i64) -> Trial {
        let (measure, _, part) = self.flat(stretch, spare);
        let least = i64::from(measure.spare());
        if least >= spare {
            return Trial::Kept;
        }
        // Where a zone lies within a triangle no way's own distance is known.
        if measure.clearance < 0 && matches!(self.sweep.heights, Heights::Home(_)) {
            return Trial::Not { from: least, to: spare };
        }
        // The place is only good to a millionth of the leg: a little more is allowed for.
        let here = least.max(self.spare(self.sweep.leg.height_at(part))).saturating_add(HINT);
        Trial::Not { from: least, to: here }
    }

    /// The most that any height of the leg keeps.
    fn most(&self) -> i64 {
        let leg = self.sweep.leg;
        self.spare(leg.lowest()).max(self.spare(leg.highest()))
    }

    /// g where the leg has a height.
    fn spare(&self, own: i32) -> i64 {
        let (under, over) = self.gaps(own);
        under.max(over)
    }

    /// How much more than the margin is kept to the zone's floor, and to its ceiling.
    fn gaps(&self, own: i32) -> (i64, i64) {
        let (air, heights) = (self.sweep.scene.around.air, self.sweep.heights);
        let (low, high) = self.bounds(0);
        let highest = i64::from(air.highest_ceil(heights.highest(own)));
        let lowest = i64::from(air.lowest_floor(heights.lowest(own)));
        (low.saturating_sub(highest), lowest.saturating_sub(high))
    }

    /// The vertical gap of `spare` more than the margin, at the stretch that has it. Zones are closed: where the gap is nothing
    /// the zone is touched, which is reported as 1 cm less than nothing.
    fn vertical(&self, spare: i64, tight: Stretch) -> (Measure, Place) {
        let sweep = self.sweep;
        let (air, leg) = (sweep.scene.around.air, sweep.leg);
        let own = leg.height_at(tight.start);
        let (under, over) = self.gaps(own);
        let required = if under >= over {
            sweep.up.saturating_add(air.above_ceil(sweep.heights.highest(own)))
        } else {
            sweep.down.saturating_add(air.below_ceil(sweep.heights.lowest(own)))
        };
        let clearance = clamp_i32(spare.saturating_add(i64::from(required)));
        let clearance = if clearance == 0 { -1 } else { clearance };
        (Measure { clearance, required, unit: Unit::MetresVertical }, leg.place(&sweep.scene.around.frame, tight.start))
    }
}
