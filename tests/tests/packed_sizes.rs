//! How many bytes packed values take: a radio is slow and a board's memory is fixed.

use pinfold_core::{
    model::route::{STEPS, Step},
    units::{Latitude, Longitude},
    verdict::{Cause, FINDINGS, RULE_COUNT, Rule, Unit},
    wire::{
        Kind,
        route::{TooManySteps, pack_route},
        verdict::{VERDICT_BYTES, unpack_verdict},
    },
};
use pinfold_tests::{
    packed::{envelope, packed_route, packed_verdict, signed, unsigned},
    sample::{climb, fly, launch},
};

/// Bytes that the last of `steps` adds.
fn bytes_of_last(steps: &[Step], at: (i32, i32)) -> usize {
    let length = |steps| packed_route(&launch(at.0, at.1), steps).0.len();
    length(steps) - length(&steps[..steps.len() - 1])
}

#[test]
fn a_usual_step_takes_ten_bytes_at_most() {
    let (mut sum, mut count, mut largest) = (0, 0, 0);
    // 100 m in whole degrees of direction. 1 degree is at most 111,694 m of latitude, 111,320 m of longitude times cos φ.
    for latitude in (-79..=79).step_by(2) {
        let at = (latitude * 10_000_000, 1_799_999_999);
        let shrink = f64::from(latitude).to_radians().cos();
        for direction in 0..360 {
            let (sine, cosine) = f64::from(direction).to_radians().sin_cos();
            let north = (100.0 / 110_574.0 * 1e7 * cosine) as i32;
            let east = (100.0 / 111_320.0 / shrink * 1e7 * sine) as i32;
            let near = (at.0 + north, at.1 - 1_000_000);
            let steps = [climb(1500), fly((at.0, near.1), 1500, 300), fly((near.0, near.1 + east), 1500, 300)];
            let bytes = bytes_of_last(&steps, at);
            sum += bytes;
            count += 1;
            largest = largest.max(bytes);
        }
    }
    assert_eq!(largest, 10);
    println!("a leg of 100 m: {:.2} bytes on average, {largest} at most", f64::from(sum as u32) / f64::from(count));
}

/// The longest that a finding can be, with rule and zone as they are given.
fn largest_finding(rule: usize, zone: Option<u8>) -> Vec<u8> {
    let zone = zone.map_or(vec![0], |zone| vec![1, zone]);
    let measure = [vec![1], signed(i32::MIN.into()), signed(i32::MAX.into()), unsigned(Unit::Seconds as u64)].concat();
    let place = [signed(Latitude::MIN.into()), signed(Longitude::MIN.into()), signed(i32::MIN.into())].concat();
    [
        unsigned(rule as u64),
        zone,
        unsigned(u16::MAX.into()),
        unsigned(Cause::HeightOfItsOwn as u64),
        measure,
        vec![1],
        place,
    ]
    .concat()
}

#[test]
fn the_largest_verdict_fits_its_memory() {
    let subject = vec![0xFF; 10];
    let said = |count| [vec![1], unsigned(u32::MAX.into()).repeat(count)].concat();
    let (summary, energy) = ([unsigned(u16::MAX.into()), said(1), said(1)].concat(), said(3));
    let zones = (FINDINGS - RULE_COUNT) as u8;
    let of_rules = (0..RULE_COUNT).flat_map(|rule| largest_finding(rule, None));
    let of_zones = (0..zones).flat_map(|zone| largest_finding(Rule::KeepOut as usize, Some(zone)));
    let findings: Vec<u8> = of_rules.chain(of_zones).collect();
    let bytes = envelope(Kind::Verdict, &[subject, summary, energy, vec![FINDINGS as u8], findings].concat());
    let verdict = unpack_verdict(&bytes).expect("a verdict");
    assert_eq!(verdict.findings.iter().count(), FINDINGS);
    assert_eq!(packed_verdict(&verdict), bytes);
    assert!(bytes.len() <= VERDICT_BYTES, "{} of {VERDICT_BYTES}", bytes.len());
}

#[test]
fn a_route_with_too_many_steps_is_refused_and_not_cut() {
    let steps = vec![Step::Land; STEPS + 1];
    let mut written = 0;
    let packed = pack_route(&launch(0, 0), steps.iter(), &mut |piece| written += piece.len());
    assert_eq!((packed, written), (Err(TooManySteps), 0));
    assert!(pack_route(&launch(0, 0), steps[1..].iter(), &mut |_| {}).is_ok());
}
