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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{plane::Chord, position::Position, predicate::Point};

    /// A line in the plane with a bow, mm.
    fn line(from: (i32, i32), to: (i32, i32), bow: i64) -> Line {
        let nowhere = Point { x: 0, y: 0 };
        let plane = |(east, north)| PlanePoint { east, north };
        Line { from: nowhere, to: nowhere, chord: Chord::new(plane(from), plane(to)), bow }
    }

    fn dot(at: (i32, i32)) -> Line {
        line(at, at, 3)
    }

    fn slope(from: (i32, i32), to: (i32, i32), heights: [i64; 2]) -> Slope {
        Slope { line: line(from, to, 2), start: 0, size: WHOLE, heights }
    }

    fn least(slope: &Slope, edge: Line, radius: i64) -> (i64, Part) {
        let least = slope.least(edge, radius, Least { value: i64::MAX, part: 0 });
        (least.value, least.part)
    }

    /// 3, 4 and 5 m: what is taken off is two bows of 2 and 3 mm, 5 and 4 mm of rounding, and 8 mm for narrowing.
    #[test]
    fn what_an_end_leaves_is_exact_but_for_what_is_taken_off() {
        let falls = Slope { start: WHOLE / 4, size: WHOLE / 2, ..slope((0, 0), (300_000, 0), [1000, 0]) };
        assert_eq!(least(&falls, dot((-3000, -4000)), 0), (5000 - 1000 - 22, WHOLE / 4));
        assert_eq!(least(&falls, dot((-3000, -4000)), 700), (5000 - 700 - 1000 - 22, WHOLE / 4));
        let rises = Slope { heights: [0, 1000], ..falls };
        assert_eq!(least(&rises, dot((303_000, 4000)), 0), (5000 - 1000 - 22, WHOLE / 4 * 3));
        let known = Least { value: 3978, part: 7 };
        assert_eq!(falls.least(dot((-3000, -4000)), 0, known).part, 7, "no news");
    }

    /// Beside a point at a distance d a height that falls by s for each metre leaves d √(1 - s²) - h at least, h the height beside
    /// the point; that is reached d s / √(1 - s²) before it.
    #[test]
    fn the_least_of_distance_less_height_is_found_between_the_ends() {
        for (half, heights, d, exact, before) in [
            (200_000, [60_000, 20_000], 50_000, 9_749, 5_025),
            (200_000, [0, 240_000], 100_000, -40_000, -75_000),
            (200_000, [200_000, -120_000], 30_000, -22_000, 40_000),
            (25_000_000, [120_000, 40_000], 1_000_000, 919_998, 1_600),
            (3_000, [900, 300], 4_000, 3_379, 402),
        ] {
            for side in [d, -d] {
                for edge in [dot((0, side)), line((0, side), (0, 9 * side), 3), line((0, 2 * side), (0, side), 3)] {
                    let (value, part) = least(&slope((-half, 0), (half, 0), heights), edge, 0);
                    assert!((exact - 22 - 2..=exact - 22 + 5).contains(&value), "{value} for {exact}");
                    // The least is flat: within 5 mm of it as far as √(2 d 5 mm) from its place, 1.25^1.5 as much where s is 0.8.
                    let at = i64::from(part) * 2 * i64::from(half) / i64::from(WHOLE) - i64::from(half);
                    assert!((at + before).pow(2) <= 10 * i64::from(d) * 5, "{at} for {before}");
                }
            }
        }
    }

    /// Straight over a point, nearly as steep as a distance: that leaves little between what is on either side of it.
    #[test]
    fn the_steepest_kink_is_found() {
        for heights in [[0, 396_000], [396_000, 0]] {
            let (value, _) = least(&slope((-200_000, 0), (200_000, 0), heights), dot((0, 0)), 0);
            assert!((-198_024..=-198_017).contains(&value), "{value}");
        }
    }

    #[test]
    fn an_edge_is_passed_over_only_where_its_box_leaves_no_less() {
        // A metre away; 14 mm may be hidden.
        let (slope, edge) = (slope((0, 0), (5000, 0), [0, 500]), line((0, 1000), (5000, 9000), 3));
        let may_be_less = |value: i64| slope.may_be_less(edge, Least { value, part: 0 });
        assert!(may_be_less(1000 - 500 - 14 + 1));
        assert!(!may_be_less(1000 - 500 - 14));
        assert!(!may_be_less(-5000), "less than any distance leaves");
    }

    #[test]
    fn a_line_is_cut_in_as_many_parts_as_its_bow_takes() {
        let frame = Frame::new(Position::new(600_000_000, 0).unwrap()).unwrap();
        let parts = |line: Line| cut(&frame, line).collect::<std::vec::Vec<_>>();
        let straight = line((0, 0), (1000, 0), 8);
        assert!(matches!(parts(straight)[..], [(part, 0, WHOLE)] if part.bow == 8), "as it is");
        for (half, number) in [(16 * 50_000, 2), (16 * 1_792_000, 64), (16 * 4_000_000, 64)] {
            // Some 0.56 km, 20 km and 45 km along a parallel: bows of 11 mm x 1.1, 13.6 m x 1.1 and 67 m x 1.1.
            let whole = Line::new(&frame, Point { x: -half, y: 0 }, Point { x: half, y: 0 });
            let parts = parts(whole);
            assert_eq!(parts.len(), number, "a bow of {}", whole.bow);
            let ends = (parts[0].0.from, parts[number - 1].0.to);
            assert_eq!(ends, (whole.from, whole.to));
            assert!(parts.windows(2).all(|pair| pair[0].0.to == pair[1].0.from && pair[0].1 + pair[0].2 == pair[1].1));
            assert!(parts.iter().all(|(_, start, size)| start % size == 0 && *size == parts[0].2));
            assert_eq!(usize::try_from(parts[0].2).unwrap() * number, usize::try_from(WHOLE).unwrap());
        }
    }
}
