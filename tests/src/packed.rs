//! Packed bytes for tests: read with the core, and written without it.

pub mod golden;
pub mod largest;
pub mod random;

use pinfold_core::{
    fingerprint::Fingerprint,
    model::{
        route::{Launch, Step},
        store::{Limits, LimitsStore},
    },
    verdict::Verdict,
    wire::{
        Fault, Kind, VERSION,
        envelope::{MAGIC, checksum},
        limits::{LimitsReader, pack_limits},
        route::{RouteEvent, RouteReader, pack_route},
        verdict::pack_verdict,
    },
};

/// A route as a reader gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Route {
    /// Where it starts.
    pub launch: Launch,
    /// Its steps.
    pub steps: Vec<Step>,
    /// Of the bytes that it came in.
    pub fingerprint: Fingerprint,
}

/// The route in these bytes.
///
/// # Errors
/// What the reader says of them.
///
/// # Panics
/// The reader ends a route without its launch or end, which it must not.
pub fn read_route(bytes: &[u8]) -> Result<Route, Fault> {
    let mut reader = RouteReader::default();
    let (mut launch, mut steps, mut end) = (None, Vec::new(), None);
    for byte in bytes {
        match reader.take(*byte)? {
            None => {}
            Some(RouteEvent::Launch(head)) => launch = Some(head),
            Some(RouteEvent::Step(step)) => steps.push(step),
            Some(RouteEvent::End(fingerprint)) => end = Some(fingerprint),
        }
    }
    reader.end()?;
    Ok(Route {
        launch: launch.expect("a whole route has a launch"),
        steps,
        fingerprint: end.expect("a whole route has an end"),
    })
}

/// Reads limits into `store`, byte by byte.
///
/// # Errors
/// What the reader says of the bytes.
///
/// # Panics
/// The reader takes limits as whole without having said so, which it must not.
pub fn read_limits_into(store: &mut LimitsStore, bytes: &[u8]) -> Result<Fingerprint, Fault> {
    let mut reader = LimitsReader::default();
    let mut whole = None;
    for byte in bytes {
        whole = reader.take(*byte, store)?.or(whole);
    }
    reader.end()?;
    Ok(whole.expect("whole limits have a fingerprint"))
}

/// The limits in these bytes, sealed.
///
/// # Errors
/// What the reader says of them.
pub fn read_limits(bytes: &[u8]) -> Result<(Box<LimitsStore>, Fingerprint), Fault> {
    let mut store = Box::new(LimitsStore::new());
    let fingerprint = read_limits_into(&mut store, bytes)?;
    Ok((store, fingerprint))
}

/// All that sealed limits say, as text to compare.
///
/// # Panics
/// The store isn't sealed.
#[must_use]
pub fn outline(store: &LimitsStore) -> String {
    let limits = store.limits().expect("sealed");
    let zones: Vec<_> = limits.zones().map(|(index, zone)| (zone, limits.rings(index).collect::<Vec<_>>())).collect();
    format!("{:?} {zones:?} {:?}", limits.figures(), limits.ground())
}

/// A packed route, and the fingerprint that packing gave.
///
/// # Panics
/// The route has too many steps.
#[must_use]
pub fn packed_route(launch: &Launch, steps: &[Step]) -> (Vec<u8>, Fingerprint) {
    let mut bytes = Vec::new();
    let fingerprint = pack_route(launch, steps.iter(), &mut |piece| bytes.extend_from_slice(piece));
    let fingerprint = fingerprint.expect("not too many steps");
    (bytes, fingerprint)
}

/// Packed limits, and the fingerprint that packing gave.
#[must_use]
pub fn packed_limits(limits: Limits<'_>) -> (Vec<u8>, Fingerprint) {
    let mut bytes = Vec::new();
    let fingerprint = pack_limits(limits, &mut |piece| bytes.extend_from_slice(piece));
    (bytes, fingerprint)
}

/// A packed verdict.
#[must_use]
pub fn packed_verdict(verdict: &Verdict) -> Vec<u8> {
    let mut bytes = Vec::new();
    pack_verdict(verdict, &mut |piece| bytes.extend_from_slice(piece));
    bytes
}

/// An unsigned integer of more than 8 bits as LEB128.
///
/// Written from the published text: 7 bits a byte, least significant first, the top bit set on all but the last.
#[must_use]
pub fn unsigned(mut value: u64) -> Vec<u8> {
    let mut bytes = Vec::new();
    while value >= 1 << 7 {
        bytes.push((value % (1 << 7)) as u8 | 1 << 7);
        value >>= 7;
    }
    bytes.push(value as u8);
    bytes
}

/// A signed integer of more than 8 bits: 0, -1, 1, -2 ... are 0, 1, 2, 3 ... as LEB128.
#[must_use]
pub fn signed(value: i64) -> Vec<u8> {
    let doubled = value.unsigned_abs() * 2;
    unsigned(if value < 0 { doubled - 1 } else { doubled })
}

/// The same integer in one byte more than it needs: `80 00` for 0.
///
/// # Panics
/// `bytes` is empty.
#[must_use]
pub fn overlong(bytes: &[u8]) -> Vec<u8> {
    let (last, rest) = bytes.split_last().expect("an integer has a byte");
    [rest, &[last | 1 << 7, 0]].concat()
}

/// A body in an envelope of this kind, with the right length and checksum.
///
/// # Panics
/// The body is longer than a length can say.
#[must_use]
pub fn envelope(kind: Kind, body: &[u8]) -> Vec<u8> {
    let length = u32::try_from(body.len()).expect("a body of a sane length").to_le_bytes();
    with_checksum(&[&MAGIC[..], &[kind.number(), VERSION], &length, body].concat())
}

/// Bytes with the right checksum behind them.
#[must_use]
pub fn with_checksum(bytes: &[u8]) -> Vec<u8> {
    [bytes, &checksum(bytes).to_le_bytes()].concat()
}

/// Bytes with the right checksum instead of the last four.
///
/// # Panics
/// There are fewer than four.
#[must_use]
pub fn with_new_checksum(bytes: &[u8]) -> Vec<u8> {
    with_checksum(&bytes[..bytes.len() - 4])
}
