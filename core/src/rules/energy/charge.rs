//! What a pack holds, by plan and by its resting voltage. Unit: 0.001 Wh, rounded down.

use crate::{
    model::limits::{Battery, ChargePoint, Figures},
    rules::{PackReading, Readings},
    units::{CellVoltage, Cells, Duration, StateOfCharge},
    verdict::Cause,
};

/// How long a pack must have rested where limits don't say, 0.01 s: 10 minutes, common practice, no source. Too early after a
/// charge its voltage is too high, which is the dangerous side.
pub const REST: Duration = Duration::TEN_MINUTES;

/// What a resting voltage tells where limits don't say: 0.001 V of a cell, and the per cent that a lithium polymer or lithium
/// ion cell holds then at least. Common practice, no source; nowhere above the two published cells that a test names.
const COMMON_PRACTICE: [(u16, u8); 8] =
    [(3600, 0), (3700, 15), (3750, 25), (3800, 42), (3850, 55), (3900, 62), (4000, 75), (4200, 100)];

/// The table of charge by voltage of these limits, or else the built-in one: common practice, no source.
pub fn charge_table(figures: &Figures) -> impl Iterator<Item = ChargePoint> + Clone {
    let point = |(cell, charge): (u16, u8)| {
        Some(ChargePoint { cell: CellVoltage::new(cell)?, charge: StateOfCharge::new(charge)? })
    };
    let own = figures.charge.iter().flatten().copied();
    let built_in = COMMON_PRACTICE.into_iter().filter_map(point);
    own.chain(built_in.filter(|_| figures.charge.is_none()))
}

/// capacity x nominal voltage x health x another share (1 %), in 1e-9 Wh: exact, at most 2^54.
fn share_of(battery: &Battery, percent: i32) -> u64 {
    let figure = |value: i32| u64::from(value.unsigned_abs());
    [battery.nominal.get(), battery.health.get(), percent]
        .into_iter()
        .fold(figure(battery.capacity.get()), |product, value| product.saturating_mul(figure(value)))
}

/// capacity x nominal voltage x health.
pub(crate) fn healthy_floor(battery: &Battery) -> u64 {
    share_of(battery, 100) / 1_000_000
}

/// What of it may be used by plan: all but the reserve.
fn planned_floor(battery: &Battery) -> u64 {
    share_of(battery, 100_i32.saturating_sub(battery.reserve.get())) / 1_000_000
}

/// What may be used at most: less than by plan where a voltage or what is left says so; nothing where a voltage tells nothing.
pub(crate) fn usable_floor(figures: &Figures, readings: &Readings) -> u64 {
    let battery = &figures.battery;
    let by_voltage = readings.pack.map(|pack| by_voltage_floor(figures, pack).unwrap_or(0));
    let kept = share_of(battery, battery.reserve.get()).div_ceil(1_000_000);
    let left = readings.aloft.map(|aloft| u64::from(aloft.left.get().unsigned_abs()).saturating_sub(kept));
    [by_voltage, left].into_iter().flatten().fold(planned_floor(battery), u64::min)
}

/// What may be used by a voltage.
///
/// # Errors
/// Why the voltage tells nothing.
pub(crate) fn by_voltage_floor(figures: &Figures, pack: PackReading) -> Result<u64, Cause> {
    let battery = &figures.battery;
    if pack.rested.is_some_and(|rested| rested < battery.rest.unwrap_or(REST)) {
        return Err(Cause::PackNotRested);
    }
    let held = held_floor(figures, pack, battery.cells);
    let more = held.map(|held| held.saturating_sub(reserve(battery)).max(0));
    // With too little for any flight, or a voltage that the table doesn't know: is it another pack?
    if more.unwrap_or(0) == 0 && other_cells(figures, pack).next().is_some() {
        return Err(Cause::PackOfOtherCells);
    }
    more.map(|more| share_of(battery, more) / 100_000_000)
}

/// The reserve in 0.01 %.
fn reserve(battery: &Battery) -> i32 {
    battery.reserve.get().saturating_mul(100)
}

/// The numbers of cells, but for the planned one, with which a pack of this voltage holds more than the reserve.
pub fn other_cells(figures: &Figures, pack: PackReading) -> impl Iterator<Item = Cells> {
    let battery = figures.battery;
    (Cells::MIN..=Cells::MAX).filter_map(Cells::new).filter(move |cells| {
        *cells != battery.cells && held_floor(figures, pack, *cells).is_ok_and(|held| held > reserve(&battery))
    })
}

