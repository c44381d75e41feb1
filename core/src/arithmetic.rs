//! Integer helpers that can neither panic nor wrap. The rounding direction is in the name.
//!
//! Plain operators are refused by a lint everywhere in this crate; what they would be needed for is here, once.

use core::num::NonZero;

/// The exact product of two 32-bit numbers.
#[expect(clippy::arithmetic_side_effects, reason = "a product of two i32 is at most 2^62 and fits an i64")]
pub(crate) const fn product(a: i32, b: i32) -> i64 {
    a as i64 * b as i64
}

/// The exact square of a 32-bit number.
pub(crate) const fn square(a: i32) -> u64 {
    product(a, a).unsigned_abs()
}

/// value * factor where the caller's bit budget shows that the product fits; tests run with the check on.
pub(crate) const fn bounded_product(value: i64, factor: i32) -> i64 {
    debug_assert!(value.checked_mul(factor as i64).is_some(), "a bit budget is wrong");
    value.wrapping_mul(factor as i64)
}

/// a + b where the caller's bit budget shows that the sum fits; tests run with the check on.
pub(crate) const fn bounded_sum(a: i64, b: i64) -> i64 {
    debug_assert!(a.checked_add(b).is_some(), "a bit budget is wrong");
    a.wrapping_add(b)
}

/// a - b where the caller's bit budget shows that the difference fits; tests run with the check on.
pub(crate) const fn bounded_difference(a: i64, b: i64) -> i64 {
    debug_assert!(a.checked_sub(b).is_some(), "a bit budget is wrong");
    a.wrapping_sub(b)
}

/// `value` as an i32, the nearest end of the range if it does not fit.
#[expect(clippy::cast_possible_truncation, reason = "clamped to the range of the target just before")]
pub(crate) const fn clamp_i32(value: i64) -> i32 {
    if value > i32::MAX as i64 {
        i32::MAX
    } else if value < i32::MIN as i64 {
        i32::MIN
    } else {
        value as i32
    }
}

/// `value` as an i64, the largest one if it does not fit.
pub(crate) const fn clamp_i64(value: u64) -> i64 {
    if value > i64::MAX.unsigned_abs() { i64::MAX } else { value.cast_signed() }
}

/// A divisor that is known not to be zero: 1 stands in for 0.
pub(crate) const fn divisor(value: u64) -> NonZero<u64> {
    match NonZero::new(value) {
        Some(value) => value,
        None => NonZero::<u64>::MIN,
    }
}

/// numerator / denominator, rounded down. Both at least 0.
pub(crate) fn divide_floor(numerator: u64, denominator: NonZero<u64>) -> u64 {
    numerator / denominator
}

/// numerator / denominator, rounded up. Both at least 0.
pub(crate) fn divide_ceil(numerator: u64, denominator: NonZero<u64>) -> u64 {
    numerator.div_ceil(denominator.get())
}

/// value / count, rounded towards minus infinity, for a small constant count.
pub(crate) const fn divide_signed_floor(value: i64, count: NonZero<u32>) -> i64 {
    match value.checked_div_euclid(count.get() as i64) {
        Some(quotient) => quotient,
        None => value,
    }
}

/// The square root, rounded up.
pub(crate) fn square_root_ceil(value: u64) -> u64 {
    let root = value.isqrt();
    if root.saturating_mul(root) < value { root.saturating_add(1) } else { root }
}

/// The nearest integer to `value`, for coefficients that are computed once. The nearest end of the range where it doesn't fit, 0 for NaN.
#[expect(clippy::cast_possible_truncation, reason = "a cast from a float saturates, which the doc promises")]
pub(crate) fn nearest(value: f64) -> i64 {
    libm::round(value) as i64
}

/// The smallest integer not below `value`, for factors that must not be too small.
#[expect(clippy::cast_possible_truncation, reason = "a cast from a float saturates, which the doc promises")]
pub(crate) fn ceil(value: f64) -> i64 {
    libm::ceil(value) as i64
}

/// The largest integer not above `value`, for factors that must not be too large.
#[expect(clippy::cast_possible_truncation, reason = "a cast from a float saturates, which the doc promises")]
pub(crate) fn floor(value: f64) -> i64 {
    libm::floor(value) as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_goes_the_way_that_the_name_says() {
        assert_eq!(divide_floor(7, divisor(2)), 3);
        assert_eq!(divide_ceil(7, divisor(2)), 4);
        assert_eq!(divide_signed_floor(-7, NonZero::new(2).unwrap()), -4);
        assert_eq!(divide_signed_floor(7, NonZero::new(2).unwrap()), 3);
        assert_eq!(square_root_ceil(8), 3);
        assert_eq!(square_root_ceil(9), 3);
        assert_eq!(square_root_ceil(10), 4);
        assert_eq!(square_root_ceil(u64::MAX), 1 << 32);
    }

    #[test]
    fn a_float_becomes_the_integer_that_the_name_says() {
        let all = |value: f64| (floor(value), nearest(value), ceil(value));
        assert_eq!(all(2.25), (2, 2, 3));
        assert_eq!(all(2.75), (2, 3, 3));
        assert_eq!(all(-2.25), (-3, -2, -2));
        assert_eq!(all(-2.75), (-3, -3, -2));
        assert_eq!(all(7.0), (7, 7, 7));
        assert_eq!(all(1e300), (i64::MAX, i64::MAX, i64::MAX));
        assert_eq!(all(f64::NAN), (0, 0, 0));
    }

    #[test]
    fn what_does_not_fit_goes_to_the_nearest_end() {
        assert_eq!(clamp_i32(i64::MAX), i32::MAX);
        assert_eq!(clamp_i32(i64::MIN), i32::MIN);
        assert_eq!(clamp_i64(u64::MAX), i64::MAX);
        assert_eq!(product(i32::MIN, i32::MIN), 1 << 62);
    }
}
