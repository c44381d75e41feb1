//! One meaning, one byte string: what is packed is read back as it was, and packs to the same bytes again.

use pinfold_core::{
    fingerprint::Fingerprint,
    model::{
        ground::{GROUND_CELLS, GroundCell, GroundPlan},
        limits::{CHARGE_POINTS, Figures, POWER_POINTS},
        route::{STEPS, Step},
        zone::{HeightBand, HeightReference, VERTICES, ZONES, ZoneKind},
    },
    units::{CellCount, CellSide, CountHeight, Duration, Height, Latitude, Length, Longitude, Speed},
    wire::{Kind, verdict::unpack_verdict},
};
use pinfold_tests::{
    packed::{
        envelope,
        largest::largest_figures,
        outline, packed_limits, packed_route, packed_verdict,
        random::{self, cases, figures, ground, launch, steps, verdict_body},
        read_limits, read_route,
    },
    sample::{self, Site, climb, fly, ground_plan, height, position},
};
use proptest::{prelude::*, sample::Index};

/// The smallest limits with these figures and ground data, packed.
fn packed_with(figures: &Figures, (plan, cells): &(GroundPlan, Vec<GroundCell>)) -> Vec<u8> {
    let site = Site::new(figures.clone()).polygon("a", ZoneKind::KeepIn, None, &[vec![(0, 0), (0, 9), (9, 0)]]);
    let store = site.map(|site| site.ground(*plan, cells)).and_then(Site::seal).expect("sound");
    packed_limits(store.limits().expect("sealed")).0
}

/// The parts of figures that are sound whatever the other parts are.
const PARTS: [fn(&mut Figures, &Figures); 16] = [
    |to, from| to.name = from.name.clone(),
    |to, from| to.margins = from.margins,
    |to, from| to.heights.ceiling_above_ground = from.heights.ceiling_above_ground,
    |to, from| to.heights.ground_clearance = from.heights.ground_clearance,
    |to, from| to.air = from.air,
    |to, from| to.wind = from.wind,
    |to, from| to.wind.from = from.wind.from,
    |to, from| to.battery = from.battery,
    |to, from| to.battery.rest = from.battery.rest,
    |to, from| to.charge = from.charge.clone(),
    |to, from| to.power = from.power.clone(),
    |to, from| to.link = from.link,
    |to, from| to.route = from.route,
    |to, from| (to.launch, to.readings) = (from.launch, from.readings),
    |to, from| to.readings.pack = from.readings.pack,
    |to, from| to.readings.flight = from.readings.flight,
];

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
    fn figures_that_differ_have_other_bytes(one in figures(), other in figures(), ground in ground(), part in 0..PARTS.len()) {
        let mut changed = one.clone();
        PARTS[part](&mut changed, &other);
        prop_assert_eq!(packed_with(&one, &ground) == packed_with(&changed, &ground), one == changed);
    }

    #[test]
    fn ground_data_that_differ_have_other_bytes(
        figures in figures(), (plan, cells) in ground(), other in ground(), at in any::<Index>(),
    ) {
        let mut changed = cells.clone();
        *at.get_mut(&mut changed) = other.1[0];
        let before = packed_with(&figures, &(plan, cells.clone()));
        prop_assert_eq!(before == packed_with(&figures, &(plan, changed.clone())), cells == changed);
        prop_assert_eq!(before == packed_with(&figures, &other), (plan, cells) == other);
    }
}

/// `count` vertices of a ring about a centre: up one side of a parabola's staircase, all turning left.
fn convex(center: i32, count: i32) -> Vec<(i32, i32)> {
    (0..count).map(|index| (center + 100 * index, center + 100 * index * index)).collect()
}

/// Ground data of which every number takes as many bytes as it can: the lowest counts go up and down by 49,151.
fn largest_ground() -> (GroundPlan, Vec<GroundCell>) {
    let corner = (Latitude::MIN, Longitude::MIN);
    let side = (CellSide::MAX, CellSide::MAX);
    let plan = ground_plan(corner, (CellCount::MAX, CellCount::MAX), side, (Height::MAX, CountHeight::MAX));
    let cell = |index| if index % 2 == 0 { GroundCell::new(49_151, 65_535) } else { GroundCell::new(0, 65_535) };
    (plan, (0..GROUND_CELLS).map(|index| cell(index).expect("in order")).collect())
}

#[test]
fn the_largest_limits_are_not_refused() {
    let figures = largest_figures();
    let charge_points = figures.charge.as_ref().map(|points| points.len());
    assert_eq!((figures.power.points.len(), charge_points), (POWER_POINTS, Some(CHARGE_POINTS)));
    let count = i32::try_from(VERTICES / (ZONES - 1)).expect("a small number");
    let kind = |zone| if zone == 0 { ZoneKind::KeepIn } else { ZoneKind::KeepOut };
    let name = |zone: i32| format!("a zone with the name number {zone:04}");
    let add = |site: Site, zone: i32| site.polygon(&name(zone), kind(zone), None, &[convex(1_000_000 * zone, count)]);
    let heights = HeightBand {
        reference: HeightReference::AboveSea,
        floor: Some(height(Height::MAX - 1)),
        ceiling: Some(height(Height::MAX)),
    };
    let corner = (Latitude::MAX, Longitude::MAX);
    let (plan, cells) = largest_ground();
    let store = (0..15)
        .try_fold(Site::new(figures), add)
        .and_then(|site| site.circle(&name(15), Some(heights), corner, Length::MAX))
        .map(|site| site.ground(plan, &cells))
        .and_then(Site::seal)
        .expect("room for sixteen zones and 255 vertices, and all of it sound");
    assert_eq!(store.limits().expect("sealed").zones().count(), ZONES);
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
