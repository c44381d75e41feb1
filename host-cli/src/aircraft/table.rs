//! A power table, as limits.toml has it.

use std::fmt;

use pinfold_core::units::{Airspeed, Power};

use crate::text::decimal::written;

/// Most watts that limits take.
pub(crate) const MOST_WATTS: u32 = Power::MAX.unsigned_abs();
/// Highest airspeed that limits take, m/s.
pub(crate) const FASTEST: f64 = Airspeed::MAX as f64 / 100.0;

/// One point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Point {
    /// 0.01 m/s.
    pub(crate) airspeed: u16,
    /// W.
    pub(crate) watts: u32,
}

impl Point {
    /// m/s.
    pub(crate) fn speed(self) -> f64 {
        f64::from(self.airspeed) / 100.0
    }
}

/// Power in level flight: straight between points whose airspeeds rise from 0.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PowerTable(pub(crate) Vec<Point>);

impl PowerTable {
    /// W; none beyond the table's end.
    pub(crate) fn at(&self, airspeed: f64) -> Option<f64> {
        let pair = self.0.windows(2).find(|pair| airspeed <= pair[1].speed())?;
        let [low, high] = [pair[0].watts, pair[1].watts].map(f64::from);
        let part = (airspeed - pair[0].speed()) / (pair[1].speed() - pair[0].speed());
        Some(low + (high - low) * part)
    }

    /// In hover, W.
    pub(crate) fn hover(&self) -> f64 {
        self.0.first().map_or(0.0, |point| f64::from(point.watts))
    }

    /// The last airspeed, m/s.
    pub(crate) fn end(&self) -> f64 {
        self.0.last().map_or(0.0, |point| point.speed())
    }

    /// Whether limits take it.
    pub(crate) fn fits(&self) -> bool {
        self.0.iter().all(|point| (1..=MOST_WATTS).contains(&point.watts))
    }
}

impl fmt::Display for PowerTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pair = |point: &Point| format!("[{}, {}.0]", written(point.airspeed.into(), 2), point.watts);
        write!(f, "table = [{}]  # m/s, W", self.0.iter().map(pair).collect::<Vec<_>>().join(", "))
    }
}

/// Watts, rounded up to whole ones.
pub(crate) fn watts_ceil(watts: f64) -> u32 {
    // A float turns into the nearest integer of the type where it is beyond it; `fits` refuses that.
    watts.ceil() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_two_points_a_table_is_straight_and_beyond_its_end_it_is_silent() {
        let table = PowerTable(vec![Point { airspeed: 0, watts: 100 }, Point { airspeed: 250, watts: 150 }]);
        assert_eq!(table.at(0.0), Some(100.0));
        assert_eq!(table.at(1.25), Some(125.0));
        assert_eq!(table.at(2.5), Some(150.0));
        assert_eq!(table.at(2.51), None);
        assert_eq!(table.to_string(), "table = [[0.0, 100.0], [2.5, 150.0]]  # m/s, W");
    }
}
