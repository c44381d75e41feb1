//! Ways home from a part of a leg: how far they are, where they lead, and what they take. See [`super`] for why the two ends
//! of a part decide.

use super::{
    airspeed::{Airspeeds, Speeds},
    effort::{microjoules, powers, time_ceil},
    heading::{Cosines, Heading, Headings, angle_ceil},
    power::{climb_extra, most_ceil},
    sectors::{SECTORS, Sectors},
};
use crate::{
    arithmetic::{clamp_i64, divide_ceil, divisor},
    geometry::{
        frame::Frame,
        plane::{PART_BITS, Part, PlanePoint, WHOLE},
        shape::Place,
    },
    model::limits::Figures,
    rules::leg::Leg,
};

/// No part is halved below this: a thirty-second of the leg.
const SMALLEST: Part = WHOLE / 32;

/// The ways home from a leg.
#[derive(Clone, Copy)]
pub(crate) struct WaysHome<'a> {
    pub(crate) figures: &'a Figures,
    pub(crate) frame: &'a Frame,
    pub(crate) leg: &'a Leg,
    /// How far any reading of the leg can be from its chord at the same share of the way, mm: across, and along, which is less
    /// than half the bow (see `Stretch::with_heights`).
    across: i64,
    along: i64,
}

/// Where a way home begins.
#[derive(Clone, Copy)]
pub(crate) struct Begin {
    pub(crate) part: Part,
    plane: PlanePoint,
}

/// A part of a leg, by its ends.
#[derive(Clone, Copy)]
pub(crate) struct Stretch {
    pub(crate) ends: [Begin; 2],
    pub(crate) headings: Headings,
}

impl<'a> WaysHome<'a> {
    pub(crate) fn new(figures: &'a Figures, frame: &'a Frame, leg: &'a Leg) -> Self {
        let along = leg.line.bow.saturating_add(1) / 2;
        Self { figures, frame, leg, across: leg.apart, along }
    }

    #[inline(never)]
    fn begin(&self, part: Part) -> Begin {
        let plane = match part {
            0 => self.leg.line.chord.from,
            WHOLE => self.leg.line.chord.to,
            _ => self.frame.plane(self.leg.point(part)),
        };
        Begin { part, plane }
    }

