//! What is known at the field, and for how long.

use crate::{
    interlock::Flight,
    link::{Aged, Report},
    model::limits::Freshness,
    rules::{Aloft, Readings},
    units::Duration,
    verdict::{Cause, Finding, Rule},
};

/// From this age on a reading is as good as none where limits don't say how old it may be. Unit: ms. Common practice,
/// no source.
const OLD: u32 = 60_000;
/// From this age on nobody knows whether the aircraft flies, whatever limits say: far below
/// [`crate::interlock::LANDED`], so that one reading alone never ends a flight. Unit: ms.
const FLIGHT_OLD: u32 = 5_000;
/// From this age on place, height and charge can't be vouched for in flight. Unit: ms. At 20 m/s it is 40 m. Common
/// practice, no source.
const PLACE_OLD: u32 = 2_000;

/// The readings, each with its age.
#[derive(Debug)]
pub(super) struct Instruments {
    said: Report,
    /// Whether it flies, by a wire that ends at the board.
    wired: Option<Aged<Flight>>,
}

impl Instruments {
    pub(super) const NONE: Self = Self { said: Report::NONE, wired: None };

    /// Takes in what is said over the link; of what isn't said the old stays.
    pub(super) fn take(&mut self, report: Report) {
        self.said = report.or(self.said);
    }

    /// Takes in what the board reads by itself.
    pub(super) fn sense(&mut self, report: Report) {
        self.wired = report.flight.or(self.wired);
        self.take(Report { flight: None, ..report });
    }

    /// Time passes, ms.
    pub(super) fn grow_older(&mut self, elapsed: u32) {
        self.wired = self.wired.map(|flight| flight.older(elapsed));
        self.said = self.said.older(elapsed);
    }

    /// Whether the aircraft flies, where that is known: by its own wire, or else by what is said.
    pub(super) fn flight(&self, asked: Option<&Freshness>) -> Option<Flight> {
        let [wired, said] = self.flights(asked);
        wired.or(said)
    }

    /// The same for the interlock: that it is on the ground nobody can tell it over the link, or who talks there could
    /// take the permit from an aircraft that flies.
    pub(super) fn flight_for_the_permit(&self, asked: Option<&Freshness>) -> Option<Flight> {
        let [wired, said] = self.flights(asked);
        wired.or(said.filter(|flight| *flight == Flight::Flying))
    }

    /// By the wire, and by what is said.
    fn flights(&self, asked: Option<&Freshness>) -> [Option<Flight>; 2] {
        let within = asked.and_then(|asked| asked.flight).map_or(FLIGHT_OLD, milliseconds).min(FLIGHT_OLD);
        [self.wired, self.said.flight].map(|flight| fresh(flight, within))
    }

    /// What `launch` and `pack` are to be asked about on the ground.
    ///
    /// # Errors
    /// What the limits ask for isn't known.
    pub(super) fn on_ground(&self, asked: &Freshness) -> Result<Readings, Finding> {
        let here = wanted(self.said.position, asked.position, Rule::Launch)?;
        let pack = wanted(self.said.pack, asked.pack, Rule::Pack)?;
        if asked.flight.is_some() && self.flight(Some(asked)).is_none() {
            return Err(missing(Rule::Form));
        }
        Ok(Readings { here, pack, aloft: None })
    }

    /// Where the aircraft is in flight, and what is left, where all of that is known.
    pub(super) fn aloft(&self) -> Option<Aloft> {
        Some(Aloft {
            position: fresh(self.said.position, PLACE_OLD)?,
            height: fresh(self.said.height, PLACE_OLD)?,
            left: fresh(self.said.left, PLACE_OLD)?,
        })
    }

    /// What is known but for the wire, with its age.
    pub(super) const fn report(&self) -> &Report {
        &self.said
    }
}

/// A reading that isn't older than the limits say; where they say nothing, one that isn't old, if there is one.
fn wanted<T: Copy>(reading: Option<Aged<T>>, within: Option<Duration>, rule: Rule) -> Result<Option<T>, Finding> {
    match within {
        None => Ok(fresh(reading, OLD)),
        Some(within) => fresh(reading, milliseconds(within)).map(Some).ok_or_else(|| missing(rule)),
    }
}

fn missing(rule: Rule) -> Finding {
    Finding::of(rule, 0, Cause::NoReading)
}

fn fresh<T: Copy>(reading: Option<Aged<T>>, within: u32) -> Option<T> {
    reading.filter(|reading| reading.age <= within).map(|reading| reading.value)
}

/// A time in ms; the longest is 86,400,000.
fn milliseconds(time: Duration) -> u32 {
    time.get().unsigned_abs().saturating_mul(10)
}
