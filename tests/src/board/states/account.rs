//! What somebody beside the board keeps account of: what was sent to it, and for how long.

use pinfold_core::{
    board::Event,
    interlock::{Flight, LANDED},
    link::{Answer, Ask, Report},
    model::limits::Freshness,
    units::Duration,
    wire::Kind,
};

use super::files::{Files, Limits, ROUTES, Route};
use crate::sample::position;

/// From this age on nobody knows whether an aircraft flies. Unit: ms.
const FLIGHT_OLD: u32 = 5_000;
/// Longest time between two looks at an aircraft that stands. Unit: ms.
const LOOK: u32 = 1_000;
/// The voltage of a pack that is full enough, 0.01 V.
const FULL: i32 = 1_600;
/// From this age on a reading that isn't asked for isn't used. Unit: ms.
const OLD: u32 = 60_000;

/// A reading and its age, ms.
pub type Reading<T> = Option<(T, u32)>;

/// The account.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Account {
    /// What was begun, and the bytes since.
    pub transfer: Option<(u8, Vec<u8>)>,
    /// The route that came whole, with nothing begun since.
    pub route: Option<Route>,
    /// Whether the aircraft flew when the first piece of what was begun last came.
    pub route_aloft: bool,
    /// Whether the aircraft flies, as it is told over the link.
    pub flight: Reading<bool>,
    /// Whether it flies, by wire.
    pub wired: Reading<bool>,
    /// Whether it stands where routes begin.
    pub here: Reading<bool>,
    /// Whether its pack is full.
    pub pack: Reading<bool>,
    /// For how long the aircraft has been said to be on the ground while the permit was latched, ms.
    pub grounded: u32,
    /// Whether something has been wrong with the board since its start.
    pub faulty: bool,
    /// What the permit that is active was rightly given for.
    pub earned: Option<(Limits, Route)>,
}

impl Account {
    /// What was answered to what was asked, what the board says happened, and whether the aircraft flew before, for all
    /// that is known.
    ///
    /// # Panics
    /// The board counts bytes that didn't fit.
    pub fn answered(
        &mut self, (ask, answer): (&Ask, &Answer), event: Option<Event>, aloft: bool,
        (files, asked): (&Files, Option<Freshness>),
    ) {
        match (ask, answer) {
            (Ask::Begin(kind), Answer::Taken(_)) => {
                self.route = None;
                self.transfer = Some((*kind as u8, Vec::new()));
            }
            (Ask::Piece { offset, bytes }, Answer::Taken(taken)) => {
                self.piece(*offset as usize, bytes, aloft, files);
                let counted = self.transfer.as_ref().map_or(0, |(_, bytes)| bytes.len());
                assert_eq!(*taken as usize, counted, "not the bytes that have come");
            }
            (Ask::Readings(report), _) => self.told(report, asked),
            _ => {}
        }
        self.happened(event);
    }

    /// Limits that hold, or are refused, come in no more.
    fn happened(&mut self, event: Option<Event>) {
        if let Some(Event::LimitsHeld(_) | Event::LimitsRefused(..)) = event {
            self.transfer = None;
        }
    }

    fn piece(&mut self, offset: usize, more: &[u8], aloft: bool, files: &Files) {
        let Some((kind, bytes)) = &mut self.transfer else { return };
        if offset == bytes.len() {
            if offset == 0 {
                self.route_aloft = aloft;
            }
            bytes.extend_from_slice(more);
            let whole = |route: &Route| *kind == Kind::Route as u8 && files.route(*route) == bytes;
            self.route = ROUTES.into_iter().find(whole);
        }
    }

    /// Whether what has come since the begin is a file, or the beginning of one.
    #[must_use]
    pub fn whole_so_far(&self, files: &Files) -> bool {
        self.transfer.as_ref().is_some_and(|(kind, bytes)| files.begins(*kind, bytes))
    }

    fn told(&mut self, report: &Report, asked: Option<Freshness>) {
        let flight = report.flight.map(|flight| (flight.value == Flight::Flying, flight.age));
        let here = report.position.map(|here| (here.value == position(0, 0), here.age));
        let pack = report.pack.map(|pack| (pack.value.voltage.get() > FULL, pack.age));
        (self.flight, self.here, self.pack) = (flight.or(self.flight), here.or(self.here), pack.or(self.pack));
        if self.flies_for_the_permit(asked) == Some(true) {
            self.grounded = 0;
        }
    }

    /// What the board reads by itself, by these limits.
    pub fn sensed(&mut self, report: &Report, asked: Option<Freshness>) {
        let wired = report.flight.map(|flight| (flight.value == Flight::Flying, flight.age));
        self.wired = wired.or(self.wired);
        self.told(&Report { flight: None, ..*report }, asked);
    }

    /// Time passes, ms, by these limits.
    pub fn pass(&mut self, elapsed: u32, event: Option<Event>, asked: Option<Freshness>) {
        for reading in [&mut self.flight, &mut self.wired, &mut self.here, &mut self.pack] {
            *reading = reading.map(|(value, age)| (value, age + elapsed));
        }
        let on_ground = self.flies_for_the_permit(asked) == Some(false) && elapsed <= LOOK;
        self.grounded = if on_ground { (self.grounded + elapsed).min(LANDED) } else { 0 };
        self.happened(event);
    }

    /// Whether the aircraft flies, by a reading that is fresh: the wire's before what is told.
    #[must_use]
    pub fn flies(&self, asked: Option<Freshness>) -> Option<bool> {
        fresh(self.wired, asked).or(fresh(self.flight, asked))
    }

    /// The same for the permit: that it is on the ground only the wire tells.
    #[must_use]
    pub fn flies_for_the_permit(&self, asked: Option<Freshness>) -> Option<bool> {
        let told = fresh(self.flight, asked).filter(|flies| *flies);
        fresh(self.wired, asked).or(told)
    }

    /// Whether all that is asked for is known and as it should be. What isn't asked for must not be known to be wrong.
    #[must_use]
    pub fn stands(&self, asked: Freshness) -> bool {
        let right = |reading: Reading<bool>, within: Option<Duration>| match within {
            Some(within) => reading.is_some_and(|(right, age)| right && age <= milliseconds(within)),
            None => reading.is_none_or(|(right, age)| right || age > OLD),
        };
        right(self.here, asked.position)
            && right(self.pack, asked.pack)
            && (asked.flight.is_none() || self.flies(Some(asked)).is_some())
    }
}

fn fresh(flight: Reading<bool>, asked: Option<Freshness>) -> Option<bool> {
    let within = asked.and_then(|asked| asked.flight).map_or(FLIGHT_OLD, milliseconds).min(FLIGHT_OLD);
    flight.filter(|(_, age)| *age <= within).map(|(flies, _)| flies)
}

fn milliseconds(time: Duration) -> u32 {
    time.get().unsigned_abs() * 10
}
