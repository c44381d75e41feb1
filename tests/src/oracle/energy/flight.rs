//! A whole flight.

use pinfold_core::{
    model::{
        limits::Figures,
        route::{Launch, Step},
    },
    rules::Readings,
};

use super::{
    stint::{Air, Stint},
    table::{Table, watt_hours},
    way::Way,
    wind::Winds,
};
use crate::oracle::{
    course::Home,
    flight::{Doing, Piece, Start, home, hundredths, pieces_from},
};

/// A flight in the winds that are allowed for.
#[derive(Clone, Debug)]
pub struct Flight {
    /// What it consists of.
    pub stints: Vec<Stint>,
    /// What power a moment takes.
    pub air: Air,
    /// Where launch is.
    pub home: Home,
    /// How it goes home.
    pub habits: Habits,
}

/// How the automatic return goes. Metres, m/s, seconds.
#[derive(Clone, Copy, Debug)]
pub struct Habits {
    /// Height that it rises to.
    pub height: f64,
    /// Speed over ground.
    pub speed: f64,
    hold: f64,
    landing: f64,
    climb: f64,
}

impl Habits {
    fn new(figures: &Figures) -> Self {
        let homeward = &figures.homeward;
        Self {
            height: hundredths(homeward.height.get()),
            speed: hundredths(homeward.speed.get()),
            hold: hundredths(homeward.hold.get()),
            landing: hundredths(homeward.landing.get()),
            climb: hundredths(figures.aircraft.climb.get()),
        }
    }

    /// Watt-hours of a return from a height but for its way over ground: the rise, the hold and the descent.
    #[must_use]
    pub fn upright(&self, air: &Air, height: f64) -> f64 {
        let top = height.max(self.height);
        watt_hours(air.still(true), (top - height) / self.climb)
            + watt_hours(air.still(false), self.hold + top / self.landing)
    }
}

impl Flight {
    /// Of steps that are in order.
    #[must_use]
    pub fn new(figures: &Figures, launch: &Launch, readings: &Readings, steps: &[Step]) -> Self {
        let start = readings.aloft.map_or(Start::GROUND, |aloft| Start::aloft(launch, aloft));
        Self::of(figures, home(launch), pieces_from(figures, launch, start, steps))
    }

    /// Of pieces.
    #[must_use]
    pub fn of(figures: &Figures, home: Home, pieces: Vec<Piece>) -> Self {
        let air = Air { table: Table::new(&figures.power), winds: Winds::new(&figures.wind) };
        let stints = pieces.into_iter().map(|piece| Stint::new(figures, home, piece)).collect();
        Self { stints, air, home, habits: Habits::new(figures) }
    }

    /// Watt-hours to touchdown, the wind from a direction in degrees.
    #[must_use]
    pub fn needed(&self, from: f64) -> f64 {
        self.stints.iter().map(|stint| stint.watt_hours(&self.air, from)).sum()
    }

    /// The stints that an automatic return may begin on, with their numbers: all but those of a return itself.
    pub fn open(&self) -> impl Iterator<Item = (usize, &Stint)> {
        let last = self.stints.iter().position(|stint| stint.piece.doing == Doing::Rise);
        self.stints.iter().enumerate().take(last.unwrap_or(usize::MAX))
    }

    /// Metres over ground, on the longest readings.
    #[must_use]
    pub fn meters(&self) -> f64 {
        self.stints.iter().filter_map(|stint| stint.way.as_ref()).map(Way::meters).sum()
    }

    /// Seconds to touchdown, on the longest readings.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.stints.iter().map(|stint| stint.seconds).sum()
    }

    /// Watt-hours that lengths rounded up may add.
    #[must_use]
    pub fn rounding(&self) -> f64 {
        self.stints.iter().map(|stint| stint.rounding(&self.air)).sum()
    }
}
