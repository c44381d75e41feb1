//! Brings what a pack holds, and what airspeed an aircraft can hold, close to what a route takes.

use pinfold_core::{
    model::limits::{ChargePoint, ChargePoints},
    rules::PackReading,
    units::{Capacity, CellVoltage, Cells, Charge, Health, Reserve, StateOfCharge, Voltage},
};

use super::{back::Effort, judge::Truth, pack::charge, scene::Scene};
use crate::{
    oracle::space::dice::Dice,
    sample::{duration, speed_limit},
};

/// Watt-hours that a route without a number is taken to need.
const UNKNOWN: f64 = 10.0;

/// Brings pack and aircraft close to the route's needs, on either side.
pub fn tune(scene: &mut Scene, dice: &mut Dice) {
    let truth = Truth::of(&scene.case(), Effort::QUICK).expect("speeds above 0");
    let beside = if dice.chance(0.6) { dice.whole(-20, 20) } else { dice.whole(-500, 2000) };
    #[expect(clippy::cast_possible_truncation, reason = "some ten m/s")]
    let largest = (truth.largest.needed * 100.0) as i32;
    scene.figures.aircraft.airspeed_max = speed_limit((largest + beside).clamp(1, 10_000));
    let needed = if truth.needed().is_finite() { truth.needed() } else { UNKNOWN };
    let (voltage, left) = (dice.chance(0.35), scene.readings.aloft.is_some());
    // The scarcest is close to the need, the others are above it.
    let scarce = dice.whole(0, 2);
    let plan = aim(dice, needed, scarce == 0 || !voltage && !left);
    set_plan(scene, dice, plan);
    if voltage {
        let usable = aim(dice, needed, scarce == 1);
        read_voltage(scene, dice, usable);
    }
    let usable = aim(dice, needed, scarce == 2);
    let reserve = charge(&scene.figures.battery).0 - charge(&scene.figures.battery).1;
    if let Some(aloft) = &mut scene.readings.aloft {
        #[expect(clippy::cast_possible_truncation, reason = "clamped")]
        let left = ((usable + reserve) * 1000.0).round().clamp(0.0, 1e8) as i32;
        aloft.left = Charge::new(left).expect("in range");
    }
}

/// What may be used: some milliwatt-hours or some per cent beside the need, or well above it.
fn aim(dice: &mut Dice, needed: f64, scarce: bool) -> f64 {
    if !scarce {
        return needed * dice.between(1.05, 3.0) + 0.1;
    }
    match dice.whole(0, 3) {
        0 => needed + f64::from(dice.whole(-5, 5)) / 1000.0,
        1 => needed * dice.between(0.97, 1.03),
        _ => needed * dice.between(0.9, 1.25),
    }
}

/// A pack of which about so much may be used.
fn set_plan(scene: &mut Scene, dice: &mut Dice, usable: f64) {
    let battery = &mut scene.figures.battery;
    let (health, reserve) = (dice.whole(50, 100), dice.whole(0, 60));
    battery.health = Health::new(health).expect("in range");
    battery.reserve = Reserve::new(reserve).expect("in range");
    battery.cells = Cells::new(dice.whole(1, 12)).expect("in range");
    let full = usable * 1e4 / f64::from(health * (100 - reserve));
    let volts = if dice.chance(0.5) { dice.between(0.9, 1.1) } else { f64::from(battery.cells.get()) * 3.7 };
    let volts = volts.max(full / 900.0).clamp(0.01, 100.0);
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    let (volts, capacity) = ((volts * 100.0).round() as i32, (full * 1000.0 / volts).round().clamp(1.0, 1e6) as i32);
    battery.nominal = Voltage::new(volts.max(1)).expect("in range");
    battery.capacity = Capacity::new(capacity).expect("in range");
}

/// A table of charge by voltage, and a voltage by which about so much may be used.
fn read_voltage(scene: &mut Scene, dice: &mut Dice, usable: f64) {
    let points = charge_points(dice);
    let battery = &mut scene.figures.battery;
    battery.rest = dice.chance(0.5).then(|| duration(60_000));
    let state = usable / charge(battery).0 * 100.0 + f64::from(battery.reserve.get());
    let cell = cell_at(&points, state).unwrap_or_else(|| {
        let (low, high) = (f64::from(points[0].cell.get()), f64::from(points[points.len() - 1].cell.get()));
        dice.between(low - 60.0, high + 60.0)
    });
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    let voltage = (cell / 10.0 * f64::from(battery.cells.get())).round().clamp(1.0, 10_000.0) as i32;
    let rested = dice.pick(&[None, None, Some(60_000), Some(70_000), Some(59_999)]).map(duration);
    scene.readings.pack = Some(PackReading { voltage: Voltage::new(voltage).expect("in range"), rested });
    scene.figures.charge = Some(points);
}

/// From about empty to about full.
fn charge_points(dice: &mut Dice) -> ChargePoints {
    let (mut cell, mut charge) = (dice.whole(3000, 3500), dice.whole(0, 10));
    let count = dice.whole(2, 12);
    let mut points = ChargePoints::new();
    for number in 1..=count {
        let point = ChargePoint {
            cell: CellVoltage::new(u16::try_from(cell).expect("positive")).expect("in range"),
            charge: StateOfCharge::new(u8::try_from(charge).expect("small")).expect("in range"),
        };
        points.push(point).expect("at most twelve");
        cell += dice.whole(20, 2 * 900 / count);
        charge = if number + 1 == count { 100 } else { dice.whole(charge, 100) };
    }
    points
}

/// The voltage of a cell, in mV, that holds so many per cent.
fn cell_at(points: &ChargePoints, state: f64) -> Option<f64> {
    let point = |number: usize| (f64::from(points[number].cell.get()), f64::from(points[number].charge.get()));
    (1..points.len())
        .map(|number| (point(number - 1), point(number)))
        .find(|(before, next)| before.1 <= state && state < next.1)
        .map(|(before, next)| before.0 + (next.0 - before.0) * (state - before.1) / (next.1 - before.1))
}
