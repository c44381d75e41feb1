//! Distances between points and segments in a plane, in whole millimetres, never above the true ones.
//!
//! Coordinates are at most 2^27 mm (134 km) in size: differences stay within 2^28, squares of lengths within 2^57.

use core::cmp::Ordering;

use crate::arithmetic::{
    bounded_difference, bounded_sum, clamp_i64, divide_floor, divisor, product, square, square_root_ceil,
};

/// A part of a segment, from its beginning, in units of 2^-24 of its length.
pub(crate) type Part = u32;
/// The whole segment.
pub(crate) const WHOLE: Part = 1 << PART_BITS;
/// Bits of a part.
pub(crate) const PART_BITS: u32 = 24;

/// numerator / denominator as a part, rounded down; the numerator is at most the denominator.
fn part_of(numerator: u64, denominator: u64) -> Part {
    let spare = denominator.leading_zeros().min(PART_BITS);
    let shift = PART_BITS.saturating_sub(spare);
    let (numerator, denominator) = (numerator.wrapping_shr(shift), denominator.wrapping_shr(shift));
    u32::try_from(divide_floor(numerator.wrapping_shl(PART_BITS), divisor(denominator))).unwrap_or(WHOLE)
}

/// A point in the plane that touches the ellipsoid at the launch point. Unit: 1 mm, at most 2^27 in size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct PlanePoint {
    pub(crate) east: i32,
    pub(crate) north: i32,
}

/// A vector in the plane, in mm.
#[derive(Clone, Copy)]
pub(crate) struct Vector {
    east: i32,
    north: i32,
}

impl PlanePoint {
    pub(crate) const ORIGIN: Self = Self { east: 0, north: 0 };

    /// The smaller of each coordinate.
    pub(crate) fn lower(self, other: Self) -> Self {
        Self { east: self.east.min(other.east), north: self.north.min(other.north) }
    }

    /// A point about half way between, to 1 mm.
    pub(crate) fn middle(self, other: Self) -> Self {
        Self { east: self.east.midpoint(other.east), north: self.north.midpoint(other.north) }
    }

    /// The larger of each coordinate.
    pub(crate) fn upper(self, other: Self) -> Self {
        Self { east: self.east.max(other.east), north: self.north.max(other.north) }
    }

    pub(crate) const fn minus(self, other: Self) -> Vector {
        Vector { east: self.east.saturating_sub(other.east), north: self.north.saturating_sub(other.north) }
    }
}

impl PlanePoint {
    /// An upper bound of the geodesic distance from `self` to `other`, mm: what the projection and the chord can have taken
    /// (4.3e-5; 2^-14 is 6.1e-5) and the rounding of two points are added.
    pub(crate) fn distance_ceil(self, other: Self) -> i64 {
        let plane = clamp_i64(square_root_ceil(other.minus(self).length_squared()));
        plane.saturating_add(plane >> 14).saturating_add(3)
    }
}

impl Vector {
    /// Square of the length, in mm². Exact: two squares of 31 bits fit with room to spare.
    pub(crate) const fn length_squared(self) -> u64 {
        square(self.east).wrapping_add(square(self.north))
    }

    /// Scalar product, in mm². Exact.
    pub(crate) const fn dot(self, other: Self) -> i64 {
        bounded_sum(product(self.east, other.east), product(self.north, other.north))
    }

    /// Cross product, in mm², positive where `other` is to the left. Exact.
    pub(crate) const fn cross(self, other: Self) -> i64 {
        bounded_difference(product(self.east, other.north), product(self.north, other.east))
    }
}

/// A segment in the plane with the square of its length.
#[derive(Clone, Copy)]
pub(crate) struct Chord {
    pub(crate) from: PlanePoint,
    pub(crate) to: PlanePoint,
    pub(crate) length_squared: u64,
}

impl Chord {
    pub(crate) const fn new(from: PlanePoint, to: PlanePoint) -> Self {
        Self { from, to, length_squared: to.minus(from).length_squared() }
    }

