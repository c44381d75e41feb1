//! Directions as unit vectors, and the cosines of the angles between two ranges of them.
//!
//! All numbers are times 2^30. A coordinate is off by at most 4 counts, a cosine by at most 64 (6e-8): that is taken against the
//! route.

use crate::{
    arithmetic::{bounded_product, clamp_i32, clamp_i64, divide_ceil, divisor, product},
    geometry::plane::PlanePoint,
};

/// The number one.
pub(crate) const ONE: i32 = 1 << BITS;
pub(crate) const BITS: u32 = 30;
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

    /// The sum of two; its sine is below 0 where it is more than a half turn.
    fn plus(self, other: Self) -> Self {
        Self {
            cosine: times(self.cosine, other.cosine).saturating_sub(times(self.sine, other.sine)),
            sine: times(self.sine, other.cosine).saturating_add(times(self.cosine, other.sine)),
        }
    }
}

/// Directions: a middle one, those up to an angle to either side of it, and some more.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Headings {
    middle: Heading,
    half: Angle,
    /// More to either side, as an angle.
    slack: i32,
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
    pub(crate) const ALL: Self = Self { middle: Heading { east: ONE, north: 0 }, half: Angle::NONE, slack: i32::MAX };

    /// One, with an angle to either side.
    pub(crate) const fn about(middle: Heading, half: Angle) -> Self {
        Self { middle, half, slack: 0 }
    }

    /// One, and some more to either side.
    pub(crate) const fn one(middle: Heading, slack: i32) -> Self {
        Self { middle, half: Angle::NONE, slack }
    }

    /// Those from one to another, by the shorter way; all where they are so far apart that there is no telling which that is.
    pub(crate) fn from_to(one: Heading, other: Heading, slack: i32) -> Self {
        /// A half turn less some 23 degrees.
        const WIDEST: i32 = -ONE / 25 * 23;
        if one.cosine(other) < WIDEST {
            return Self::ALL;
        }
        let sum = |a: i32, b: i32| clamp_i32(i64::from(a).saturating_add(i64::from(b)) / 2);
        let (east, north) = (sum(one.east, other.east), sum(one.north, other.north));
        let Some((middle, cosine)) = Heading::measured(east, north) else { return Self::ALL };
        let sine = divide_ceil(u64::from(one.sine(other).unsigned_abs()) << (BITS - 1), divisor(cosine.unsigned_abs()));
        // The cosine is at least 0.2 here: the sine is as exact as its numerator, but for a factor of 5.
        let half = Angle { cosine: clamp_i32(cosine), sine: clamp_i32(clamp_i64(sine)).min(ONE) };
        Self { middle, half, slack }
    }

    /// The cosines of the angles between these and others.
    pub(crate) fn cosines(&self, other: &Self) -> Cosines {
        self.widened(other.half, other.slack).cosines_with(other.middle)
    }

    /// These, and those up to an angle beside them.
    pub(crate) fn widened(&self, half: Angle, slack: i32) -> Self {
        Self { middle: self.middle, half: self.half.plus(half), slack: self.slack.saturating_add(slack) }
    }

    /// The cosines of the angles between these and one direction.
    pub(crate) fn cosines_with(&self, other: Heading) -> Cosines {
        let (cosine, sine) = (self.middle.cosine(other), self.middle.sine(other).saturating_abs());
        let Angle { cosine: half, sine: half_sine } = self.half;
        // More than a half turn to either side.
        if half_sine < 0 {
            return Cosines::ALL;
        }
        let (level, turn) = (times(cosine, half), times(sine, half_sine));
        let least = if cosine <= half.saturating_neg() { -ONE } else { level.saturating_sub(turn) };
        let most = if cosine >= half { ONE } else { level.saturating_add(turn) };
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
    if ratio > u64::from((ONE / 4).unsigned_abs()) {
        return i32::MAX;
    }
    clamp_i32(bounded_product(clamp_i64(ratio), 17) >> 4).saturating_add(1)
}
