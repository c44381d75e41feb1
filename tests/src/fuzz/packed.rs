//! Packed bytes: what is accepted is the one way to write what it means, and what is refused stays refused.
//!
//! The checksum would keep nearly every change from being read, so the input is a body, and the envelope around it is
//! right. An input that begins as packed bytes do is taken as it is.

use std::{collections::BTreeSet, slice};

use pinfold_core::{
    geometry::position::Position,
    model::{
        store::{Limits, LimitsStore},
        zone::ZoneKind,
    },
    wire::{Fault, Kind, Reason, envelope::MAGIC, limits::LimitsReader, route::RouteReader, verdict::unpack_verdict},
};

use crate::{
    oracle::exact::{Local, Side, edges, side, touch},
    packed::{envelope, packed_limits, packed_route, packed_verdict, read_limits, read_route},
};

/// Most vertices of a polygon that is looked at in rationals: every pair of its edges is.
const SLOW: usize = 40;

fn enveloped(kind: Kind, input: &[u8]) -> Vec<u8> {
    if input.starts_with(&MAGIC) { input.to_vec() } else { envelope(kind, input) }
}

fn lies_within(fault: Fault, bytes: &[u8]) {
    assert!(fault.offset as usize <= bytes.len(), "a fault beyond the bytes: {fault:?}");
}

/// A packed route.
///
/// # Panics
/// It isn't read as it is packed, or read on after a refusal.
pub fn route(input: &[u8]) {
    let bytes = enveloped(Kind::Route, input);
    match read_route(&bytes) {
        Ok(route) => {
            let (again, fingerprint) = packed_route(&route.launch, &route.steps);
            assert!(again == bytes, "accepted bytes are not the one way to write the route");
            assert_eq!(fingerprint, route.fingerprint);
        }
        Err(fault) => {
            lies_within(fault, &bytes);
            let mut reader = RouteReader::default();
            stays_refused(&bytes, fault, |byte| reader.take(byte).err());
        }
    }
}

/// Packed limits.
///
/// # Panics
/// They aren't read as they are packed, are read on after a refusal, or are unsound.
pub fn limits(input: &[u8]) {
    let bytes = enveloped(Kind::Limits, input);
    match read_limits(&bytes) {
        Ok((store, fingerprint)) => {
            let limits = store.limits().expect("accepted limits are sealed");
            assert!(packed_limits(limits) == (bytes, fingerprint), "accepted bytes are not the one way to write them");
            are_sound(limits);
        }
        Err(fault) => {
            lies_within(fault, &bytes);
            let (mut reader, mut store) = (LimitsReader::default(), LimitsStore::new());
            stays_refused(&bytes, fault, |byte| reader.take(byte, &mut store).err());
        }
    }
}

/// A packed verdict.
///
/// # Panics
/// It isn't read as it is packed.
pub fn verdict(input: &[u8]) {
    let bytes = enveloped(Kind::Verdict, input);
    match unpack_verdict(&bytes) {
        Ok(verdict) => assert!(packed_verdict(&verdict) == bytes, "accepted bytes are not the one way to write it"),
        Err(fault) => lies_within(fault, &bytes),
    }
}

/// A reader that has refused a byte refuses all that follow, for the same reason. One that only misses bytes has
/// refused none.
fn stays_refused(bytes: &[u8], fault: Fault, mut take: impl FnMut(u8) -> Option<Fault>) {
    if fault.reason == Reason::Short {
        assert!(bytes.iter().all(|byte| take(*byte).is_none()), "{fault:?}");
        return;
    }
    let refused: Vec<_> = bytes.iter().chain(&[0, 1, 0xFF]).filter_map(|byte| take(*byte)).collect();
    let after = bytes.len() - fault.offset as usize + 3;
    assert!(refused.len() == after && refused.iter().all(|one| *one == fault), "{fault:?}, then {refused:?}");
}

/// What the board relies on: one keep-in zone, and polygons that are simple, with holes inside them. In rationals.
fn are_sound(limits: Limits<'_>) {
    let keep_ins = limits.zones().filter(|(_, zone)| zone.kind == ZoneKind::KeepIn).count();
    assert_eq!(keep_ins, 1, "keep-in zones");
    for (number, _) in limits.zones() {
        let rings: Vec<_> = limits.rings(number).collect();
        if rings.iter().map(|ring| ring.len()).sum::<usize>() <= SLOW {
            let local = |ring: &&[Position]| ring.iter().map(|vertex| seen(rings[0][0], *vertex)).collect();
            is_simple(&rings.iter().map(local).collect::<Vec<_>>());
        }
    }
}

/// A vertex as (east, north) of another.
fn seen(origin: Position, vertex: Position) -> Local {
    let east = i64::from(vertex.longitude.get()) - i64::from(origin.longitude.get());
    let east = (east + 1_800_000_000).rem_euclid(3_600_000_000) - 1_800_000_000;
    (east, i64::from(vertex.latitude.get()) - i64::from(origin.latitude.get()))
}

fn is_simple(rings: &[Vec<Local>]) {
    let all: Vec<_> = edges(rings).collect();
    for (number, one) in all.iter().enumerate() {
        for other in &all[number + 1..] {
            let joined = one.1 == other.0 || other.1 == one.0;
            assert!(joined || !touch(*one, *other), "{one:?} touches {other:?}");
        }
    }
    let corners: Vec<_> = rings.iter().flatten().collect();
    let distinct: BTreeSet<_> = corners.iter().collect();
    assert_eq!(corners.len(), distinct.len(), "a corner comes twice");
    let [outer, holes @ ..] = rings else { return };
    for (number, hole) in holes.iter().enumerate() {
        assert_eq!(side(hole[0], slice::from_ref(outer)), Side::Inside, "hole {number}");
        let others = holes.iter().enumerate().filter(|(other, _)| *other != number);
        for (other, ring) in others {
            assert_eq!(side(hole[0], slice::from_ref(ring)), Side::Outside, "hole {number} is in hole {other}");
        }
    }
}
