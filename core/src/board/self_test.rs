//! What a board asks itself before it gives any permit: does it still compute what it computed when it was made?
//!
//! Three packed files stand in the image: limits, a route that must be Go by them, and one that must be No-go. That
//! they are read and judged so says that code, constants, memory and arithmetic are what they were; the check value of
//! the CRC says that damage would be noticed.

use super::{Board, Event, Hardware, Look, transfer::Incoming};
use crate::{
    interlock::Interlock,
    link::Refusal,
    verdict::Outcome,
    wire::{envelope::checksum, limits::LimitsReader, route::RouteReader},
};

/// Packed limits, our own invention.
pub const LIMITS: &[u8] = include_bytes!("self_test/limits.packed");
/// A packed route that is Go by them.
pub const GO: &[u8] = include_bytes!("self_test/go.packed");
/// A packed route that is No-go by them.
pub const NO_GO: &[u8] = include_bytes!("self_test/no-go.packed");

/// What failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Failure {
    /// The CRC of "123456789" isn't what is published for it.
    Checksum,
    /// The limits in the image aren't read as what they are.
    Limits,
    /// The route that must be Go isn't.
    Go,
    /// The route that must be No-go isn't.
    NoGo,
    /// The flash can't be read, or its sizes don't fit.
    Flash,
}

impl Board {
    /// Tests itself in its own memory, which holds nothing afterwards.
    ///
    /// # Errors
    /// What failed.
    #[inline(never)]
    pub(super) fn test_itself<H: Hardware>(&mut self, hardware: &mut H) -> Result<(), Failure> {
        // Published check value of CRC-32/ISCSI: RFC 3720, catalogues of CRC algorithms.
        let checksum = checksum(b"123456789") == 0xE306_9283;
        let limits = self.hold_limits_of_the_image();
        let mut is = |route: &[u8], outcome| self.judge_route_of_the_image(route, hardware) == Some(outcome);
        let tests = [
            (checksum, Failure::Checksum),
            (limits, Failure::Limits),
            (is(GO, Outcome::Go), Failure::Go),
            (is(NO_GO, Outcome::NoGo), Failure::NoGo),
        ];
        self.forget_the_test();
        tests.into_iter().find(|(passed, _)| !passed).map_or(Ok(()), |(_, failure)| Err(failure))
    }

    fn hold_limits_of_the_image(&mut self) -> bool {
        let mut reader = LimitsReader::default();
        for byte in LIMITS {
            match reader.take(*byte, &mut self.limits) {
                Ok(fingerprint) => self.limits_fingerprint = fingerprint,
                Err(_) => return false,
            }
        }
        self.limits_fingerprint.is_some()
    }

    /// These limits ask for readings, of which there are none at the start: a Go gets no permit.
    fn judge_route_of_the_image<H: Hardware>(&mut self, route: &[u8], hardware: &mut H) -> Option<Outcome> {
        self.incoming = Incoming::Route(RouteReader::default(), None);
        route.iter().fold(None, |outcome, byte| match self.byte(*byte, hardware) {
            Some(Event::Judged(outcome, _)) => Some(outcome),
            _ => outcome,
        })
    }

    fn forget_the_test(&mut self) {
        self.interlock = Interlock::new();
        self.look = Look::NONE;
        self.incoming = Incoming::Nothing(Refusal::NothingBegun);
        self.verdict.clear();
        self.drop_limits();
    }
}