    /// The leg in parts, from its end to its beginning, each with all the headings that ways home from it can have: within a
    /// tenth of a radian where the part isn't small already.
    pub(crate) fn stretches(self) -> impl Iterator<Item = Stretch> + 'a {
        let mut next = Some(self.begin(WHOLE));
        // The whole leg at first, and then as much as was right for the part before, or twice that.
        let mut size = WHOLE;
        core::iter::from_fn(move || {
            let to = next?;
            let from = self.before(to, size);
            size = to.part.saturating_sub(from.part).saturating_mul(2);
            next = (from.part > 0).then_some(from);
            Some(Stretch { ends: [from, to], headings: self.headings(from, to) })
        })
    }

    /// The beginning of a part that ends there, not longer than a size.
    #[inline(never)]
    fn before(&self, to: Begin, mut size: Part) -> Begin {
        loop {
            let from = self.begin(to.part.saturating_sub(size));
            if size <= SMALLEST || self.alike(from, to) {
                return from;
            }
            size = (size / 2).max(SMALLEST);
        }
    }

    /// Whether ways home from between two places take about the same: their headings are within a tenth of a radian, or there is
    /// no wind for which that matters.
    fn alike(&self, from: Begin, to: Begin) -> bool {
        let [one, other] = [from, to].map(|begin| begin.plane.minus(PlanePoint::ORIGIN));
        let (turn, along) = (clamp_i64(one.cross(other).unsigned_abs()), one.dot(other));
        let above = [from, to].iter().any(|begin| begin.plane == PlanePoint::ORIGIN && !self.at_launch(*begin));
        let straight = !above && along >= 0 && turn.saturating_mul(10) <= along;
        (straight && self.surely_beside(from, to))
            || self.leg.line.from == self.leg.line.to
            || self.figures.wind.up_to.get() == 0
    }

    /// Whether launch is so far from a part that it doesn't matter where beside its chord the leg is, or at an end of it.
    fn surely_beside(&self, from: Begin, to: Begin) -> bool {
        let at_launch = self.at_launch(from) || self.at_launch(to);
        at_launch || self.across.saturating_add(2).saturating_mul(16) <= nearest_floor(from.plane, to.plane)
    }

    /// Where ways home from a part lead. What turns a way home: a line of curvature κ and length D leaves its chord by κ D / 2 at
    /// most, true north at its beginning and at launch differ by κ D, and where a leg of length L leads straight to launch its places
    /// are seen from there within κ L / 2.
    #[inline(never)]
    fn headings(&self, from: Begin, to: Begin) -> Headings {
        let away = |begin: Begin| begin.plane.distance_ceil(PlanePoint::ORIGIN);
        let turned =
            away(from).max(away(to)).saturating_mul(3).saturating_add(self.leg.length_ceil).saturating_add(1) / 2;
        let slack = self.frame.turn_ceil(turned);
        let home = |begin: Begin| Heading::between(begin.plane, PlanePoint::ORIGIN);
        match (home(from), home(to)) {
            // Straight to launch or straight from there: all in one direction, as exactly as the other end is known.
            (Some(one), None) if self.at_launch(to) => Headings::one(one, slack.saturating_add(blur_ceil(from.plane))),
            (None, Some(one)) if self.at_launch(from) => Headings::one(one, slack.saturating_add(blur_ceil(to.plane))),
            (None, _) | (_, None) => Headings::ALL,
            (Some(one), Some(other)) => {
                let (nearest, across) = (nearest_floor(from.plane, to.plane), self.across.saturating_add(2));
                match Headings::from_to(one, other) {
                    Some(headings) => {
                        // Beside its chord the whole part can be, along it its ends.
                        let along = angle_ceil(self.along, nearer_end_floor(from.plane, to.plane));
                        headings.and(slack.saturating_add(angle_ceil(across, nearest)).saturating_add(along))
                    }
                    // However far beside its chord it is: as long as launch is on the same side of it.
                    None if across < nearest => beside(from.plane, to.plane).and(slack),
                    None => Headings::ALL,
                }
            }
        }
    }

    /// Whether the leg begins or ends there, at launch exactly.
    fn at_launch(&self, begin: Begin) -> bool {
        let end = match begin.part {
            0 => self.leg.line.from,
            WHOLE => self.leg.line.to,
            _ => return false,
        };
        end == Place::LAUNCH.point
    }

    /// The largest airspeed that any of them needs, 0.01 m/s, rounded up; nothing where there is no way.
    pub(crate) fn airspeed_ceil(self) -> i32 {
        if self.leg.at_launch() {
            return 0;
        }
        let (wind, toward) = (self.figures.wind.up_to.get(), Sectors::new(&self.figures.wind).toward_any());
        let needed =
            |stretch: Stretch| Airspeeds::new(self.speeds(), wind, stretch.headings.cosines(&toward)).most_ceil;
        self.stretches().map(needed).max().unwrap_or(0)
    }

    fn speeds(&self) -> Speeds {
        let speed = self.figures.homeward.speed.get();
        Speeds { slowest: speed, fastest: speed }
    }

    /// The power of flying home in any wind, mW; `None` where the power table doesn't say.
    pub(crate) fn power_anyhow(&self) -> Option<u32> {
        let airspeeds = Airspeeds::new(self.speeds(), self.figures.wind.up_to.get(), Cosines::ALL);
        most_ceil(&self.figures.power, airspeeds)
    }

    /// The power of flying home from a part, in every sector.
    pub(crate) fn powers(&self, stretch: &Stretch) -> Option<[u32; SECTORS]> {
        if self.leg.at_launch() {
            // There is no way to fly.
            return Some([0; SECTORS]);
        }
        powers(self.figures, Some((stretch.headings, self.speeds())), 0)
    }

    /// Time of flying home, ms, rounded up.
    #[inline(never)]
    pub(crate) fn time_ceil(&self, begin: &Begin) -> u64 {
        if self.at_launch(*begin) {
            return 0;
        }
        let straight = begin.plane.distance_ceil(PlanePoint::ORIGIN);
        let bow = self.frame.bow_ceil(straight.unsigned_abs().saturating_mul(straight.unsigned_abs())).unsigned_abs();
        let curve = divide_ceil(bow.saturating_mul(bow).saturating_mul(3), divisor(straight.unsigned_abs()));
        let length = straight.saturating_add(clamp_i64(curve)).saturating_add(self.across).saturating_add(self.along);
        time_ceil(length.unsigned_abs(), self.figures.homeward.speed.get())
    }

    /// What all that isn't flying home takes, µJ: the rise that begins it, the hold and the descent that end it. The same in
    /// every sector. `None` beyond the power table.
    #[inline(never)]
    pub(crate) fn upright_ceil(&self, begin: &Begin) -> Option<i64> {
        let (table, habits) = (&self.figures.power, &self.figures.homeward);
        let still = most_ceil(table, Airspeeds::still(self.figures.wind.up_to.get()))?;
        let own = self.leg.height_at(begin.part);
        let own_ceil = if begin.part == 0 || begin.part == WHOLE { own } else { own.saturating_add(1) };
        let top = own_ceil.max(habits.height.get());
        let time = |height: i32, rate: i32| time_ceil(u64::from(height.unsigned_abs()).saturating_mul(10), rate);
        let rise = time(top.saturating_sub(own), self.figures.aircraft.climb.get());
        let hold = u64::from(habits.hold.get().unsigned_abs()).saturating_mul(10);
        let down = time(top, habits.landing.get());
        let climbing = microjoules(still.saturating_add(climb_extra(table)), rise);
        Some(climbing.saturating_add(microjoules(still, hold.saturating_add(down))))
    }

    /// Time from the beginning of the leg, ms, rounded up.
    pub(crate) fn time_before_ceil(begin: &Begin, time: u64) -> u64 {
        if begin.part == WHOLE {
            return time;
        }
        // 34 bits by 24.
        (time.saturating_mul(u64::from(begin.part)) >> PART_BITS).saturating_add(1)
    }
}

