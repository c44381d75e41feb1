//! The power table.

use pinfold_core::model::limits::PowerTable;

/// What floating point may add to an airspeed that is the table's last, in m/s.
const NUMERIC: f64 = 1e-9;

/// A power table in m/s and watts.
#[derive(Clone, Debug)]
pub struct Table {
    points: Vec<(f64, f64)>,
    extra: f64,
}

impl Table {
    /// From the limits' figures.
    #[must_use]
    pub fn new(table: &PowerTable) -> Self {
        let points: Vec<(f64, f64)> = table
            .points
            .iter()
            .map(|point| (f64::from(point.airspeed.get()) / 100.0, f64::from(point.power.get())))
            .collect();
        let extra = (f64::from(table.climb.get()) - points[0].1).max(0.0);
        Self { points, extra }
    }

    /// The last airspeed.
    #[must_use]
    pub fn end(&self) -> f64 {
        self.points[self.points.len() - 1].0
    }

    /// Watts at an airspeed; infinite beyond the table's end, where nobody knows.
    #[must_use]
    pub fn at(&self, airspeed: f64) -> f64 {
        if airspeed > self.end() + NUMERIC {
            return f64::INFINITY;
        }
        let mut before = self.points[0];
        for next in &self.points[1..] {
            if airspeed <= next.0 {
                return before.1 + (next.1 - before.1) * (airspeed - before.0) / (next.0 - before.0);
            }
            before = *next;
        }
        before.1
    }

    /// The most watts at airspeeds from one to another.
    #[must_use]
    pub fn most(&self, (low, high): (f64, f64)) -> f64 {
        let ends = self.at(low).max(self.at(high));
        self.points.iter().filter(|point| low < point.0 && point.0 < high).map(|point| point.1).fold(ends, f64::max)
    }

    /// Watts that a rise adds.
    #[must_use]
    pub fn extra(&self, rising: bool) -> f64 {
        if rising { self.extra } else { 0.0 }
    }
}

/// Watt-hours of some seconds; none in no time.
#[must_use]
pub fn watt_hours(watts: f64, seconds: f64) -> f64 {
    if seconds > 0.0 { watts * seconds / 3600.0 } else { 0.0 }
}