    const fn direction(&self) -> Vector {
        self.to.minus(self.from)
    }

    /// How far `p` is to the left of the segment's line and how far along it, both times its length, mm². Exact.
    pub(crate) const fn across_and_along(&self, p: PlanePoint) -> (i64, i64) {
        let (direction, to) = (self.direction(), p.minus(self.from));
        (direction.cross(to), direction.dot(to))
    }

    /// Twice the signed area of the triangle that `p` makes with the chord, in mm²: positive to the left. Exact.
    pub(crate) const fn area_to(self, p: PlanePoint) -> i64 {
        self.direction().cross(p.minus(self.from))
    }

    /// Whether `p` is at least the root of `squared` (mm²) away from the segment. Exact.
    pub(crate) fn keeps_point(&self, p: PlanePoint, squared: u64) -> bool {
        self.keeps_seen(p, self.across_and_along(p), squared)
    }

    /// The same where it is known how far `p` is across and along.
    fn keeps_seen(&self, p: PlanePoint, (across, along): (i64, i64), squared: u64) -> bool {
        if along <= 0 {
            p.minus(self.from).length_squared() >= squared
        } else if along.unsigned_abs() >= self.length_squared {
            p.minus(self.to).length_squared() >= squared
        } else {
            let across = across.unsigned_abs();
            wide_product(across, across) >= wide_product(squared, self.length_squared)
        }
    }

    /// Whether the two segments are at least the root of `squared` (mm²) apart; no for a root of 0. Exact.
    ///
    /// If all four ends are that far away, only an intersection inside both could be nearer: each has its ends on both sides of
    /// the other then. (An end on the other's line, but not on the other, has both ends of the other on one side of its own.)
    pub(crate) fn keeps(&self, other: &Self, squared: u64) -> bool {
        let (from, to) = (self.across_and_along(other.from), self.across_and_along(other.to));
        if squared == 0 || !self.keeps_seen(other.from, from, squared) || !self.keeps_seen(other.to, to, squared) {
            return false;
        }
        let (own_from, own_to) = (other.across_and_along(self.from), other.across_and_along(self.to));
        other.keeps_seen(self.from, own_from, squared)
            && other.keeps_seen(self.to, own_to, squared)
            && ((from.0 < 0) == (to.0 < 0) || (own_from.0 < 0) == (own_to.0 < 0))
    }

    /// Distance from `p` to the segment, in mm, rounded down. Never above the true one, at most 1 mm + 1e-9 of it below.
    pub(crate) fn distance_floor(self, p: PlanePoint) -> i64 {
        let along = self.direction().dot(p.minus(self.from));
        if along <= 0 {
            clamp_i64(p.minus(self.from).length_squared().isqrt())
        } else if along.unsigned_abs() >= self.length_squared {
            clamp_i64(p.minus(self.to).length_squared().isqrt())
        } else {
            height_floor(self.area_to(p).unsigned_abs(), self.length_squared)
        }
    }

    /// How far along the segment the point nearest to `p` is: a hint for people, good to a millionth of the length.
    fn nearest_part(self, p: PlanePoint) -> Part {
        let along = self.direction().dot(p.minus(self.from)).max(0).unsigned_abs().min(self.length_squared);
        part_of(along, self.length_squared)
    }

    /// How far along `self` it meets `other`, which it is known to touch: a hint for people.
    fn crossing_part(self, other: Self) -> Part {
        let before = other.area_to(self.from).unsigned_abs();
        let both = before.saturating_add(other.area_to(self.to).unsigned_abs());
        // In line with each other: if the one's beginning isn't on the other, the other's end next to it is on the one.
        if both == 0 { self.nearest_part(other.from) } else { part_of(before, both) }
    }

    /// Whether the two segments have a point in common. Exact for these coordinates.
    fn touches(self, other: Self) -> bool {
        let apart = |one: i64, two: i64| one != 0 && one.signum() == two.signum();
        !(apart(self.area_to(other.from), self.area_to(other.to))
            || apart(other.area_to(self.from), other.area_to(self.to)))
            && self.box_gap_squared(other) == 0
    }

