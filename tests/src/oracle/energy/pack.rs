//! What a pack gives, in watt-hours.

use pinfold_core::{
    model::limits::{Battery, ChargePoints, Figures},
    rules::{PackReading, Readings},
    units::Duration,
};

use crate::oracle::flight::hundredths;

/// How long a pack must have rested where the limits don't say, in 0.01 s: ten minutes. Common practice, no source.
const REST: i32 = 60_000;

/// What a pack gives.
#[derive(Clone, Copy, Debug)]
pub struct Pack {
    /// What it holds by plan.
    pub held: f64,
    /// What may be used, the least of what plan, voltage and charge left allow; below 0 where the reserve is used already.
    pub usable: f64,
    /// By its voltage alone, where one was read.
    pub read: Option<Read>,
}

/// What a voltage tells.
#[derive(Clone, Copy, Debug)]
pub enum Read {
    /// That so much may be used.
    Usable(f64),
    /// Nothing: then nothing of it may be used.
    Unknown,
}

/// What may be used of a pack.
#[must_use]
pub fn pack(figures: &Figures, readings: &Readings) -> Pack {
    let battery = &figures.battery;
    let (held, plan) = charge(battery);
    let reserve = part(battery.reserve.get());
    let read = readings.pack.map(|reading| read(battery, figures.charge.as_ref(), reading, held));
    let by_voltage = match read {
        Some(Read::Usable(usable)) => usable,
        Some(Read::Unknown) => 0.0,
        None => f64::INFINITY,
    };
    let left = readings.aloft.map_or(f64::INFINITY, |aloft| f64::from(aloft.left.get()) / 1000.0 - reserve * held);
    Pack { held, usable: plan.min(by_voltage).min(left), read }
}

fn part(percent: i32) -> f64 {
    f64::from(percent) / 100.0
}

/// By plan: what a pack holds, and what of that may be used.
#[must_use]
pub fn charge(battery: &Battery) -> (f64, f64) {
    let full = f64::from(battery.capacity.get()) / 1000.0 * hundredths(battery.nominal.get());
    let held = full * part(battery.health.get());
    (held, held * (1.0 - part(battery.reserve.get())))
}

fn read(battery: &Battery, points: Option<&ChargePoints>, reading: PackReading, held: f64) -> Read {
    let rest = battery.rest.map_or(REST, Duration::get);
    let rested = reading.rested.is_none_or(|rested| rested.get() >= rest);
    let cell = hundredths(reading.voltage.get()) / f64::from(battery.cells.get());
    match points.and_then(|points| state_of_charge(points, cell)) {
        Some(state) if rested => Read::Usable(held * (state - part(battery.reserve.get()))),
        Some(_) | None => Read::Unknown,
    }
}

/// What part of its charge a cell holds at a voltage, where the table says.
#[must_use]
pub fn state_of_charge(points: &ChargePoints, cell: f64) -> Option<f64> {
    let point =
        |number: usize| (f64::from(points[number].cell.get()) / 1000.0, f64::from(points[number].charge.get()) / 100.0);
    let known = point(0).0 - 1e-12 <= cell && cell <= point(points.len() - 1).0 + 1e-12;
    let spans = (1..points.len()).map(|number| (point(number - 1), point(number)));
    spans
        .filter(|(_, next)| known && cell <= next.0 + 1e-12)
        .map(|(before, next)| before.1 + (next.1 - before.1) * (cell - before.0) / (next.0 - before.0))
        .next()
}
