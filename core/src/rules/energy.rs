//! What a leg takes: time and charge, in still air.
//!
//! Time is the longest of distance / ground speed, rise / climb rate and drop / descent rate, plus a hold. Power is the
//! largest in the table over the ground speeds that this time allows, plus what climbing takes above hovering while rising;
//! nothing is credited for descending. All is rounded up: time to 1 ms, power to 1 mW, energy to 1 mJ a leg.

use super::leg::Leg;
use crate::{
    arithmetic::{clamp_i32, clamp_i64, divide_ceil, divide_floor, divisor},
    model::{
        limits::{Battery, Figures, PowerPoint, PowerTable},
        path::Motion,
    },
};

/// Time and energy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cost {
    /// ms.
    pub(crate) time: u64,
    /// mJ.
    pub(crate) energy: u64,
}

impl Cost {
    pub(crate) const NOTHING: Self = Self { time: 0, energy: 0 };

    pub(crate) const fn plus(self, other: Self) -> Self {
        Self { time: self.time.saturating_add(other.time), energy: self.energy.saturating_add(other.energy) }
    }
}

/// What a leg takes, rounded up; `None` where its speed is no speed or beyond the power table.
#[inline(never)]
pub(crate) fn cost_ceil(figures: &Figures, leg: &Leg) -> Option<Cost> {
    let (horizontal, vertical) = (horizontal_time_ceil(leg)?, vertical_time_ceil(figures, leg));
    let hold = u64::from(leg.piece.time.unsigned_abs()).saturating_mul(10);
    let time = horizontal.max(vertical).saturating_add(hold);
    let slowest = if vertical > horizontal { slowed_floor(leg, vertical) } else { leg.piece.speed };
    let level = most_ceil(&figures.power, slowest, leg.piece.speed)?;
    let power = if leg.rise() > 0 { level.saturating_add(climb_extra(&figures.power)) } else { level };
    Some(Cost { time, energy: divide_ceil(time.saturating_mul(power), divisor(1000)) })
}

/// Time for the way over ground, ms, rounded up; `None` where it has a length and no speed.
fn horizontal_time_ceil(leg: &Leg) -> Option<u64> {
    match leg.length_ceil.unsigned_abs() {
        0 => Some(0),
        length if leg.piece.speed > 0 => {
            Some(divide_ceil(length.saturating_mul(100), divisor(u64::from(leg.piece.speed.unsigned_abs()))))
        }
        _ => None,
    }
}

/// Time for the change of height, ms, rounded up.
fn vertical_time_ceil(figures: &Figures, leg: &Leg) -> u64 {
    let rate = if leg.piece.motion == Motion::Descent {
        figures.homeward.landing
    } else if leg.rise() > 0 {
        figures.aircraft.climb
    } else {
        figures.aircraft.descent
    };
    let change = u64::from(leg.rise().unsigned_abs()).saturating_mul(1000);
    divide_ceil(change, divisor(u64::from(rate.get().unsigned_abs())))
}

/// The ground speed of a leg that its change of height slows down to take `time` ms, 0.01 m/s, rounded down.
fn slowed_floor(leg: &Leg, time: u64) -> i32 {
    let speed = divide_floor(leg.length_floor.unsigned_abs().saturating_mul(100), divisor(time));
    clamp_i32(clamp_i64(speed)).min(leg.piece.speed)
}

/// What climbing takes above hovering, mW.
fn climb_extra(table: &PowerTable) -> u64 {
    let hover = table.points.first().map_or(0, |point| point.power.get());
    u64::from(table.climb.get().saturating_sub(hover).max(0).unsigned_abs()).saturating_mul(1000)
}

/// The largest power over the airspeeds from `slow` to `fast` (0.01 m/s), mW, rounded up; `None` beyond the table's end.
/// Between two points power is linear, so the ends of the interval and the points inside it decide.
fn most_ceil(table: &PowerTable, slow: i32, fast: i32) -> Option<u64> {
    let inside = table.points.iter().filter(|point| (slow..=fast).contains(&i32::from(point.airspeed.get())));
    let most = inside.map(|point| milliwatts(point.power.get())).max().unwrap_or(0);
    Some(most.max(at_ceil(table, slow)?).max(at_ceil(table, fast)?))
}