    /// The square of the gap between the upright boxes around the two segments, mm²; 0 where they touch. Exact.
    pub(crate) fn box_gap_squared(self, other: Self) -> u64 {
        box_gap_squared(self.from.lower(self.to), self.from.upper(self.to), other.from, other.to)
    }

    /// Distance between the two segments in mm, rounded down, and how far along `self` it is reached.
    /// Never above the true one, at most 1 mm + 1e-9 of it below.
    pub(crate) fn separation_floor(self, other: Self) -> Nearest {
        if self.touches(other) {
            return Nearest { distance: 0, part: self.crossing_part(other) };
        }
        [
            Nearest { distance: other.distance_floor(self.from), part: 0 },
            Nearest { distance: other.distance_floor(self.to), part: WHOLE },
            Nearest { distance: self.distance_floor(other.from), part: self.nearest_part(other.from) },
            Nearest { distance: self.distance_floor(other.to), part: self.nearest_part(other.to) },
        ]
        .into_iter()
        .min_by(Nearest::by_distance)
        .unwrap_or(Nearest { distance: 0, part: 0 })
    }
}

/// The exact product of two 64-bit numbers.
const fn wide_product(a: u64, b: u64) -> u128 {
    // Saturates at nothing: it is written so to be a plain widening product.
    (a as u128).wrapping_mul(b as u128)
}

/// The square of the gap between an upright box and the one around the segment a to b, mm²; 0 where they touch. Exact.
pub(crate) fn box_gap_squared(low: PlanePoint, high: PlanePoint, a: PlanePoint, b: PlanePoint) -> u64 {
    let gap = |low: i32, high: i32, one: i32, other: i32| {
        one.min(other).saturating_sub(high).max(low.saturating_sub(one.max(other))).max(0)
    };
    square(gap(low.east, high.east, a.east, b.east))
        .saturating_add(square(gap(low.north, high.north, a.north, b.north)))
}

/// Whether a ray from `p` towards the east crosses the edge a to b, each edge owning its lower end only.
pub(crate) fn ray_crosses(p: PlanePoint, a: PlanePoint, b: PlanePoint) -> bool {
    if (a.north <= p.north) == (b.north <= p.north) {
        return false;
    }
    let left = b.minus(a).cross(p.minus(a));
    if a.north <= p.north { left > 0 } else { left < 0 }
}

/// A distance and where along the first segment it is reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Nearest {
    /// mm.
    pub(crate) distance: i64,
    /// Where along the segment: a hint for people.
    pub(crate) part: Part,
}

impl Nearest {
    fn by_distance(&self, other: &Self) -> Ordering {
        self.distance.cmp(&other.distance)
    }
}

/// area / √(base²), rounded down: the height of a parallelogram over its base. Never above the true one.
///
/// Scaled so that the root has 31 bits: relative error below 2^-30 before the last rounding.
/// `area` is below 2^28 √(base²), so the shifted area stays below 2^60.
fn height_floor(area: u64, base_squared: u64) -> i64 {
    let shift = base_squared.leading_zeros().saturating_sub(1) / 2;
    let root = square_root_ceil(base_squared.wrapping_shl(shift.saturating_mul(2)));
    clamp_i64(divide_floor(area.wrapping_shl(shift), divisor(root)))
}

