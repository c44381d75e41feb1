//! Directions as unit vectors, and the cosines of the angles between two ranges of them.
//!
//! All numbers are times 2^30. A coordinate is off by at most 4 counts, a cosine by at most 64 (6e-8): that is taken against
//! the route.

use crate::{
    arithmetic::{bounded_product, clamp_i32, clamp_i64, divide_ceil, divisor, product},
    geometry::plane::PlanePoint,
};

/// The number one.
pub(crate) const ONE: i32 = 1 << BITS;
pub(crate) const BITS: u32 = 30;
/// Angles up to this are small.
const SMALL: i32 = ONE / 2;
/// What roundings may add up to in a cosine.
const ROUNDING: i32 = 64;

/// A direction: a vector of length 1.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heading {
    pub(crate) east: i32,
    pub(crate) north: i32,
}

impl Heading {
    /// The direction of a vector in any unit; `None` where it has no length.
    pub(crate) fn of(east: i32, north: i32) -> Option<Self> {
        Some(Self::measured(east, north)?.0)
    }

    /// Of the vector between two places.
    pub(crate) fn between(from: PlanePoint, to: PlanePoint) -> Option<Self> {
        Self::of(to.east.saturating_sub(from.east), to.north.saturating_sub(from.north))
    }

    /// Direction and length, both as exact as 30 bits allow.
    #[inline(never)]
    fn measured(east: i32, north: i32) -> Option<(Self, i64)> {
        let squared = product(east, east).saturating_add(product(north, north)).unsigned_abs();
        // An even shift that leaves 62 or 63 bits: the root has 31.
        let half = squared.leading_zeros().saturating_sub(1) / 2;
        let root = squared.wrapping_shl(half.saturating_mul(2)).isqrt();
        if root == 0 {
            return None;
        }
        let unit = |side: i32| {
            let wide = u64::from(side.unsigned_abs()).wrapping_shl(half);
            let share = clamp_i32(clamp_i64((wide << BITS) / divisor(root)));
            if side < 0 { share.saturating_neg() } else { share }
        };
        Some((Self { east: unit(east), north: unit(north) }, clamp_i64(root.wrapping_shr(half))))
    }

    /// Cosine of the angle between two.
    fn cosine(self, other: Self) -> i32 {
        shrink(product(self.east, other.east).saturating_add(product(self.north, other.north)))
    }

    /// Sine of the angle from this to the other, positive to the left.
    fn sine(self, other: Self) -> i32 {
        shrink(product(self.east, other.north).saturating_sub(product(self.north, other.east)))
    }
}

/// A product of two numbers as a number, rounded down.
fn shrink(value: i64) -> i32 {
    clamp_i32(value >> BITS)
}

/// The product of two numbers.
fn times(a: i32, b: i32) -> i32 {
    shrink(product(a, b))
}

/// An angle from 0 to a half turn.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Angle {
    pub(crate) cosine: i32,
    pub(crate) sine: i32,
}

impl Angle {
    pub(crate) const NONE: Self = Self { cosine: ONE, sine: 0 };
    const QUARTER: Self = Self { cosine: 0, sine: ONE };

    /// The sum of two; its sine is below 0 where it is more than a half turn.
    fn plus(self, other: Self) -> Self {
        Self {
            cosine: times(self.cosine, other.cosine).saturating_sub(times(self.sine, other.sine)),
            sine: times(self.sine, other.cosine).saturating_add(times(self.cosine, other.sine)),
        }
    }
}

/// Directions: a middle one, and those up to an angle to either side of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Headings {
    middle: Heading,
    half: Angle,
    /// What the angle's numbers may be off by, besides rounding.
    slack: i32,
    /// They are all directions that there are.
    all: bool,
}

/// The least and the greatest cosine of an angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cosines {
    pub(crate) least: i32,
    pub(crate) most: i32,
}

impl Cosines {
    /// Those of any angle.
    pub(crate) const ALL: Self = Self { least: -ONE, most: ONE };
}

impl Headings {
    /// All of them.
    pub(crate) const ALL: Self = Self { all: true, ..Self::about(Heading { east: ONE, north: 0 }, Angle::NONE) };

    /// One, with an angle to either side.
    pub(crate) const fn about(middle: Heading, half: Angle) -> Self {
        Self { middle, half, slack: 0, all: false }
    }

    /// One, and those up to a small angle beside it.
    pub(crate) fn one(middle: Heading, more: i32) -> Self {
        Self::about(middle, Angle::NONE).and(more)
    }

