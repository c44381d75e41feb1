//! What a barometric height is off on a warm or a cold day.
//!
//! The aircraft's barometer takes the air for that of the standard atmosphere. The true height above the take-off point is
//!
//! > indicated height x T / T_standard,
//!
//! T the absolute temperature of the air, T_standard that of the standard atmosphere there (288.15 K at the sea, 6.5 K less for
//! each kilometre; ICAO Doc 7488 / ISO 2533). At the sea with air 20 K warmer than standard 120 m indicated are 128.3 m.
//! So with a temperature range in the limits every height is held to what it may truly be: to the highest for ceilings and
//! people, to the lowest for the ground and floors. The range only ever widens margins: without one heights are taken as true.
//!
//! Error budget: the standard temperature is taken at the ceiling, which is the coldest that it gets, so the factor is above
//! the true one, by less than 0.65 % of what a height is off for each 300 m of ceiling; it is rounded up to 2^-24, what a
//! height is off to 0.01 m.

use crate::{
    arithmetic::{bounded_product, ceil, clamp_i32, divide_ceil, divisor},
    model::limits::Air,
};

/// Bits of a factor's fraction.
const FRACTION: u32 = 24;
/// Heights that matter are far below this, 0.01 m.
const ENDLESS: i64 = 1 << 32;
/// 0 degrees Celsius, K.
const FREEZING: f64 = 273.15;
/// The standard atmosphere at the sea, K.
const STANDARD: f64 = 288.15;
/// How much colder the standard atmosphere is for each 0.01 m, K.
const LAPSE: f64 = 0.0065 / 100.0;

/// How much higher and lower than indicated a height may be: shares of it, times 2^24.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct AirFactors {
    warm: i32,
    cold: i32,
}

impl AirFactors {
    /// Of air between two temperatures at a launch point that is between two heights above the sea, up to a ceiling above
    /// launch, all in 0.01 m.
    #[inline(never)]
    pub(crate) fn new(air: Air, lowest: i32, highest: i32, ceiling: i32) -> Self {
        let kelvin = |tenths: i32| f64::from(tenths) / 10.0 + FREEZING;
        let standard = |height: i32| STANDARD - f64::from(height) * LAPSE;
        let coldest_standard = standard(highest.saturating_add(ceiling.max(0)));
        let share =
            |off: f64| clamp_i32(ceil(libm::ldexp(libm::fmax(off, 0.0) / coldest_standard, FRACTION.cast_signed())));
        Self {
            warm: share(kelvin(air.warmest.get()) - standard(highest)),
            cold: share(standard(lowest) - kelvin(air.coldest.get())),
        }
    }

    /// How far above an indicated height (0.01 m above launch) the aircraft may be, 0.01 m, rounded up.
    pub(crate) const fn above_ceil(self, height: i32) -> i32 {
        share_ceil(height, if height < 0 { self.cold } else { self.warm })
    }

    /// How far below an indicated height the aircraft may be, 0.01 m, rounded up.
    pub(crate) const fn below_ceil(self, height: i32) -> i32 {
        share_ceil(height, if height < 0 { self.warm } else { self.cold })
    }

    /// The highest that an aircraft at an indicated height can be, 0.01 m.
    pub(crate) const fn highest_ceil(self, height: i32) -> i32 {
        height.saturating_add(self.above_ceil(height))
    }

    /// The lowest that an aircraft at an indicated height can be, 0.01 m.
    pub(crate) const fn lowest_floor(self, height: i32) -> i32 {
        height.saturating_sub(self.below_ceil(height))
    }

    /// The highest indicated height at which the aircraft is surely no higher than `height`; never above it, less than 2 below.
    pub(crate) fn surely_up_to(self, height: i64) -> i64 {
        // Below launch a height that is off by a share is off upwards where it is cold.
        let height = height.clamp(ENDLESS.saturating_neg(), ENDLESS);
        if height < 0 { outwards(height, self.cold) } else { inwards(height, self.warm) }
    }

