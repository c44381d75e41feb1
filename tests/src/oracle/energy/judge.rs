//! A case, and what there is to be known of it.

use pinfold_core::{
    model::{
        limits::Figures,
        route::{Launch, Step},
    },
    rules::Readings,
};

use super::{
    airspeed::Largest,
    back::{Back, Effort},
    flight::Flight,
    pack::{Pack, pack},
    sweep::Worst,
};

/// All that a verdict about energy depends on.
#[derive(Clone, Copy, Debug)]
pub struct Case<'a> {
    /// The limits' figures.
    pub figures: &'a Figures,
    /// Where the route begins.
    pub launch: &'a Launch,
    /// What is known at the field.
    pub readings: &'a Readings,
    /// Steps that are in order.
    pub steps: &'a [Step],
}

/// What is true of a case.
#[derive(Clone, Debug)]
pub struct Truth {
    /// The flight.
    pub flight: Flight,
    /// The most that it takes.
    pub worst: Worst,
    /// The turn-back that takes the most.
    pub back: Option<Back>,
    /// The largest airspeeds.
    pub largest: Largest,
    /// What may be used.
    pub pack: Pack,
}

impl Truth {
    /// Of a case; `None` where a step asks for no speed at all.
    #[must_use]
    pub fn of(case: &Case<'_>, effort: Effort) -> Option<Self> {
        let still = |step: &Step| matches!(step, Step::Fly { speed, .. } if speed.get() <= 0);
        if case.steps.iter().any(still) {
            return None;
        }
        let flight = Flight::new(case.figures, case.launch, case.readings, case.steps);
        Some(Self::of_flight(flight, pack(case.figures, case.readings), effort))
    }

    /// Of a flight with a pack.
    #[must_use]
    pub fn of_flight(flight: Flight, pack: Pack, effort: Effort) -> Self {
        let (worst, back, largest) = (flight.worst(), flight.worst_back(effort), flight.largest());
        Self { flight, worst, back, largest, pack }
    }

    /// Watt-hours that the turn-back takes that takes the most.
    #[must_use]
    pub fn back_needed(&self) -> Option<f64> {
        self.back.map(|back| back.worst.needed)
    }

    /// The larger of what the flight and what a turn-back takes.
    #[must_use]
    pub fn needed(&self) -> f64 {
        self.back_needed().unwrap_or(0.0).max(self.worst.needed)
    }

    /// The same, the worst turn-back looked for closely.
    #[must_use]
    pub fn closer(&self) -> Self {
        Self { back: self.flight.worst_back(Effort::FINE), ..self.clone() }
    }

    /// The longest that a reported need may be, where there is so much: a tenth above, a tenth of a watt-hour, and lengths.
    #[must_use]
    pub fn fair(&self, needed: f64, back: bool) -> f64 {
        let home = self.back.filter(|_| back).map(|one| self.flight.point(one.stint, one.along));
        let rounding = self.flight.rounding() + home.map_or(0.0, |point| self.flight.home_rounding(&point));
        1.1 * needed + 0.1 + rounding
    }
}
