//! Where a leg is both too near to a zone and within its heights: decided along the leg, not by its highest point.
//!
//! At each point of the leg the horizontal *spare* f is distance less margin, the vertical spare g is vertical gap less
//! vertical margin. The zone is kept at that point if either is at least 0; what is reported is the least value of
//! max(f, g) over the leg, V. g depends on the height alone, so the part of the leg where g < c is one stretch, known exactly;
//! V >= c if and only if f >= c on all of that stretch. V is found by halving an interval of c down to 1 cm. What is
//! reported is always a c for which that was shown, so it is never above V, and less than 1 cm below what the distances allow.
//! (Heights are whole centimetres: where V is that of a height between two of them, deep inside, it is said up to 5 mm too high.)
//!
//! "Linear with the distance covered" means something slightly different along each reading of a straight line. The shift
//! along the leg is below the leg's bow, so each stretch is made longer by that at both ends.

use super::{Scene, leg::Leg, margin::horizontal_measure, zones::outside_floor};
use crate::{
    arithmetic::{clamp_i32, divide_ceil, divide_floor, divisor},
    geometry::{
        plane::{PART_BITS, Part, WHOLE},
        predicate::Point,
        separation::Line,
        straightness::point_between,
    },
    model::zone::Zone,
    verdict::{Measure, Unit},
};

/// A zone's lowest and highest height above launch, 0.01 m; `None` without end.
#[derive(Clone, Copy)]
pub(crate) struct Band {
    pub(crate) floor: Option<i32>,
    pub(crate) ceiling: Option<i32>,
}

/// The heights (0.01 m above launch) that keep the vertical margin are those up to `low` and those from `high`.
#[derive(Clone, Copy)]
struct Forbidden {
    low: i64,
    high: i64,
    up: i32,
    down: i32,
}

/// Higher than any height, and lower when negative.
const ENDLESS: i64 = 1 << 40;
/// Halvings at most: enough for the largest interval of heights.
const HALVINGS: u32 = 24;

impl Forbidden {
    fn new(band: Band, up: i32, down: i32) -> Self {
        let low = band.floor.map_or(-ENDLESS, |floor| i64::from(floor).saturating_sub(i64::from(up)));
        let high = band.ceiling.map_or(ENDLESS, |ceiling| i64::from(ceiling).saturating_add(i64::from(down)));
        Self { low, high, up, down }
    }

    /// The gap between a height and the zone's heights, and the margin that it is held to. Zones are closed: where the gap is
    /// nothing the zone is touched, which is reported as 1 cm less than nothing.
    fn gap(self, height: i32) -> (i64, i32) {
        let height = i64::from(height);
        let (under, over) = (self.low.saturating_sub(height), height.saturating_sub(self.high));
        let (spare, margin) = if under >= over { (under, self.up) } else { (over, self.down) };
        let gap = spare.saturating_add(i64::from(margin));
        (if gap == 0 { -1 } else { gap }, margin)
    }

    /// g: how much more than the margin a height keeps from the zone's heights.
    fn spare(self, height: i32) -> i64 {
        let (gap, margin) = self.gap(height);
        gap.saturating_sub(i64::from(margin))
    }

    /// The height between `lowest` and `highest` that keeps least.
    fn worst(self, lowest: i32, highest: i32) -> i32 {
        let middle = self.low.saturating_add(self.high) / 2;
        clamp_i32(middle.clamp(i64::from(lowest), i64::from(highest).max(i64::from(lowest))))
    }

    /// The vertical gap at a height against its margin.
    fn measure(self, height: i32) -> Measure {
        let (gap, required) = self.gap(height);
        Measure { clearance: clamp_i32(gap), required, unit: Unit::MetresVertical }
    }
}