    /// Half of all: those to the left of a direction.
    pub(crate) fn left_of(direction: Heading) -> Self {
        let middle = Heading { east: direction.north.saturating_neg(), north: direction.east };
        Self::about(middle, Angle::QUARTER)
    }

    /// Those from one to another, by the shorter way; `None` where they are so far apart that there is no telling which that is.
    pub(crate) fn from_to(one: Heading, other: Heading) -> Option<Self> {
        /// A half turn less some 23 degrees.
        const WIDEST: i32 = -ONE / 25 * 23;
        if one.cosine(other) < WIDEST {
            return None;
        }
        let sum = |a: i32, b: i32| clamp_i32(i64::from(a).saturating_add(i64::from(b)) / 2);
        let (east, north) = (sum(one.east, other.east), sum(one.north, other.north));
        let (middle, cosine) = Heading::measured(east, north)?;
        let sine = divide_ceil(u64::from(one.sine(other).unsigned_abs()) << (BITS - 1), divisor(cosine.unsigned_abs()));
        // The cosine is at least 0.2 here: the sine is as exact as its numerator, but for a factor of 5.
        let half = Angle { cosine: clamp_i32(cosine), sine: clamp_i32(clamp_i64(sine)).min(ONE) };
        Some(Self::about(middle, half))
    }

    /// These, and those up to a small angle beside them: all where it isn't small.
    ///
    /// The angle whose sine and cosine are as s to 1 - s² / 2 is larger than s; both are too large by s⁴ / 8 of them.
    pub(crate) fn and(self, more: i32) -> Self {
        if more > SMALL {
            return Self::ALL;
        }
        let square = times(more, more);
        let angle = Angle { cosine: ONE.saturating_sub(square / 2), sine: more };
        let slack = (times(square, square) >> 2).saturating_add(self.slack).saturating_add(2);
        Self { half: self.half.plus(angle), slack, ..self }
    }

    /// The cosines of the angles between these and others.
    pub(crate) fn cosines(&self, other: &Self) -> Cosines {
        if other.all { Cosines::ALL } else { self.widened(other.half, other.slack).cosines_with(other.middle) }
    }

    /// These, and those up to an angle beside them.
    pub(crate) fn widened(&self, half: Angle, slack: i32) -> Self {
        let wider = self.half.plus(half);
        // More than a half turn to either side.
        let all = self.all || wider.sine < 0;
        Self { middle: self.middle, half: wider, slack: self.slack.saturating_add(slack), all }
    }

    /// The cosines of the angles between these and one direction.
    pub(crate) fn cosines_with(&self, other: Heading) -> Cosines {
        if self.all {
            return Cosines::ALL;
        }
        let (cosine, sine) = (self.middle.cosine(other), self.middle.sine(other).saturating_abs());
        let (level, turn) = (times(cosine, self.half.cosine), times(sine, self.half.sine));
        let least = if cosine <= self.half.cosine.saturating_neg() { -ONE } else { level.saturating_sub(turn) };
        let most = if cosine >= self.half.cosine { ONE } else { level.saturating_add(turn) };
        let slack = self.slack.saturating_add(ROUNDING);
        Cosines { least: least.saturating_sub(slack).max(-ONE), most: most.saturating_add(slack).min(ONE) }
    }
}