/// Where launch is from anywhere on the line between two places: on its left, or on its right.
fn beside(from: PlanePoint, to: PlanePoint) -> Headings {
    let left = to.minus(from).cross(PlanePoint::ORIGIN.minus(from)) > 0;
    let along = if left { Heading::between(from, to) } else { Heading::between(to, from) };
    along.map_or(Headings::ALL, Headings::left_of)
}

/// By what angle the rounding of a place can turn its direction from launch.
fn blur_ceil(place: PlanePoint) -> i32 {
    angle_ceil(2, nearer_end_floor(place, place))
}

/// How far from launch the nearer of two places is, mm, rounded down.
fn nearer_end_floor(from: PlanePoint, to: PlanePoint) -> i64 {
    let squared = |place: PlanePoint| place.minus(PlanePoint::ORIGIN).length_squared();
    clamp_i64(squared(from).min(squared(to)).isqrt())
}

/// How near to launch the line between two places comes at least, mm: by its distance from launch where that tells most, or else
/// by the nearer end and the angle between the two: half of it at most makes a right triangle with that end.
fn nearest_floor(from: PlanePoint, to: PlanePoint) -> i64 {
    let (one, other) = (from.minus(PlanePoint::ORIGIN), to.minus(PlanePoint::ORIGIN));
    let length = to.minus(from).length_squared().isqrt().saturating_add(1);
    let line = clamp_i64(one.cross(other).unsigned_abs() / divisor(length));
    // Within a right angle the half is at most 45 degrees, whose cosine is above 0.7.
    let end = nearer_end_floor(from, to).saturating_mul(7) / 10;
    if one.dot(other) > 0 { line.max(end) } else { line }
}

#[cfg(test)]
mod tests;