    /// The lowest indicated height at which the aircraft is surely no lower than `height`; never below it, less than 2 above.
    pub(crate) fn surely_from(self, height: i64) -> i64 {
        // Warm air moves heights away from launch's, cold air towards it: both ways the same.
        self.surely_up_to(height.saturating_neg()).saturating_neg()
    }
}

/// A share of a height's size, rounded up.
const fn share_ceil(height: i32, share: i32) -> i32 {
    let off = bounded_product(height.unsigned_abs() as i64, share);
    clamp_i32(off.saturating_add((1 << FRACTION) - 1) >> FRACTION)
}

/// height / (1 + share), rounded down, less the 0.01 m that rounding a share up can add; height from 0.
fn inwards(height: i64, share: i32) -> i64 {
    if share == 0 {
        return height;
    }
    let whole = (1_u64 << FRACTION).saturating_add(u64::from(share.unsigned_abs()));
    let scaled = height.unsigned_abs() << FRACTION;
    (scaled / divisor(whole)).cast_signed().saturating_sub(1)
}

/// height / (1 - share), rounded down, less 0.01 m; height below 0.
fn outwards(height: i64, share: i32) -> i64 {
    if share == 0 {
        return height;
    }
    let whole = (1_u64 << FRACTION).saturating_sub(u64::from(share.unsigned_abs()));
    let scaled = height.unsigned_abs() << FRACTION;
    divide_ceil(scaled, divisor(whole)).cast_signed().saturating_add(1).saturating_neg()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Temperature;

    fn air(coldest: i32, warmest: i32) -> Air {
        Air { coldest: Temperature::new(coldest).unwrap(), warmest: Temperature::new(warmest).unwrap() }
    }

    /// True height = indicated x T / T_standard: +20 K at the sea is x 1.0694, -30 K is x 0.8959 (worked from the standard
    /// atmosphere's constants; the ceiling's lower standard temperature adds a little).
    #[test]
    fn a_warm_day_lifts_and_a_cold_day_lowers() {
        let factors = AirFactors::new(air(-150, 350), 0, 0, 12_000);
        assert_eq!(factors.above_ceil(12_000), 836, "120 m are 128.33 m, 128.36 m with the ceiling's temperature");
        assert_eq!(factors.below_ceil(12_000), 1253, "120 m are 107.51 m, 107.47 m with the ceiling's temperature");
        assert_eq!((factors.above_ceil(-1000), factors.below_ceil(-1000)), (105, 70), "mirrored below launch");
    }

    /// 20 K of 288.15 K, and 30 K, times 2^24: 1,164,477.95 and 1,746,716.92.
    #[test]
    fn a_share_is_rounded_up() {
        let factors = AirFactors::new(air(-150, 350), 0, 0, 0);
        assert_eq!((factors.warm, factors.cold), (1_164_478, 1_746_717));
    }

    #[test]
    fn a_range_never_narrows_a_margin() {
        let factors = AirFactors::new(air(200, 250), 0, 0, 12_000);
        assert_eq!(factors.below_ceil(12_000), 0, "20 degrees is warmer than the standard's 15");
        assert!(factors.above_ceil(12_000) > 0);
        assert_eq!(AirFactors::default().highest_ceil(12_345), 12_345);
    }

    #[test]
    fn the_inverses_are_on_the_sure_side_and_near() {
        let factors = AirFactors::new(air(-300, 400), 50_000, 50_300, 12_000);
        for height in (-20_000..20_000).step_by(77) {
            let up = i32::try_from(factors.surely_up_to(height)).unwrap();
            let from = i32::try_from(factors.surely_from(height)).unwrap();
            let height = i32::try_from(height).unwrap();
            assert!(factors.highest_ceil(up) <= height && factors.highest_ceil(up + 3) > height, "{height}");
            assert!(factors.lowest_floor(from) >= height && factors.lowest_floor(from - 3) < height, "{height}");
        }
        assert_eq!(AirFactors::default().surely_up_to(777), 777);
        assert_eq!(AirFactors::default().surely_from(-777), -777);
    }
}