/// What a pack with so many cells holds by its voltage, 0.01 % of the healthy charge, rounded down.
fn held_floor(figures: &Figures, pack: PackReading, cells: Cells) -> Result<i32, Cause> {
    // In 0.001 V of the whole pack: exact.
    let volts = pack.voltage.get().saturating_mul(10);
    let of_pack = |point: ChargePoint| {
        (i32::from(point.cell.get()).saturating_mul(cells.get()), i32::from(point.charge.get()).saturating_mul(100))
    };
    let points = charge_table(figures).map(of_pack);
    let above = points.clone().find(|(voltage, _)| *voltage >= volts).ok_or(Cause::PackTooHigh)?;
    let below = points.filter(|(voltage, _)| *voltage <= volts).last().ok_or(Cause::PackTooLow)?;
    let part = |from: i32, to: i32| u64::from(to.saturating_sub(from).unsigned_abs());
    let gained = part(below.1, above.1).saturating_mul(part(below.0, volts));
    let more = gained.checked_div(part(below.0, above.0)).unwrap_or(0);
    Ok(below.1.saturating_add(i32::try_from(more).unwrap_or(0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        rules::energy::samples::figures,
        units::{Charge, Voltage},
    };

    #[test]
    fn the_charge_is_worked_out_as_on_paper() {
        // 5 Ah x 14.8 V = 74 Wh; 90 % of it 66.6 Wh; a quarter of that in reserve leaves 49.95 Wh.
        let battery = figures().battery;
        assert_eq!((healthy_floor(&battery), planned_floor(&battery)), (66_600, 49_950));
    }

    fn reading(volts: i32) -> PackReading {
        PackReading { voltage: Voltage::new(volts).unwrap(), rested: None }
    }

    fn usable(volts: i32) -> Result<u64, Cause> {
        by_voltage_floor(&figures(), reading(volts))
    }

    #[test]
    fn a_voltage_tells_the_charge() {
        // 4.00 V a cell: 75 %; less the reserve of 25 % that is half of 66.6 Wh.
        assert_eq!(usable(1600), Ok(33_300));
        // Half way from 3.75 V (25 %) to 3.80 V (42 %): 33.5 %, so 8.5 % of 66.6 Wh.
        assert_eq!(usable(1510), Ok(5_661));
        assert_eq!(usable(1680), Ok(49_950));
    }

    #[test]
    fn a_voltage_that_the_table_does_not_know_is_told_from_another_pack() {
        assert_eq!(usable(1260), Err(Cause::PackOfOtherCells), "three full cells");
        assert_eq!(usable(2100), Err(Cause::PackOfOtherCells), "five full cells");
        assert_eq!(usable(1681), Err(Cause::PackTooHigh), "five cells of 3.36 V hold nothing");
        assert_eq!(usable(1439), Err(Cause::PackTooLow));
        assert_eq!(usable(1440), Ok(0), "empty, and no other number of cells makes 14.4 V");
        let others = |volts| other_cells(&figures(), reading(volts)).map(Cells::get).collect::<std::vec::Vec<_>>();
        // Five cells of 3.75 V hold a quarter, the reserve, and nothing more.
        assert_eq!((usable(1875), others(1875)), (Err(Cause::PackTooHigh), std::vec![]));
        assert_eq!((usable(1876), others(1876)), (Err(Cause::PackOfOtherCells), std::vec![5]));
    }

    #[test]
    fn a_pack_must_have_rested() {
        let rested = |rested| PackReading { rested: Duration::new(rested), ..reading(1600) };
        let figures = figures();
        assert_eq!(by_voltage_floor(&figures, rested(59_999)), Err(Cause::PackNotRested));
        assert_eq!(by_voltage_floor(&figures, rested(60_000)), Ok(33_300));
        let battery = Battery { rest: Duration::new(100), ..figures.battery };
        let short = Figures { battery, ..figures };
        assert_eq!(by_voltage_floor(&short, rested(99)), Err(Cause::PackNotRested));
        assert_eq!(by_voltage_floor(&short, rested(100)), Ok(33_300));
    }

    #[test]
    fn what_is_left_in_flight_counts_less_the_reserve() {
        let figures = figures();
        let position = crate::geometry::position::Position::new(0, 0).unwrap();
        let height = crate::units::Height::new(0).unwrap();
        let left = |left| {
            let aloft = crate::rules::Aloft { position, height, left: Charge::new(left).unwrap() };
            usable_floor(&figures, &Readings { aloft: Some(aloft), ..Readings::default() })
        };
        assert_eq!([left(20_000), left(16_650), left(0), left(90_000)], [3_350, 0, 0, 49_950]);
    }
}