/// The least of max(f, g) over a leg, as a measure on the axis that decides, and where. `flat` is f over the whole leg.
pub(crate) fn tightest(
    scene: &Scene<'_>, leg: &Leg, index: u8, zone: &Zone, band: Band, flat: Measure, nearest: Part,
) -> (Measure, Part) {
    let forbidden = Forbidden::new(band, scene.margins.up_ceil(leg.piece.speed.max(0)), scene.margins.down());
    let worst = forbidden.worst(leg.lowest(), leg.highest());
    let base = i64::from(flat.spare()).max(forbidden.spare(worst));
    let most = forbidden.spare(leg.lowest()).max(forbidden.spare(leg.highest()));
    let near = |stretch: Stretch| {
        let line = Line::new(scene.frame, stretch.point(leg, 0), stretch.point(leg, WHOLE));
        outside_floor(scene, line, index, zone)
    };
    let kept = |spare: i64| {
        Stretch::below(leg, forbidden, spare)
            .is_none_or(|stretch| i64::from(horizontal_measure(scene, leg, near(stretch).distance).spare()) >= spare)
    };
    // A vertical or level leg has the same f or g all along: nothing to search for.
    let slanted = leg.piece.from.place != leg.piece.to.place && leg.rise() != 0;
    let found = if slanted { search(base, most, kept) } else { base };
    if found > base {
        let clearance = clamp_i32(found.saturating_add(i64::from(flat.required)));
        let tight = Stretch::below(leg, forbidden, found.saturating_add(1));
        (Measure { clearance, ..flat }, tight.map_or(nearest, |stretch| stretch.part(near(stretch).part)))
    } else if i64::from(flat.spare()) >= base {
        (flat, nearest)
    } else {
        (forbidden.measure(worst), part_at(leg, worst))
    }
}

/// The largest value from `low` (known to be kept) up to `high` for which `kept` was seen, to 1.
fn search(low: i64, high: i64, kept: impl Fn(i64) -> bool) -> i64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..HALVINGS {
        if high.saturating_sub(low) <= 1 {
            break;
        }
        let middle = low.saturating_add(high) / 2;
        if kept(middle) { low = middle } else { high = middle }
    }
    low
}

/// A part of a leg.
#[derive(Clone, Copy)]
struct Stretch {
    start: Part,
    end: Part,
}

impl Stretch {
    /// The part of a slanted leg whose heights keep less than `spare`, made longer by the bow at both ends.
    fn below(leg: &Leg, forbidden: Forbidden, spare: i64) -> Option<Self> {
        let from = forbidden.low.saturating_sub(spare).max(i64::from(leg.lowest()));
        let to = forbidden.high.saturating_add(spare).min(i64::from(leg.highest()));
        if from > to {
            return None;
        }
        let shift = divide_ceil(leg.line.bow.unsigned_abs() << PART_BITS, divisor(leg.length_floor.unsigned_abs()));
        let shift = u32::try_from(shift).unwrap_or(WHOLE).saturating_add(1);
        let (one, two) = (part_at(leg, clamp_i32(from)), part_at(leg, clamp_i32(to)));
        let end = one.max(two).saturating_add(shift).saturating_add(1).min(WHOLE);
        Some(Self { start: one.min(two).saturating_sub(shift), end })
    }

    /// A part of the stretch as a part of the leg, rounded down.
    fn part(self, within: Part) -> Part {
        let size = u64::from(self.end.saturating_sub(self.start));
        let way = size.saturating_mul(u64::from(within)) >> PART_BITS;
        self.start.saturating_add(u32::try_from(way).unwrap_or(0))
    }

    fn point(self, leg: &Leg, within: Part) -> Point {
        point_between(leg.piece.from.place, leg.piece.to.place, self.part(within))
    }
}

/// Where along a leg it has a height that is between those of its ends, rounded down.
fn part_at(leg: &Leg, height: i32) -> Part {
    let done = u64::from(height.abs_diff(leg.piece.from.height));
    let part = divide_floor(done << PART_BITS, divisor(u64::from(leg.rise().unsigned_abs())));
    u32::try_from(part).unwrap_or(WHOLE).min(WHOLE)
}