/// The power at an airspeed (0.01 m/s), mW, rounded up; `None` beyond the table's end.
fn at_ceil(table: &PowerTable, airspeed: i32) -> Option<u64> {
    let after = table.points.iter().find(|point| i32::from(point.airspeed.get()) >= airspeed)?;
    let before = table.points.iter().rev().find(|point| i32::from(point.airspeed.get()) <= airspeed)?;
    Some(between_ceil(before, after, airspeed))
}

fn between_ceil(before: &PowerPoint, after: &PowerPoint, airspeed: i32) -> u64 {
    let part = |from: i32, to: i32| u64::from(to.saturating_sub(from).unsigned_abs());
    let (low, high) = (milliwatts(before.power.get()), milliwatts(after.power.get()));
    let span = part(i32::from(before.airspeed.get()), i32::from(after.airspeed.get()));
    if span == 0 {
        return high;
    }
    let weighted = low
        .saturating_mul(part(airspeed, i32::from(after.airspeed.get())))
        .saturating_add(high.saturating_mul(part(i32::from(before.airspeed.get()), airspeed)));
    divide_ceil(weighted, divisor(span))
}

fn milliwatts(watts: i32) -> u64 {
    u64::from(watts.unsigned_abs()).saturating_mul(1000)
}

/// The highest airspeed that the table knows, 0.01 m/s.
pub(crate) fn table_end(table: &PowerTable) -> i32 {
    table.points.last().map_or(0, |point| i32::from(point.airspeed.get()))
}

/// What the pack holds, and what of it may be used, in mWh, rounded down: capacity x nominal voltage x health x (1 - reserve).
pub(crate) fn charge_floor(battery: &Battery) -> (u64, u64) {
    let figure = |value: i32| u64::from(value.unsigned_abs());
    let nominal = figure(battery.capacity.get()).saturating_mul(figure(battery.nominal.get()));
    let healthy = nominal.saturating_mul(figure(battery.health.get()));
    let usable = healthy.saturating_mul(100_u64.saturating_sub(figure(battery.reserve.get())));
    (healthy / 10_000, usable / 1_000_000)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Airspeed, Capacity, Cells, Health, Power, Reserve, Voltage};

    fn table() -> PowerTable {
        let point = |airspeed, watts| PowerPoint {
            airspeed: Airspeed::new(airspeed).unwrap(),
            power: Power::new(watts).unwrap(),
        };
        let points = [point(0, 190), point(500, 175), point(1000, 230)].into_iter().collect();
        PowerTable { points, climb: Power::new(260).unwrap() }
    }

    #[test]
    fn power_is_linear_between_points_and_rounded_up() {
        assert_eq!(at_ceil(&table(), 0), Some(190_000));
        assert_eq!(at_ceil(&table(), 500), Some(175_000));
        assert_eq!(at_ceil(&table(), 750), Some(202_500));
        assert_eq!(at_ceil(&table(), 1), Some(189_970));
        assert_eq!(at_ceil(&table(), 1001), None);
        assert_eq!(at_ceil(&table(), -1), None);
    }

    #[test]
    fn the_largest_power_of_an_interval_may_be_inside_or_at_an_end() {
        assert_eq!(most_ceil(&table(), 0, 750), Some(202_500));
        assert_eq!(most_ceil(&table(), 0, 500), Some(190_000));
        assert_eq!(most_ceil(&table(), 400, 600), Some(186_000));
    }

    #[test]
    fn the_charge_is_worked_out_as_on_paper() {
        // 5 Ah x 14.8 V = 74 Wh; 90 % of it 66.6 Wh; a quarter of that in reserve leaves 49.95 Wh.
        let battery = Battery {
            capacity: Capacity::new(5000).unwrap(),
            cells: Cells::new(4).unwrap(),
            nominal: Voltage::new(1480).unwrap(),
            health: Health::new(90).unwrap(),
            reserve: Reserve::new(25).unwrap(),
        };
        assert_eq!(charge_floor(&battery), (66_600, 49_950));
    }
}
