//! What a flight in still air takes, in watt-hours.

use pinfold_core::model::limits::{Battery, Figures, PowerTable};

use super::{
    course::{Course, Home, Reading},
    flight::{Doing, Piece, hundredths},
};

/// What a flight takes.
#[derive(Clone, Copy, Debug, Default)]
pub struct Cost {
    /// Watt-hours, on the longest reading of every leg.
    pub needed: f64,
    /// Watt-hours that lengths rounded up to a centimetre may add, and a leg without length at the power of its speed.
    pub rounding: f64,
    /// Watt-hours that airspeeds rounded by 2 cm/s may add: much only where a power table is steep.
    pub steepness: f64,
    /// Seconds.
    pub seconds: f64,
    /// Metres over ground.
    pub meters: f64,
}

/// What a pack gives, in watt-hours: what it holds, and what of that may be used.
#[must_use]
pub fn charge(battery: &Battery) -> (f64, f64) {
    let part = |percent: i32| f64::from(percent) / 100.0;
    let full = f64::from(battery.capacity.get()) / 1000.0 * hundredths(battery.nominal.get());
    let held = full * part(battery.health.get());
    (held, held * (1.0 - part(battery.reserve.get())))
}

/// Watts in level flight at an airspeed in m/s, or `None` beyond the table's end.
#[must_use]
pub fn level_power(table: &PowerTable, airspeed: f64) -> Option<f64> {
    let point = |number: usize| {
        (f64::from(table.points[number].airspeed.get()) / 100.0, f64::from(table.points[number].power.get()))
    };
    (1..table.points.len())
        .map(|number| (point(number - 1), point(number)))
        .find(|(_, next)| airspeed <= next.0)
        .map(|(before, next)| before.1 + (next.1 - before.1) * (airspeed - before.0) / (next.0 - before.0))
}

/// What a flight takes, or `None` if a leg is faster than the power table reaches.
#[must_use]
pub fn cost(figures: &Figures, home: Home, pieces: &[Piece]) -> Option<Cost> {
    pieces.iter().try_fold(Cost::default(), |sum, piece| {
        let one = of_piece(figures, home, piece)?;
        Some(Cost {
            needed: sum.needed + one.needed,
            rounding: sum.rounding + one.rounding,
            steepness: sum.steepness + one.steepness,
            seconds: sum.seconds + one.seconds,
            meters: sum.meters + one.meters,
        })
    })
}

fn of_piece(figures: &Figures, home: Home, piece: &Piece) -> Option<Cost> {
    let change = piece.heights.1 - piece.heights.0;
    let meters = Course::new(home, piece.from, piece.to, Reading::Degrees).meters;
    let down = match piece.doing {
        Doing::Descent => figures.homeward.landing.get(),
        Doing::Climb | Doing::Fly | Doing::Hold | Doing::Rise | Doing::Home => figures.aircraft.descent.get(),
    };
    let flown = if meters > 0.0 { meters / piece.speed } else { 0.0 };
    let vertical =
        if change > 0.0 { change / hundredths(figures.aircraft.climb.get()) } else { -change / hundredths(down) };
    let seconds = flown.max(vertical) + piece.seconds;
    let airspeed = if meters > 0.0 { piece.speed } else { 0.0 };
    let hover = level_power(&figures.power, 0.0)?;
    let extra = if change > 0.0 { (f64::from(figures.power.climb.get()) - hover).max(0.0) } else { 0.0 };
    let watts = level_power(&figures.power, airspeed)? + extra;
    let rounding = if meters > 0.0 {
        0.02 / piece.speed * watts / 3600.0
    } else {
        (level_power(&figures.power, piece.speed)? - hover).max(0.0) * seconds / 3600.0
    };
    let slower = level_power(&figures.power, (airspeed - 0.02).max(0.0))?;
    let steepness = (slower + extra - watts).max(0.0) * seconds / 3600.0;
    Some(Cost { needed: watts * seconds / 3600.0, rounding, steepness, seconds, meters })
}
