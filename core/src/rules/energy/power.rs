//! Power in level flight: the table of the limits, linear between its points. Unit: 1 mW, rounded up.

use core::num::NonZero;

use super::airspeed::Airspeeds;
use crate::{
    model::limits::{PowerPoint, PowerTable},
    units::{Airspeed, Power},
};

/// What climbing takes above hovering, mW.
pub(crate) fn climb_extra(table: &PowerTable) -> u32 {
    let hover = table.points.first().map_or(0, |point| point.power.get());
    milliwatts(table.climb.get().saturating_sub(hover).max(0))
}

/// The largest power over airspeeds, mW, rounded up; `None` beyond the table's end.
/// Between two points power is linear, so the ends of the interval and the points inside it decide.
#[inline(never)]
pub(crate) fn most_ceil(table: &PowerTable, airspeeds: Airspeeds) -> Option<u32> {
    let (slow, fast) = (airspeeds.least_floor, airspeeds.most_ceil);
    let inside = table.points.iter().filter(|point| (slow..=fast).contains(&i32::from(point.airspeed.get())));
    let most = inside.map(|point| milliwatts(point.power.get())).max().unwrap_or(0);
    Some(most.max(at_ceil(table, slow)?).max(at_ceil(table, fast)?))
}

/// The power at an airspeed (0.01 m/s), mW, rounded up; `None` beyond the table's end.
fn at_ceil(table: &PowerTable, airspeed: i32) -> Option<u32> {
    let after = table.points.iter().find(|point| i32::from(point.airspeed.get()) >= airspeed)?;
    let before = table.points.iter().rev().find(|point| i32::from(point.airspeed.get()) <= airspeed)?;
    Some(between_ceil(before, after, airspeed))
}

/// Numbers of 32 bits throughout: 50,000 W times 10,000 counts of airspeed, and 1,000 times as many counts.
fn between_ceil(before: &PowerPoint, after: &PowerPoint, airspeed: i32) -> u32 {
    let part = |from: i32, to: i32| to.saturating_sub(from).unsigned_abs();
    let (from, to) = (i32::from(before.airspeed.get()), i32::from(after.airspeed.get()));
    let Some(span) = NonZero::new(part(from, to)) else { return milliwatts(after.power.get()) };
    let low = before.power.get().unsigned_abs().saturating_mul(part(airspeed, to));
    let weighted = low.saturating_add(after.power.get().unsigned_abs().saturating_mul(part(from, airspeed)));
    let (watts, rest) = (weighted / span, weighted % span);
    watts.saturating_mul(1000).saturating_add(rest.saturating_mul(1000).div_ceil(span.get()))
}

const _: () = assert!(
    Power::MAX as u64 * Airspeed::MAX as u64 * 2 <= u32::MAX as u64 && Airspeed::MAX as u64 * 1000 <= u32::MAX as u64
);

fn milliwatts(watts: i32) -> u32 {
    watts.unsigned_abs().saturating_mul(1000)
}

/// The highest airspeed that the table knows, 0.01 m/s.
pub(crate) fn table_end(table: &PowerTable) -> i32 {
    table.points.last().map_or(0, |point| i32::from(point.airspeed.get()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> PowerTable {
        crate::rules::energy::samples::figures().power
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
        let most = |least_floor, most_ceil| super::most_ceil(&table(), Airspeeds { least_floor, most_ceil });
        assert_eq!(most(0, 750), Some(202_500));
        assert_eq!(most(0, 500), Some(190_000));
        assert_eq!(most(400, 600), Some(186_000));
        assert_eq!(most(400, 501), Some(178_000));
        assert_eq!(most(400, 1001), None);
    }
}
