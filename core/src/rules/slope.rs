//! A leg that changes its height beside an edge: where distance less height is least.
//!
//! Distance from an edge is a convex function of the place on a straight line, and so is what remains when a linear height is
//! taken off. So its least value is found by narrowing an interval, and bounded below by the slope.

use super::sweep::Sweep;
use crate::{
    arithmetic::{bounded_product, clamp_i32, clamp_i64},
    geometry::{
        frame::Frame,
        plane::{PART_BITS, Part, PlanePoint, WHOLE},
        separation::{END_ERROR, Line},
        straightness::{BOW_FINE, point_between},
    },
};

/// Doublings of the number of parts that a line is cut in at most so that its bow doesn't matter.
const MOST_DOUBLINGS: u32 = 6;
/// Rounding of a place on a leg, of its height and of a distance, together at most, mm.
const ROUNDING: i64 = 4;
/// What a slope may hide between the last two places looked at, mm.
const ENOUGH: i64 = 5;
/// Narrowings at most: each leaves two thirds.
const NARROWINGS: u32 = 48;

/// A line in equal parts, as many as it takes that their bows don't matter, each with where it begins and how long it is.
pub(super) fn cut(frame: &Frame, line: Line) -> impl Iterator<Item = (Line, Part, Part)> + '_ {
    // Half the length, a quarter of the bow.
    let doublings =
        (0..MOST_DOUBLINGS).find(|doublings| line.bow.wrapping_shr(2_u32.saturating_mul(*doublings)) <= BOW_FINE);
    let doublings = doublings.unwrap_or(MOST_DOUBLINGS);
    let size = WHOLE.wrapping_shr(doublings);
    (0..1_u32.wrapping_shl(doublings)).map(move |number| {
        let start = number.saturating_mul(size);
        let end = |part| point_between(line.from, line.to, part);
        let part = if size == WHOLE { line } else { Line::new(frame, end(start), end(start.saturating_add(size))) };
        (part, start, size)
    })
}

/// A part of a leg that changes its height.
pub(super) struct Slope {
    line: Line,
    start: Part,
    size: Part,
    /// The heights that its ends require, mm.
    heights: [i64; 2],
}

/// The least of distance less height so far, mm, and where on the leg.
#[derive(Clone, Copy)]
pub(super) struct Least {
    pub(super) value: i64,
    pub(super) part: Part,
}

impl Slope {
    pub(super) fn new(sweep: &Sweep<'_>, (line, start, size): (Line, Part, Part)) -> Self {
        let (leg, air) = (sweep.leg, sweep.scene.around.air);
        let rise = i64::from(leg.rise());
        let own = |part: Part| {
            // Rounded up, so that the line between the two is nowhere below.
            let risen =
                bounded_product(rise, clamp_i32(i64::from(part))).saturating_add(i64::from(WHOLE - 1)) >> PART_BITS;
            clamp_i32(i64::from(leg.piece.from.height).saturating_add(risen))
        };
        let height = |part: Part| i64::from(air.highest_ceil(own(part)).saturating_add(sweep.apart)).saturating_mul(10);
        Self { line, start, size, heights: [height(start), height(start.saturating_add(size))] }
    }

    /// What rounding and bows may hide of a distance, mm.
    fn hidden(&self, edge: Line) -> i64 {
        self.line.bow.saturating_add(edge.bow).saturating_add(END_ERROR).saturating_add(ROUNDING)
    }

    /// Whether an edge may leave less than has been seen, by the boxes around the two.
    pub(super) fn may_be_less(&self, edge: Line, least: Least) -> bool {
        let [from, to] = self.heights;
        let enough = least.value.saturating_add(from.max(to)).saturating_add(self.hidden(edge)).max(0).unsigned_abs();
        self.line.chord.box_gap_squared(edge.chord) < enough.saturating_mul(enough)
    }

    /// The smaller of `least` and the least distance from `edge`, less `radius` (mm), less height: never above the true one.
    ///
    /// Narrowing leaves out a third where the function, seen with an error of [`ROUNDING`], is larger: what it leaves out is
    /// less than twice that below a value that was seen. What is left in the end is below a value that was seen by the
    /// slope's share of its length, at most [`ENOUGH`].
    pub(super) fn least(&self, edge: Line, radius: i64, least: Least) -> Least {
        let [from, to] = self.heights;
        let steepness =
            clamp_i64(self.line.chord.length_squared.isqrt()).saturating_add(to.abs_diff(from).cast_signed());
        let (mut low, mut high, mut best) = (0, WHOLE, self.at(edge, 0));
        best = best.smaller(self.at(edge, WHOLE));
        for _ in 0..NARROWINGS {
            if steepness.saturating_mul(i64::from(high.saturating_sub(low))) >> PART_BITS <= ENOUGH {
                break;
            }
            let third = high.saturating_sub(low) / 3;
            let (one, two) = (self.at(edge, low.saturating_add(third)), self.at(edge, high.saturating_sub(third)));
            best = best.smaller(one).smaller(two);
            if one.value <= two.value { high = two.part } else { low = one.part }
        }
        let taken_off = self.hidden(edge).saturating_add(radius).saturating_add(ENOUGH.max(2 * ROUNDING));
        let along = u64::from(best.part).saturating_mul(u64::from(self.size)) >> PART_BITS;
        let part = self.start.saturating_add(u32::try_from(along).unwrap_or(0));
        least.smaller(Least { value: best.value.saturating_sub(taken_off), part })
    }

    /// Distance from an edge less height at a part of the slope.
    fn at(&self, edge: Line, part: Part) -> Least {
        let along = |a: i64, b: i64| {
            a.saturating_add(bounded_product(b.saturating_sub(a), clamp_i32(i64::from(part))) >> PART_BITS)
        };
        let (a, b) = (self.line.chord.from, self.line.chord.to);
        let coordinate = |a: i32, b: i32| clamp_i32(along(i64::from(a), i64::from(b)));
        let point = PlanePoint { east: coordinate(a.east, b.east), north: coordinate(a.north, b.north) };
        let [from, to] = self.heights;
        Least { value: edge.chord.distance_floor(point).saturating_sub(along(from, to)), part }
    }
}

impl Least {
    const fn smaller(self, other: Self) -> Self {
        if other.value < self.value { other } else { self }
    }
}
