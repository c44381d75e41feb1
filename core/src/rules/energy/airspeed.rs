//! Airspeeds: what holding a ground speed along a track asks for in any wind up to the strongest.
//!
//! With v the ground speed, w the wind's and φ the angle between the track and where the wind goes, the airspeed is
//! a² = v² + w² - 2 v w cos φ (the wind triangle, with track and ground speed held). It is convex in v and in w, and falls as
//! cos φ rises: the largest is at an end of both, with the least cosine. The smallest is at the slowest ground speed with the
//! greatest cosine c: at w = v c, where that is a wind that there is (then it is v √(1 - c²)), or else at the strongest wind.

use super::heading::{BITS, Cosines, ONE};
use crate::arithmetic::{bounded_product, clamp_i32, product};

/// Ground speeds from the slowest to the fastest, 0.01 m/s, at most 10,000.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Speeds {
    pub(crate) slowest: i32,
    pub(crate) fastest: i32,
}

/// Airspeeds from a lower bound to an upper one, 0.01 m/s.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Airspeeds {
    pub(crate) least_floor: i32,
    pub(crate) most_ceil: i32,
}

impl Airspeeds {
    /// All that holding still asks for, or moving only up or down.
    pub(crate) const fn still(wind: i32) -> Self {
        Self { least_floor: 0, most_ceil: wind }
    }

    /// All that ground speeds ask for in winds up to `wind` at angles with these cosines. Both bounds are within 0.01 m/s of
    /// what the cosines allow.
    #[inline(never)]
    pub(crate) fn new(speeds: Speeds, wind: i32, cosines: Cosines) -> Self {
        let against = |speed: i32| root_ceil(squared_ceil(speed, wind, cosines.least));
        let Speeds { slowest, fastest } = speeds;
        let slow = if slowest < fastest { against(slowest) } else { 0 };
        Self {
            least_floor: least_floor(slowest, wind, cosines.most),
            most_ceil: against(fastest).max(slow).max(fastest),
        }
    }
}

/// v² + w² - 2 v w cos φ, rounded up: at most 4 x 10^8.
fn squared_ceil(speed: i32, wind: i32, cosine: i32) -> u32 {
    // 28 bits by 31. What is taken off is rounded down.
    let mixed = bounded_product(product(speed, wind).saturating_mul(2), cosine) >> BITS;
    whole(squares(speed, wind).saturating_sub(mixed))
}

/// The same, rounded down.
fn squared_floor(speed: i32, wind: i32, cosine: i32) -> u32 {
    let less = bounded_product(product(speed, wind).saturating_mul(2), cosine.saturating_neg()) >> BITS;
    whole(squares(speed, wind).saturating_add(less))
}

fn squares(speed: i32, wind: i32) -> i64 {
    product(speed, speed).saturating_add(product(wind, wind))
}

/// Roots of 32 bits are several times faster than of 64 where there are no registers of 64.
fn whole(value: i64) -> u32 {
    clamp_i32(value.max(0)).unsigned_abs()
}

fn root_floor(value: u32) -> i32 {
    clamp_i32(i64::from(value.isqrt()))
}

fn root_ceil(value: u32) -> i32 {
    let root = root_floor(value);
    if product(root, root) < i64::from(value) { root.saturating_add(1) } else { root }
}

