//! The margins that a leg's speed asks for.
//!
//! Horizontal: fixed + v t + v² / (2 g tan θ). Vertical, upwards: fixed + 0.7 v t + v² / (2 g); downwards: fixed alone.
//! v is the leg's ground speed, t the reaction time, θ the tilt that the aircraft brakes with, g = 9.80665 m/s² (exact).
//! This is the published way to size a contingency volume: JARUS guidelines on SORA, Annex A v2.5, section A.5 (defaults
//! there: fixed 3 + 3 + 1 m horizontally, 1 m vertically with a barometer, t = 1 s, θ at most 45 degrees).
//!
//! Error budget: the two products are exact in 0.1 mm, the braking distance is rounded up to 0.1 mm with a factor that is
//! rounded up (relative 1e-9), the sum is rounded up to 1 cm. Never below the formula, less than 1.02 cm above it.

use core::num::NonZero;

use crate::{
    arithmetic::{bounded_product, ceil, clamp_i32, product},
    model::limits::Margins,
    units::{Duration, Length, Speed, SpeedLimit},
};

/// Standard gravity in cm/s².
const GRAVITY: f64 = 980.665;
/// Bits of the braking factors' fractions.
const FRACTION: u32 = 32;
/// 1 mm in 1 cm.
pub(crate) const MILLIMETRES: NonZero<u32> = NonZero::new(10).unwrap();
/// 0.1 mm in 1 cm.
const PER_CENTIMETRE: i64 = 100;

// The largest speed squared times the largest factor (1 degree of tilt: below 2^34) fits an i64.
const _: () = assert!((Speed::MAX as i64) * (Speed::MAX as i64) < 1 << 27 && SpeedLimit::MAX == Speed::MAX);
// A reaction of the longest duration at the highest speed, in 0.1 mm, fits too.
const _: () = assert!((Speed::MAX as i64) * (Duration::MAX as i64) * 7 < 1 << 60 && Length::MAX < 1 << 24);

/// Margins with their factors worked out, once for a set of limits.
#[derive(Clone, Debug)]
pub(crate) struct MarginFactors {
    margins: Margins,
    /// 0.1 mm for (0.01 m/s)², times 2^32: 1 / (2 g tan θ).
    brake: i64,
    /// The same for 1 / (2 g).
    rise: i64,
}

impl MarginFactors {
    pub(crate) fn new(margins: Margins) -> Self {
        let tilt = f64::from(margins.brake_tilt.get()) * core::f64::consts::PI / 180.0;
        let factor =
            |slope: f64| ceil(libm::ldexp(100.0 / (2.0 * GRAVITY * slope), FRACTION.cast_signed()) * (1.0 + 1e-12));
        Self { margins, brake: factor(libm::tan(tilt)), rise: factor(1.0) }
    }

    /// The horizontal margin at a ground speed of `speed` (0.01 m/s) on a leg whose readings are `apart` (mm) at most, in
    /// 0.01 m, rounded up.
    pub(crate) fn horizontal_ceil(&self, speed: i32, apart: i64) -> i32 {
        let reaction = product(speed, self.margins.reaction.get());
        let sum = self
            .base(self.margins.fixed, reaction, braking(speed, self.brake))
            .saturating_add(apart.saturating_mul(10));
        centimetres_ceil(sum)
    }

    /// The vertical margin upwards at a ground speed of `speed` (0.01 m/s), in 0.01 m, rounded up.
    pub(crate) fn up_ceil(&self, speed: i32) -> i32 {
        let reaction = product(speed, self.margins.reaction.get()).saturating_mul(7).saturating_add(9) / 10;
        centimetres_ceil(self.base(self.margins.up_fixed, reaction, braking(speed, self.rise)))
    }

    /// The distance from people that no height makes smaller, in 0.01 m.
    pub(crate) fn people(&self) -> i32 {
        self.margins.people.map_or(0, Length::get)
    }

    /// The vertical margin downwards, in 0.01 m.
    pub(crate) const fn down(&self) -> i32 {
        self.margins.up_fixed.get()
    }

    fn base(&self, fixed: Length, reaction: i64, braking: i64) -> i64 {
        i64::from(fixed.get()).saturating_mul(PER_CENTIMETRE).saturating_add(reaction).saturating_add(braking)
    }
}

/// v² times a factor, in 0.1 mm, rounded up.
fn braking(speed: i32, factor: i64) -> i64 {
    (bounded_product(factor, clamp_i32(product(speed, speed))) >> FRACTION).saturating_add(i64::from(speed != 0))
}

/// 0.1 mm to 0.01 m, rounded up, for values from 0.
fn centimetres_ceil(tenths: i64) -> i32 {
    clamp_i32(tenths.saturating_add(PER_CENTIMETRE.saturating_sub(1)) / PER_CENTIMETRE)
}

/// The horizontal and the upward margin that `margins` ask for at a ground speed of `speed`, in 0.01 m, rounded up.
#[must_use]
pub fn margins_ceil(margins: Margins, speed: Speed) -> (i32, i32) {
    let factors = MarginFactors::new(margins);
    let speed = speed.get().max(0);
    (factors.horizontal_ceil(speed, 0), factors.up_ceil(speed))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Tilt;

    fn margins(fixed: i32, reaction: i32, tilt: i32, up_fixed: i32) -> MarginFactors {
        MarginFactors::new(Margins {
            fixed: Length::new(fixed).unwrap(),
            reaction: Duration::new(reaction).unwrap(),
            brake_tilt: Tilt::new(tilt).unwrap(),
            up_fixed: Length::new(up_fixed).unwrap(),
            people: None,
        })
    }

    #[test]
    fn a_margin_is_the_formula_rounded_up() {
        // 7 + 4 + 16 / (2 x 9.80665) = 11.81577; 1 + 2.8 + 0.81577 = 4.61577.
        let factors = margins(700, 100, 45, 100);
        assert_eq!(factors.horizontal_ceil(400, 0), 1182);
        assert_eq!(factors.up_ceil(400), 462);
        assert_eq!(factors.down(), 100);
        assert_eq!(factors.horizontal_ceil(0, 0), 700);
        assert_eq!(factors.up_ceil(0), 100);
    }

    #[test]
    fn readings_apart_are_added_before_rounding() {
        let factors = margins(700, 100, 45, 100);
        assert_eq!(factors.horizontal_ceil(400, 4), 1182);
        assert_eq!(factors.horizontal_ceil(400, 5), 1183);
    }

    #[test]
    fn a_steeper_tilt_brakes_sooner() {
        // v² / (2 g tan 15 degrees) at 10 m/s: 19.0217 m with g = 9.81 (SORA's), 19.0282 m with 9.80665.
        assert_eq!(margins(0, 0, 15, 0).horizontal_ceil(1000, 0), 1903);
        assert_eq!(margins(0, 0, 80, 0).horizontal_ceil(1000, 0), 90);
    }

    #[test]
    fn not_a_tenth_of_a_millimetre_is_lost() {
        // 0.7 x 0.1 m/s x 0.85 s + 0.1² / (2 x 9.80665) m = 60.0099 mm.
        assert_eq!(margins(0, 85, 45, 0).up_ceil(10), 7);
    }

    #[test]
    fn the_largest_figures_do_not_wrap() {
        let factors = margins(Length::MAX, Duration::MAX, 1, Length::MAX);
        let reaction = i64::from(Speed::MAX) * i64::from(Duration::MAX) / 100;
        assert!(i64::from(factors.horizontal_ceil(Speed::MAX, 1 << 40)) > reaction);
        assert!(factors.up_ceil(Speed::MAX) > 0);
    }
}