/// area / √(base²), nearest to within 1, signed like the area.
pub(crate) fn height_near(area: i64, base_squared: u64) -> i64 {
    height_floor(area.unsigned_abs(), base_squared).saturating_mul(area.signum())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(east: i32, north: i32) -> PlanePoint {
        PlanePoint { east, north }
    }

    fn chord(a: (i32, i32), b: (i32, i32)) -> Chord {
        Chord::new(point(a.0, a.1), point(b.0, b.1))
    }

    #[test]
    fn a_distance_is_rounded_down_and_not_further() {
        let base = chord((0, 0), (1000, 1000));
        assert_eq!(base.distance_floor(point(1000, 0)), 707);
        assert_eq!(base.distance_floor(point(-3, -4)), 5);
        assert_eq!(base.distance_floor(point(2000, 1000)), 1000);
        assert_eq!(chord((0, 0), (0, 0)).distance_floor(point(3, 4)), 5);
    }

    #[test]
    fn the_largest_figures_do_not_wrap() {
        let edge = 1 << 27;
        let far = chord((-edge, -edge), (edge, -edge)).separation_floor(chord((-edge, edge), (edge, edge)));
        assert_eq!(far.distance, 1 << 28);
        let slanted = chord((-edge, -edge), (edge, edge)).distance_floor(point(edge, -edge));
        assert_eq!(slanted, 189_812_531);
    }

    #[test]
    fn keeping_a_distance_is_having_it() {
        // Every pair of segments on a 4 x 4 lattice, against the distance that is measured.
        let points = || (0..16).map(|number| (number % 4 * 10, number / 4 * 10));
        let segments: std::vec::Vec<Chord> = points().flat_map(|a| points().map(move |b| chord(a, b))).collect();
        for one in &segments {
            for other in &segments {
                let distance = one.separation_floor(*other).distance;
                let whole = square(crate::arithmetic::clamp_i32(distance));
                assert!(distance == 0 || one.keeps(other, whole), "{distance}");
                assert!(!one.keeps(other, 0), "nothing is asked for");
                assert!(!one.keeps(other, square(crate::arithmetic::clamp_i32(distance + 1))), "{distance}");
            }
        }
    }

    #[test]
    fn crossing_segments_have_no_distance() {
        assert_eq!(chord((-5, 0), (5, 0)).separation_floor(chord((0, -5), (0, 5))).distance, 0);
        assert_eq!(chord((0, 0), (5, 0)).separation_floor(chord((6, 0), (9, 0))).distance, 1);
        assert_eq!(chord((0, 0), (4, 0)).separation_floor(chord((0, 0), (0, 0))).distance, 0);
    }

    #[test]
    fn the_nearest_place_is_where_it_is() {
        let touching = chord((0, 0), (1000, 0));
        assert_eq!(touching.separation_floor(chord((250, 0), (250, 0))).part, WHOLE / 4, "a point on the line");
        assert_eq!(touching.separation_floor(chord((2000, 0), (500, 0))).part, WHOLE, "in line");
        assert_eq!(touching.separation_floor(chord((500, -10), (500, 30))).part, WHOLE / 2, "across");
        let nearest = chord((0, 0), (1000, 0)).separation_floor(chord((250, 10), (250, 500)));
        assert_eq!(nearest, Nearest { distance: 10, part: WHOLE / 4 });
        for size in [1 << 10, 1 << 17, 1 << 24, 1 << 26] {
            let long = chord((-size, -size), (size, size));
            assert_eq!(long.nearest_part(point(size / 2, size / 2)), WHOLE / 4 * 3, "{size}");
        }
    }

    #[test]
    fn a_point_keeps_the_distance_that_it_has() {
        let base = chord((0, 0), (30, 40));
        for (p, squared) in [((-3, -4), 25), ((34, 37), 25), ((0, 25), 225), ((0, 0), 0), ((15, 20), 0)] {
            assert!(base.keeps_point(point(p.0, p.1), squared), "{p:?}");
            assert!(!base.keeps_point(point(p.0, p.1), squared + 1), "{p:?}");
        }
    }

    #[test]
    fn a_ray_goes_east() {
        for (a, b) in [((0, -5), (0, 5)), ((0, 5), (0, -5)), ((-3, -5), (3, 5)), ((0, 0), (0, 5))] {
            let crosses = |east: i32| ray_crosses(point(east, 0), point(a.0, a.1), point(b.0, b.1));
            assert!(crosses(-1) && !crosses(1), "{a:?} to {b:?}");
        }
        let level = |a: i32, b: i32| ray_crosses(point(-9, 0), point(0, a), point(5, b));
        assert!(!level(0, 0) && !level(-5, 0) && !level(1, 5), "an edge owns its lower end only");
    }
}
