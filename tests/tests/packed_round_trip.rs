//! One meaning, one byte string: what is packed is read back as it was, and packs to the same bytes again.

use pinfold_core::{
    fingerprint::Fingerprint,
    model::{
        limits::POWER_POINTS,
        route::{STEPS, Step},
        store::LimitsStore,
        zone::{VERTICES, ZONES, ZoneKind},
    },
    units::{Airspeed, Duration, Height, Latitude, Longitude, Speed},
    wire::{Kind, verdict::unpack_verdict},
};
use pinfold_tests::{
    packed::{
        envelope, packed_limits, packed_route, packed_verdict,
        random::{self, cases, figures, launch, steps, verdict_body},
        read_limits, read_route,
    },
    sample::{self, Site, climb, fly, position},
};
use proptest::prelude::*;

/// Figures, zones and rings, to compare.
fn outline(store: &LimitsStore) -> String {
    let limits = store.limits().expect("sealed");
    let zones: Vec<_> = limits.zones().map(|(index, zone)| (zone, limits.rings(index).collect::<Vec<_>>())).collect();
    format!("{:?} {zones:?}", limits.figures())
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn a_route_is_read_as_it_was_packed(launch in launch(), steps in steps()) {
        let (bytes, fingerprint) = packed_route(&launch, &steps);
        let read = read_route(&bytes).expect("a packed route is a route");
        prop_assert_eq!((&read.launch, &read.steps, read.fingerprint), (&launch, &steps, fingerprint));
        prop_assert_eq!(Fingerprint::of(&bytes), fingerprint);
        prop_assert_eq!(packed_route(&read.launch, &read.steps).0, bytes);
    }

    #[test]
    fn limits_are_read_as_they_were_packed(store in random::limits()) {
        let (bytes, fingerprint) = packed_limits(store.limits().expect("sealed"));
        let (read, read_fingerprint) = read_limits(&bytes).expect("packed limits are limits");
        prop_assert_eq!(outline(&read), outline(&store));
        prop_assert_eq!((read_fingerprint, Fingerprint::of(&bytes)), (fingerprint, fingerprint));
        prop_assert_eq!(packed_limits(read.limits().expect("sealed")).0, bytes);
    }

    #[test]
    fn a_verdict_is_packed_as_it_was_read(body in verdict_body()) {
        let bytes = envelope(Kind::Verdict, &body);
        let verdict = unpack_verdict(&bytes).expect("a body as the format has it");
        prop_assert_eq!(packed_verdict(&verdict), bytes);
    }

    #[test]
    fn figures_that_differ_have_other_bytes(one in figures(), other in figures()) {
        let bytes = |figures| {
            let site = Site::new(figures).polygon("a", ZoneKind::KeepIn, None, &[vec![(0, 0), (0, 9), (9, 0)]]);
            packed_limits(site.and_then(Site::seal).expect("sound").limits().expect("sealed")).0
        };
        let same = one == other;
        prop_assert_eq!(bytes(one) == bytes(other), same);
    }
}

/// `count` vertices of a ring about a centre: up one side of a parabola's staircase, all turning left.
fn convex(center: i32, count: i32) -> Vec<(i32, i32)> {
    (0..count).map(|index| (center + 100 * index, center + 100 * index * index)).collect()
}

#[test]
fn the_largest_limits_are_not_refused() {
    let mut figures = sample::figures();
    figures.name = "\u{1F6E1}".repeat(8).as_str().try_into().expect("32 bytes");
    let point = figures.power.points[0];
    figures.power.points = (0..POWER_POINTS).map(|_| point).collect();
    for (number, point) in (0..).zip(&mut figures.power.points) {
        point.airspeed = Airspeed::new(number * 1428).expect("in range");
    }
    let count = i32::try_from(VERTICES / ZONES).expect("a small number");
    let kind = |zone| if zone == 0 { ZoneKind::KeepIn } else { ZoneKind::KeepOut };
    let add = |site: Site, zone: i32| {
        let name = format!("a zone with the name number {zone:04}");
        site.polygon(&name, kind(zone), None, &[convex(1_000_000 * zone, count)])
    };
    let site = (0..16).try_fold(Site::new(figures), add).expect("room for sixteen zones and 256 vertices");
    let store = site.seal().expect("sound");
    assert_eq!(store.limits().expect("sealed").zones().count(), ZONES);
    assert_eq!((0..16).flat_map(|zone| store.limits().expect("sealed").rings(zone)).flatten().count(), VERTICES);
    let (bytes, _) = packed_limits(store.limits().expect("sealed"));
    let (read, _) = read_limits(&bytes).expect("the largest limits are limits");
    assert_eq!(outline(&read), outline(&store));
}

#[test]
fn the_longest_route_is_not_cut() {
    let there = |index: usize| fly((i32::try_from(index % 7).expect("small") * 900, 0), 1500, 300);
    let steps: Vec<_> = (0..STEPS).map(|index| if index == 0 { climb(1500) } else { there(index) }).collect();
    let launch = sample::launch(0, 0);
    let (bytes, fingerprint) = packed_route(&launch, &steps);
    let read = read_route(&bytes).expect("65,535 steps are a route");
    assert_eq!(read.fingerprint, fingerprint);
    assert!(read.steps == steps, "65,535 steps, read as they were packed");
}

#[test]
fn the_widest_differences_are_not_cut() {
    let (low, high) = ((Latitude::MIN, Longitude::MIN), (Latitude::MAX, Longitude::MAX));
    let steps = [
        climb(Height::MAX),
        fly(high, Height::MIN, Speed::MIN),
        fly(low, Height::MAX, Speed::MAX),
        fly(high, Height::MIN, Speed::MIN),
        Step::Hold { time: Duration::new(Duration::MAX).expect("in range") },
    ];
    let launch = sample::launch(low.0, low.1);
    let read = read_route(&packed_route(&launch, &steps).0).expect("a route");
    assert_eq!((read.launch, &read.steps[..]), (launch, &steps[..]));
}

#[test]
fn both_names_of_the_antimeridian_are_kept() {
    for launch in [1_800_000_000, -1_800_000_000] {
        let launch = sample::launch(100_000_000, launch);
        let names = [1_800_000_000, -1_800_000_000, -1_800_000_000, 1_800_000_000];
        let steps: Vec<_> = names.iter().map(|longitude| fly((100_000_000, *longitude), 1500, 300)).collect();
        let read = read_route(&packed_route(&launch, &steps).0).expect("a route");
        assert_eq!((&read.launch, &read.steps), (&launch, &steps));
        assert_eq!(read.launch.position, position(100_000_000, launch.position.longitude.get()));
    }
}
