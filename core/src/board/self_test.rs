//! What a board asks itself before it gives any permit: does it still compute what it computed when it was made?
//!
//! Three packed files stand in the image: limits, a route that must be Go by them, and one that must be No-go. That they are read and judged
//! so says that code, constants, memory and arithmetic are what they were; the check value of the CRC says that damage
//! would be noticed.

use crate::{
    check::Checker,
    fingerprint::Fingerprint,
    model::store::LimitsStore,
    rules::Readings,
    verdict::{Outcome, Subject},
    wire::{
        envelope::checksum,
        limits::LimitsReader,
        route::{RouteEvent, RouteReader},
    },
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

/// Tests in this memory, which is cleared.
///
/// # Errors
/// What failed.
#[inline(never)]
pub fn run(memory: &mut LimitsStore) -> Result<(), Failure> {
    // Published check value of CRC-32/ISCSI: RFC 3720, catalogues of CRC algorithms.
    if checksum(b"123456789") != 0xE306_9283 {
        return Err(Failure::Checksum);
    }
    let limits = read_limits(memory).ok_or(Failure::Limits)?;
    let tested = [(GO, Outcome::Go, Failure::Go), (NO_GO, Outcome::NoGo, Failure::NoGo)]
        .into_iter()
        .find(|(route, outcome, _)| judge(memory, limits, route) != Some(*outcome));
    memory.clear();
    tested.map_or(Ok(()), |(_, _, failure)| Err(failure))
}

fn read_limits(memory: &mut LimitsStore) -> Option<Fingerprint> {
    let mut reader = LimitsReader::default();
    LIMITS.iter().find_map(|byte| reader.take(*byte, memory).transpose())?.ok()
}

fn judge(memory: &LimitsStore, fingerprint: Fingerprint, route: &[u8]) -> Option<Outcome> {
    let limits = memory.limits()?;
    let (mut reader, mut checker) = (RouteReader::default(), None);
    for byte in route {
        match reader.take(*byte).ok()? {
            None => {}
            Some(RouteEvent::Launch(launch)) => checker = Some(Checker::new(limits, launch, Readings::NONE)),
            Some(RouteEvent::Step(step)) => checker.iter_mut().for_each(|checker| checker.step(limits, &step)),
            Some(RouteEvent::End(route)) => {
                let subject = Subject { route, limits: fingerprint };
                return Some(checker?.finish(limits, subject).outcome());
            }
        }
    }
    None
}
