//! What a barometric height is off on a warm or a cold day: true height above launch = indicated x T / T_standard.
//!
//! Standard temperature: 288.15 K - 0.0065 K/m (ICAO Doc 7488 / ISO 2533).

use pinfold_core::model::limits::Air as Range;

/// Shares of a height that it may be off.
#[derive(Clone, Copy, Debug, Default)]
pub struct Air {
    warm: f64,
    cold: f64,
}

impl Air {
    /// Of air between two temperatures at a launch point, heights counted as in the standard air there, or that much (m) higher,
    /// where standard air is colder and a height is off by more.
    #[must_use]
    pub fn new(range: Option<Range>, elevation: f64, above: f64) -> Self {
        let Some(range) = range else { return Self::default() };
        let standard = |height: f64| 288.15 - 0.0065 * height;
        let off = |tenths: i32| f64::from(tenths) / 10.0 + 273.15 - standard(elevation);
        let share = |kelvin: f64| kelvin.max(0.0) / standard(elevation + above);
        Self { warm: share(off(range.warmest.get())), cold: share(-off(range.coldest.get())) }
    }

    /// The highest that an aircraft at an indicated height above launch can be.
    #[must_use]
    pub fn highest(&self, height: f64) -> f64 {
        height + height.abs() * if height < 0.0 { self.cold } else { self.warm }
    }

    /// The lowest.
    #[must_use]
    pub fn lowest(&self, height: f64) -> f64 {
        height - height.abs() * if height < 0.0 { self.warm } else { self.cold }
    }
}
