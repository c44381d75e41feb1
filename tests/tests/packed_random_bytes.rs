//! Decoding is total: whatever the bytes, there is a value or a refusal, and what is accepted packs to the same bytes again.

use pinfold_core::{
    model::store::LimitsStore,
    wire::{Kind, limits::LimitsReader, route::RouteReader, verdict::unpack_verdict},
};
use pinfold_tests::packed::{
    envelope,
    golden::{Case, cases},
    packed_limits, packed_route, packed_verdict,
    random::cases as so_many,
    read_limits, read_route, with_new_checksum,
};
use proptest::{collection::vec, prelude::*, sample::Index};

/// What the bytes give when they are read and packed again; `None` where they are refused.
fn again(kind: Kind, bytes: &[u8]) -> Option<Vec<u8>> {
    match kind {
        Kind::Route => read_route(bytes).ok().map(|route| packed_route(&route.launch, &route.steps).0),
        Kind::Limits => read_limits(bytes).ok().map(|(store, _)| packed_limits(store.limits().expect("sealed")).0),
        Kind::Verdict => unpack_verdict(bytes).ok().map(|verdict| packed_verdict(&verdict)),
    }
}

fn kind() -> impl Strategy<Value = Kind> {
    prop_oneof![Just(Kind::Route), Just(Kind::Limits), Just(Kind::Verdict)]
}

fn case() -> impl Strategy<Value = Case> {
    (0_usize..3).prop_map(|index| cases()[index].clone())
}

/// Reads bytes and goes on after a refusal, which must stand: not even the right end makes up for a wrong byte.
fn read_on(bytes: &[u8]) {
    let (mut route, mut limits) = (RouteReader::default(), LimitsReader::default());
    let mut store = LimitsStore::new();
    let (mut route_fault, mut limits_fault) = (None, None);
    for byte in bytes {
        for (fault, now) in
            [(&mut route_fault, route.take(*byte).err()), (&mut limits_fault, limits.take(*byte, &mut store).err())]
        {
            assert!(fault.is_none() || *fault == now, "{fault:?}, then {now:?}");
            *fault = now;
        }
    }
    assert!(route_fault.is_none() || route.end().err() == route_fault, "{route_fault:?} is forgotten");
    assert!(limits_fault.is_none() || limits.end().err() == limits_fault, "{limits_fault:?} is forgotten");
}

proptest! {
    #![proptest_config(so_many(1000))]

    #[test]
    fn random_bytes_are_refused(bytes in vec(any::<u8>(), 0..200)) {
        for kind in [Kind::Route, Kind::Limits, Kind::Verdict] {
            prop_assert_eq!(again(kind, &bytes), None);
        }
        read_on(&bytes);
    }

    #[test]
    fn a_random_body_is_refused_or_read_as_it_is_packed(kind in kind(), body in vec(any::<u8>(), 0..200)) {
        let bytes = envelope(kind, &body);
        if let Some(packed) = again(kind, &bytes) {
            prop_assert_eq!(packed, bytes.clone());
        }
        read_on(&bytes);
    }

    #[test]
    fn a_body_of_small_numbers_is_refused_or_read_as_it_is_packed(kind in kind(), body in vec(0_u8..6, 0..60)) {
        let bytes = envelope(kind, &body);
        if let Some(packed) = again(kind, &bytes) {
            prop_assert_eq!(packed, bytes);
        }
    }

    #[test]
    fn a_changed_body_is_refused_or_read_as_it_is_packed(
        case in case(), changes in vec((any::<Index>(), any::<u8>()), 1..4),
    ) {
        let mut bytes = case.bytes();
        let body = 10..bytes.len() - 4;
        for (index, byte) in changes {
            bytes[body.start + index.index(body.len())] = byte;
        }
        let bytes = with_new_checksum(&bytes);
        read_on(&bytes);
        if let Some(packed) = again(case.kind, &bytes) {
            prop_assert_eq!(packed, bytes);
        }
    }
}

#[test]
fn changes_of_the_body_reach_both_acceptance_and_refusal() {
    for case in cases() {
        let whole = case.bytes();
        let outcomes = (10..whole.len() - 4).map(|offset| {
            let mut bytes = whole.clone();
            bytes[offset] ^= 2;
            again(case.kind, &with_new_checksum(&bytes)).is_some()
        });
        let (accepted, refused): (Vec<_>, Vec<_>) = outcomes.partition(|accepted| *accepted);
        assert!(accepted.len() > 10 && refused.len() > 10, "{} and {}", accepted.len(), refused.len());
    }
}

#[test]
fn limits_from_before_are_not_taken_for_those_of_an_empty_body() {
    let [_, limits, _] = cases();
    let (mut store, _) = read_limits(&limits.bytes()).expect("sound limits");
    let mut reader = LimitsReader::default();
    let taken: Result<Vec<_>, _> =
        envelope(Kind::Limits, &[]).iter().map(|byte| reader.take(*byte, &mut store)).collect();
    assert!(taken.is_err(), "{taken:?}");
}