/// An angle, times 2^30, of a length across seen from a distance; rounded up, and more by a sixteenth where that isn't small.
pub(crate) fn angle_ceil(across: i64, distance: i64) -> i32 {
    if across <= 0 {
        return 0;
    }
    // Both are at most 2^30 here: the greatest distance in the plane is below that.
    let ratio = divide_ceil(across.unsigned_abs() << BITS, divisor(distance.max(0).unsigned_abs()));
    if ratio > u64::from(SMALL.unsigned_abs()) {
        return i32::MAX;
    }
    clamp_i32(bounded_product(clamp_i64(ratio), 17) >> 4).saturating_add(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arithmetic::nearest;

    fn unit(degrees: f64) -> Heading {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        Heading { east: fixed(sine), north: fixed(cosine) }
    }

    #[expect(clippy::cast_possible_truncation, reason = "a number up to 1")]
    fn fixed(number: f64) -> i32 {
        (number * f64::from(ONE)).round() as i32
    }

    fn angle(degrees: f64) -> Angle {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        Angle { cosine: fixed(cosine), sine: fixed(sine) }
    }

    #[test]
    fn a_vector_has_a_direction_of_length_one() {
        for (east, north) in
            [(1, 0), (0, -1), (3, 4), (-30_000_000, 40_000_000), (134_217_728, -134_217_727), (1, 50_000_000)]
        {
            let heading = Heading::of(east, north).unwrap();
            let length = f64::from(east).hypot(f64::from(north));
            for (side, part) in [(east, heading.east), (north, heading.north)] {
                let off = f64::from(part) - f64::from(side) / length * f64::from(ONE);
                assert!(off.abs() < 4.0, "{east} {north}: {off}");
            }
        }
        assert!(Heading::of(0, 0).is_none());
    }

    /// The cosines of all angles between two ranges of directions, by sampling.
    fn sampled((one, half): (f64, f64), (other, wide): (f64, f64)) -> (f64, f64) {
        let range = |middle: f64, half: f64| (0..=64).map(move |n| middle - half + half * f64::from(n) / 32.0);
        let pairs = range(one, half).flat_map(|a| range(other, wide).map(move |b| (a - b).to_radians().cos()));
        pairs.fold((1.0, -1.0), |(least, most): (f64, f64), cosine| (least.min(cosine), most.max(cosine)))
    }

    #[test]
    fn cosines_hold_every_angle_and_no_more() {
        for one in (0..360).step_by(23).map(f64::from) {
            for other in (0..360).step_by(17).map(f64::from) {
                for (half, wide) in [(0.0, 0.0), (2.5, 0.0), (2.5, 2.9), (60.0, 2.5), (90.0, 80.0), (100.0, 100.0)] {
                    let headings = Headings::about(unit(one), angle(half));
                    let found = headings.cosines(&Headings::about(unit(other), angle(wide)));
                    let (least, most) = sampled((one, half), (other, wide));
                    let (low, high) = (f64::from(found.least) / f64::from(ONE), f64::from(found.most) / f64::from(ONE));
                    assert!(low <= least + 1e-9 && high >= most - 1e-9, "{one} {other} {half} {wide}: {found:?}");
                    // Sampling by up to 3 degrees sees a cosine of 1 to within 4e-4.
                    assert!(low >= least - 1.5e-3 && high <= most + 1.5e-3, "{one} {other} {half} {wide}: {found:?}");
                }
            }
        }
    }

    #[test]
    fn headings_from_one_to_another_go_the_shorter_way() {
        for (one, other) in [(10.0, 50.0), (350.0, 20.0), (20.0, 350.0), (0.0, 90.0), (180.0, 300.0), (5.0, 5.0)] {
            let headings = Headings::from_to(unit(one), unit(other)).unwrap();
            let turn: f64 = (other - one + 540.0_f64).rem_euclid(360.0) - 180.0;
            for degrees in (0..360).step_by(7).map(f64::from) {
                let found = headings.cosines(&Headings::one(unit(degrees), 0));
                let (least, most) = sampled((one + turn / 2.0, turn.abs() / 2.0), (degrees, 0.0));
                let (low, high) = (f64::from(found.least) / f64::from(ONE), f64::from(found.most) / f64::from(ONE));
                assert!(low <= least + 1e-9 && low >= least - 1e-3, "{one} {other} {degrees}: {low} {least}");
                assert!(high >= most - 1e-9 && high <= most + 1e-3, "{one} {other} {degrees}: {high} {most}");
            }
        }
        assert!(Headings::from_to(unit(0.0), unit(180.0)).is_none(), "there is no telling which way round");
    }

    /// From vectors of whole mm, whose directions are those of an f64, with no tolerance.
    #[test]
    fn roundings_take_less_than_half_of_what_is_allowed_for_them() {
        let far = |bearing: f64| {
            let (sine, cosine) = bearing.to_radians().sin_cos();
            [sine, cosine].map(|side| clamp_i32(nearest(side * 50_000_000.0)))
        };
        let degrees = |[east, north]: [i32; 2]| f64::from(east).atan2(f64::from(north)).to_degrees();
        for one in (0..360).step_by(7).map(|one| far(f64::from(one) + 0.3)) {
            for turn in (0..156).step_by(5).map(|turn| f64::from(turn) + 0.1) {
                let other = far(degrees(one) + turn);
                let [from, to] = [one, other].map(|[east, north]| Heading::of(east, north).unwrap());
                let headings = Headings::from_to(from, to).unwrap();
                let (from, to) = (degrees(one), degrees(one) + (degrees(other) - degrees(one)).rem_euclid(360.0));
                for seen in (0..360).step_by(11).map(|seen| far(f64::from(seen))) {
                    let found = headings.cosines_with(Heading::of(seen[0], seen[1]).unwrap());
                    let middle = f64::midpoint(from, to);
                    let off = (degrees(seen) - middle + 540.0).rem_euclid(360.0) - 180.0;
                    let (near, wide) = ((off.abs() - (to - from) / 2.0).max(0.0), off.abs() + (to - from) / 2.0);
                    let [most, least] = [near, wide.min(180.0)].map(|angle| angle.to_radians().cos() * f64::from(ONE));
                    let (below, above) = (least - f64::from(found.least), f64::from(found.most) - most);
                    assert!(
                        found.least == -ONE || (32.0..128.0).contains(&below),
                        "{one:?} {other:?} {seen:?}: {below}"
                    );
                    assert!(found.most == ONE || (32.0..128.0).contains(&above), "{one:?} {other:?} {seen:?}: {above}");
                }
            }
        }
    }

    #[test]
    fn half_of_all_is_to_the_left() {
        let northwards = Headings::left_of(unit(0.0));
        let west = northwards.cosines(&Headings::one(unit(270.0), 0));
        let east = northwards.cosines(&Headings::one(unit(90.0), 0));
        assert!(west.most == ONE && west.least.abs() < 100, "{west:?}");
        assert!(east.least == -ONE && east.most.abs() < 100, "{east:?}");
    }

    #[test]
    fn a_small_angle_widens_to_both_sides() {
        for (more, degrees) in [(0.001, 90.0), (0.03, 90.0), (0.2, 45.0), (0.45, 120.0), (0.45, 20.0), (0.1, 3.0)] {
            let wide = Headings::one(unit(0.0), fixed(more));
            let found = wide.cosines(&Headings::one(unit(degrees), 0));
            let (least, most) = sampled((0.0, more.to_degrees()), (degrees, 0.0));
            let (low, high) = (f64::from(found.least) / f64::from(ONE), f64::from(found.most) / f64::from(ONE));
            assert!(low <= least + 1e-9 && low >= least - more.powi(3) - 1e-6, "{more} {degrees}: {low} {least}");
            assert!(high >= most - 1e-9 && high <= most + more.powi(3) + 1e-6, "{more} {degrees}: {high} {most}");
        }
        assert_eq!(Headings::one(unit(0.0), i32::MAX).cosines(&Headings::one(unit(0.0), 0)), Cosines::ALL);
        assert_eq!(Headings::one(unit(0.0), 0).cosines(&Headings::ALL), Cosines::ALL);
        assert_eq!(Headings::ALL.cosines(&Headings::one(unit(0.0), 0)), Cosines::ALL);
    }

    /// A vector of cosine and sine that is longer than 1 makes every cosine too large by as much.
    #[test]
    fn slack_is_no_less_than_what_all_small_angles_made_the_vector_longer() {
        for (one, other) in [(0.0, 0.0), (1e-6, 0.45), (0.45, 1e-6), (0.45, 0.45), (0.2, 0.3)] {
            let (twice, apart) = (Headings::one(unit(0.0), fixed(one)), Headings::one(unit(90.0), fixed(other)));
            for headings in [twice.and(fixed(other)), twice.widened(apart.half, apart.slack)] {
                let length = f64::from(headings.half.cosine).hypot(f64::from(headings.half.sine));
                let (longer, slack) = (length - f64::from(ONE), f64::from(headings.slack));
                assert!(longer <= slack + 1e-6, "{one} {other}: {longer} {slack}");
                // A quarter of s to the fourth where an eighth is needed, for each of the two.
                let most = (one.powi(4) + other.powi(4)) / 4.0 * f64::from(ONE) + 4.0;
                assert!(slack <= most, "{one} {other}: {slack} {most}");
            }
        }
    }

    #[test]
    fn an_angle_is_never_too_small() {
        for (across, distance) in
            [(1, 1000), (10, 1000), (240, 1000), (500, 1000), (7, 50_000_000), (500_000, 50_000_000), (1, 189_000_000)]
        {
            let exact = (f64::from(across) / f64::from(distance)).asin();
            let found = f64::from(angle_ceil(i64::from(across), i64::from(distance))) / f64::from(ONE);
            assert!(found >= exact && found <= exact * 1.07 + 1e-8, "{across} {distance}: {found} {exact}");
        }
        assert_eq!(angle_ceil(0, 0), 0);
        assert_eq!(angle_ceil(501, 1000), i32::MAX);
        assert_eq!(angle_ceil(1, 0), i32::MAX);
    }
}