fn least_floor(speed: i32, wind: i32, cosine: i32) -> i32 {
    if cosine <= 0 {
        return speed;
    }
    let along = product(speed, cosine) >> BITS;
    if along >= i64::from(wind) {
        return root_floor(squared_floor(speed, wind, cosine));
    }
    let across = ONE.saturating_sub(clamp_i32(product(cosine, cosine) >> BITS)).saturating_sub(1).max(0);
    root_floor(whole(bounded_product(product(speed, speed), across) >> BITS))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[expect(clippy::cast_possible_truncation, reason = "a cosine")]
    fn fixed(cosine: f64) -> i32 {
        (cosine * f64::from(ONE)).round() as i32
    }

    fn at(speed: i32, wind: i32, degrees: f64) -> Airspeeds {
        let cosine = fixed(degrees.to_radians().cos());
        Airspeeds::new(Speeds { slowest: speed, fastest: speed }, wind, Cosines { least: cosine, most: cosine })
    }

    #[test]
    fn a_headwind_adds_and_a_tailwind_takes_away() {
        assert_eq!(at(500, 300, 180.0), Airspeeds { least_floor: 500, most_ceil: 800 });
        assert_eq!(at(500, 300, 0.0), Airspeeds { least_floor: 200, most_ceil: 500 });
        assert_eq!(at(300, 500, 0.0), Airspeeds { least_floor: 0, most_ceil: 300 });
    }

    #[test]
    fn a_wind_across_makes_a_right_triangle() {
        assert_eq!(at(800, 600, 90.0).most_ceil, 1000);
        assert_eq!(at(800, 600, 90.0).least_floor, 800);
    }

    /// The least and the largest airspeed, sampled: at the strongest wind, at none, and at the one that makes it least.
    fn sampled(speeds: Speeds, wind: i32, (from, to): (f64, f64)) -> (f64, f64) {
        let part = |number: i32, low: f64, high: f64| low + (high - low) * f64::from(number) / 100.0;
        let places = (0..=100).flat_map(|speed| (0..=100).map(move |angle| (speed, angle)));
        places.fold((f64::INFINITY, 0.0), |(least, most): (f64, f64), (speed, angle)| {
            let v = part(speed, f64::from(speeds.slowest), f64::from(speeds.fastest));
            let (cosine, strongest) = (part(angle, from, to).to_radians().cos(), f64::from(wind));
            let winds = [0.0, strongest, (v * cosine).clamp(0.0, strongest)];
            let airspeeds = winds.map(|w| (v * v + w * w - 2.0 * v * w * cosine).max(0.0).sqrt());
            (airspeeds.into_iter().fold(least, f64::min), airspeeds.into_iter().fold(most, f64::max))
        })
    }

    #[test]
    fn the_bounds_hold_and_are_near() {
        for (slowest, fastest, wind) in
            [(100, 100, 900), (100, 300, 900), (0, 700, 300), (400, 900, 600), (1, 10_000, 10_000)]
        {
            for (from, to) in [(0.0, 5.0), (30.0, 40.0), (85.0, 95.0), (120.0, 180.0), (0.0, 180.0)] {
                let cosines =
                    Cosines { least: fixed(f64::to_radians(to).cos()), most: fixed(f64::to_radians(from).cos()) };
                let speeds = Speeds { slowest, fastest };
                let bounds = Airspeeds::new(speeds, wind, cosines);
                let (least, most) = sampled(speeds, wind, (from, to));
                let (low, high) = (f64::from(bounds.least_floor), f64::from(bounds.most_ceil));
                assert!(low <= least + 0.01 && most <= high + 0.01, "{bounds:?} {least} {most}");
                assert!(high <= most + 1.01 && low >= least - 1.01, "{bounds:?} {least} {most}");
            }
        }
    }

    /// Cosines whose sines are just below k / 1000: the airspeed across is just below k.
    #[test]
    fn the_least_airspeed_is_never_rounded_up() {
        for across in 1..1000_i32 {
            let sine = f64::from(across) / 1000.0;
            let cosine = clamp_i32(crate::arithmetic::ceil((1.0 - sine * sine).sqrt() * f64::from(ONE)));
            let left = (1_i128 << 60) - i128::from(cosine) * i128::from(cosine);
            let found = i128::from(least_floor(1000, 10_000, cosine));
            assert!((found * found) << 60 <= left * 1_000_000, "{across}: {found}");
            assert!(found >= i128::from(across) - 1, "{across}: {found}");
        }
    }
}
