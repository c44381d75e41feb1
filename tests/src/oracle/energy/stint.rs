//! What one piece of path takes.

use pinfold_core::model::limits::Figures;

use super::{
    table::{Table, watt_hours},
    way::{Track, Way},
    wind::{Winds, airspeeds},
};
use crate::oracle::{
    course::Home,
    flight::{Doing, Piece, hundredths},
};

/// What says which power a moment takes.
#[derive(Clone, Debug)]
pub struct Air {
    /// The power table.
    pub table: Table,
    /// The winds allowed for.
    pub winds: Winds,
}

impl Air {
    /// The most watts without a way over ground.
    #[must_use]
    pub fn still(&self, rising: bool) -> f64 {
        self.table.most((0.0, self.winds.up_to)) + self.table.extra(rising)
    }

    /// The most watts along a track at ground speeds from one to another, the wind from a direction. Degrees.
    #[must_use]
    pub fn watts(&self, speeds: (f64, f64), track: f64, from: f64, rising: bool) -> f64 {
        let cosine = (track - from).to_radians().cos();
        self.table.most(airspeeds(speeds, cosine, self.winds.up_to)) + self.table.extra(rising)
    }

    /// Watt-hours along a way that takes so many seconds at least.
    #[must_use]
    pub fn along(&self, track: &Track, speed: f64, least: f64, rising: bool, from: f64) -> f64 {
        let flown = track.meters / speed;
        let speeds = if least > flown { (track.meters / least, speed) } else { (speed, speed) };
        let watts: f64 = track.chords.iter().map(|(share, at)| share * self.watts(speeds, *at, from, rising)).sum();
        watt_hours(watts, flown.max(least))
    }
}

/// A piece of path and what it takes.
#[derive(Clone, Debug)]
pub struct Stint {
    /// The piece.
    pub piece: Piece,
    /// How long it takes, on its longest reading.
    pub seconds: f64,
    /// Its way over ground, where it has one.
    pub way: Option<Way>,
    /// Seconds that its height change takes.
    vertical: f64,
    rising: bool,
}

impl Stint {
    /// A piece of a flight.
    #[must_use]
    pub fn new(figures: &Figures, home: Home, piece: Piece) -> Self {
        let change = piece.heights.1 - piece.heights.0;
        let down = if piece.doing == Doing::Descent { figures.homeward.landing } else { figures.aircraft.descent };
        let rate = if change > 0.0 { figures.aircraft.climb } else { down };
        let vertical = change.abs() / hundredths(rate.get());
        let ground = |place| home.ground(place);
        let way = (piece.from != piece.to).then(|| Way::new(ground((0, 0)), ground(piece.from), ground(piece.to)));
        let flown = way.as_ref().map_or(0.0, |way| way.meters() / piece.speed);
        Self { piece, seconds: flown.max(vertical) + piece.seconds, way, vertical, rising: change > 0.0 }
    }

    /// Watt-hours with the wind from a direction: on the reading that takes the most.
    #[must_use]
    pub fn watt_hours(&self, air: &Air, from: f64) -> f64 {
        let Some(way) = &self.way else { return watt_hours(air.still(self.rising), self.seconds) };
        let one = |track| air.along(track, self.piece.speed, self.vertical, self.rising, from);
        way.tracks.iter().map(one).fold(0.0, f64::max)
    }

    /// Watt-hours that a length may be long by: a thousandth and 5 cm.
    #[must_use]
    pub fn rounding(&self, air: &Air) -> f64 {
        let Some(way) = &self.way else { return 0.0 };
        let most = air.table.most((0.0, air.table.end())) + air.table.extra(self.rising);
        watt_hours(most, (0.001 * way.meters() + 0.05) / self.piece.speed)
    }

    /// Watt-hours that an airspeed may add that is off by 2 cm/s, in still air: much only where the power table is steep.
    #[must_use]
    pub fn steepness(&self, air: &Air) -> f64 {
        if self.way.is_none() {
            return 0.0;
        }
        let speed = self.piece.speed;
        let around = air.table.most(((speed - 0.02).max(0.0), (speed + 0.02).min(air.table.end())));
        watt_hours(around - air.table.at(speed), self.seconds)
    }
}
