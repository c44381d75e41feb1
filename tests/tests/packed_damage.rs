//! Damaged packed bytes are refused: every truncation, everything that follows the end, every one or two flipped bits.

use pinfold_core::{
    model::{
        ground::GroundCell,
        limits::Figures,
        route::{Launch, Step},
        store::LimitsStore,
        zone::ZoneKind,
    },
    wire::{Fault, Kind, Reason, verdict::unpack_verdict},
};
use pinfold_tests::{
    packed::{
        envelope,
        golden::{VERDICT, bytes, cases, fields, index_of},
        packed_limits, packed_route, read_limits_into, read_route,
    },
    sample::{self, Site, band, charge_points, climb, duration, fly, ground_plan, position, wind_from},
};

#[test]
fn a_truncation_is_refused_where_it_ends() {
    for case in cases() {
        let (whole, read) = (case.bytes(), case.read);
        assert_eq!(read(&whole), Ok(()));
        for length in 0..whole.len() {
            let fault = Fault { offset: length as u32, reason: Reason::Short };
            assert_eq!(read(&whole[..length]), Err(fault), "{length} of {} bytes", whole.len());
        }
    }
}

#[test]
fn a_trailing_byte_is_refused() {
    for case in cases() {
        let (whole, read) = (case.bytes(), case.read);
        for byte in 0..=u8::MAX {
            let longer = [&whole[..], &[byte]].concat();
            assert_eq!(read(&longer), Err(Fault { offset: whole.len() as u32, reason: Reason::Trailing }));
        }
        let twice = whole.repeat(2);
        assert_eq!(read(&twice), Err(Fault { offset: whole.len() as u32, reason: Reason::Trailing }));
    }
}

/// A route of a dozen steps in few bytes, since every pair of its bits is flipped.
fn short_route() -> Vec<u8> {
    let launch = Launch { name: "r".try_into().expect("short"), position: position(0, 0), elevation: None };
    let hold = Step::Hold { time: duration(50) };
    let corners = [(0, 50), (60, 50), (60, 0), (-60, 0), (-60, 50), (0, 50), (0, 0)];
    let flies = corners.map(|corner| fly(corner, 1500, 300));
    let steps = [&[climb(1500), hold][..], &flies, &[hold, climb(1600), Step::Return]].concat();
    assert_eq!(steps.len(), 12);
    packed_route(&launch, &steps).0
}

/// Limits with wind, charge by voltage, a hole, a circle, heights, people and ground data in few bytes.
fn short_limits() -> Vec<u8> {
    let mut figures = Figures { name: "q".try_into().expect("short"), ..sample::figures() };
    (figures.wind, figures.battery.rest) = (wind_from(50, (60, 30)), Some(duration(60)));
    figures.charge = Some(charge_points(&[(100, 0), (120, 100)]));
    let square = |side: i32| vec![(-side, -side), (-side, side), (side, side), (side, -side)];
    let triangle = vec![(70, 70), (70, 90), (90, 70)];
    let plan = ground_plan((0, 0), (2, 1), (60, 60), (0, 1));
    let cells = [GroundCell::new(5, 9).expect("in order"), GroundCell::UNKNOWN];
    let store = Site::new(figures)
        .polygon("a", ZoneKind::KeepIn, None, &[square(60), square(9)])
        .and_then(|site| site.circle("b", None, (40, 40), 50))
        .and_then(|site| site.polygon("c", ZoneKind::KeepOut, Some(band(Some(60), None)), &[triangle]))
        .and_then(|site| site.circle_of("d", ZoneKind::People, None, (0, 0), 9))
        .map(|site| site.ground(plan, &cells))
        .and_then(Site::seal)
        .expect("sound limits");
    packed_limits(store.limits().expect("sealed")).0
}

/// The golden verdict with its last finding alone.
fn short_verdict() -> Vec<u8> {
    let mut fields = fields(VERDICT);
    let number = index_of(&fields, "13 findings");
    let last = index_of(&fields, "rule: return-path, zone 3");
    fields[number].bytes = vec![1];
    let kept = fields[..=number].iter().chain(&fields[last..]);
    let body: Vec<_> = kept.filter(|field| !field.is_envelope()).cloned().collect();
    envelope(Kind::Verdict, &bytes(&body))
}

fn flip(bytes: &mut [u8], bit: usize) {
    bytes[bit / 8] ^= 1 << (bit % 8);
}

/// Flips each bit and each pair of bits, and says which flips are not refused. A bit alone is a pair with itself.
fn missed(whole: &[u8], mut read: impl FnMut(&[u8]) -> bool) -> Vec<(usize, usize)> {
    let mut damaged = whole.to_vec();
    let mut missed = Vec::new();
    let bits = 8 * whole.len();
    assert!(read(whole));
    for one in 0..bits {
        flip(&mut damaged, one);
        if read(&damaged) {
            missed.push((one, one));
        }
        for other in one + 1..bits {
            flip(&mut damaged, other);
            if read(&damaged) {
                missed.push((one, other));
            }
            flip(&mut damaged, other);
        }
        flip(&mut damaged, one);
    }
    assert_eq!(damaged, whole);
    missed
}

#[test]
fn one_or_two_flipped_bits_of_a_route_are_refused() {
    assert_eq!(missed(&short_route(), |bytes| read_route(bytes).is_ok()), []);
}

#[test]
fn one_or_two_flipped_bits_of_limits_are_refused() {
    let mut store = Box::new(LimitsStore::new());
    let read = |bytes: &[u8]| {
        store.clear();
        read_limits_into(&mut store, bytes).is_ok()
    };
    let whole = short_limits();
    assert_eq!(missed(&whole, read), []);
}

#[test]
fn one_or_two_flipped_bits_of_a_verdict_are_refused() {
    assert_eq!(missed(&short_verdict(), |bytes| unpack_verdict(bytes).is_ok()), []);
}
