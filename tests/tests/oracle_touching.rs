//! Holds the checker's yes and no to rationals: places that touch, and places that only nearly do.

use pinfold_core::{
    model::{route::Step, zone::ZoneKind},
    verdict::{Rule, Severity},
};
use pinfold_tests::{
    oracle::exact::{is_polygon, side, stretches, within},
    sample::{Site, band, climb, duration, figures, fly, found, judge, launch, length},
};
use proptest::{
    prelude::*,
    test_runner::{Config, RngAlgorithm, TestRng, TestRunner},
};

/// A place of a small lattice: (latitude, longitude).
type Place = (i32, i32);

/// Runs deterministic cases.
fn cases<S: Strategy>(strategy: &S, count: u32, seed: u8, test: impl Fn(S::Value)) {
    let config = Config { cases: count, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]);
    let run = |value| {
        test(value);
        Ok(())
    };
    TestRunner::new_with_rng(config, rng).run(strategy, run).unwrap_or_else(|error| panic!("{error}"));
}

fn place() -> impl Strategy<Value = Place> {
    (-3..4_i32, -3..4_i32)
}

fn rings() -> impl Strategy<Value = Vec<Vec<Place>>> {
    let square = |half: i32| vec![(-half, -half), (-half, half), (half, half), (half, -half)];
    let ring = || prop::collection::vec(place(), 3..6);
    prop_oneof![
        3 => ring().prop_map(|ring| vec![ring]),
        2 => ring().prop_map(move |ring| vec![square(4), ring]),
        1 => (ring(), ring()).prop_map(move |(one, two)| vec![square(4), one, two]),
    ]
}

/// Where the lattice lies: one step in 1e-7 degree, and the launch point, the antimeridian included.
fn lattice() -> impl Strategy<Value = (i32, Place)> {
    let longitude = prop_oneof![Just(1_800_000_000), Just(-1_800_000_000), Just(7)];
    (prop_oneof![Just(1), Just(9000), Just(77_777)], (prop_oneof![Just(0), Just(-655_555_555)], longitude))
}

/// A lattice place as a position: the longitude wraps.
fn on(step: i32, origin: Place, (north, east): Place) -> Place {
    const TURN: i64 = 3_600_000_000;
    let east = i64::from(origin.1) + i64::from(step * east);
    let wrapped = (east + TURN / 2).rem_euclid(TURN) - TURN / 2;
    (origin.0 + step * north, i32::try_from(wrapped).expect("within half a turn"))
}

fn local(rings: &[Vec<Place>], step: i32) -> Vec<Vec<(i64, i64)>> {
    let place = |(north, east): &Place| (i64::from(east * step), i64::from(north * step));
    rings.iter().map(|ring| ring.iter().map(place).collect()).collect()
}

/// Far beyond the lattice.
fn outer() -> Vec<Place> {
    vec![(-9, -9), (-9, 9), (9, 9), (9, -9)]
}

#[test]
fn a_shape_that_is_no_polygon_becomes_a_zone() {
    let simple = std::cell::Cell::new(0);
    cases(&(rings(), lattice()), 3000, 3, |(rings, (step, origin))| {
        let placed = rings.iter().map(|ring| ring.iter().map(|place| on(step, origin, *place)).collect());
        let site = Site::new(figures()).polygon("in", ZoneKind::KeepIn, None, &placed.collect::<Vec<Vec<Place>>>());
        let expected = is_polygon(&local(&rings, step));
        simple.set(simple.get() + u32::from(expected));
        assert_eq!(site.expect("room").seal().is_ok(), expected, "{rings:?}");
    });
    assert!((300..2700).contains(&simple.get()), "{} of 3000 are polygons", simple.get());
}

#[test]
fn a_touched_edge_is_taken_for_a_clear_one() {
    let touched = std::cell::Cell::new((0, 0));
    cases(&(rings(), lattice(), place(), any::<bool>()), 4000, 4, |(rings, (step, origin), to, keep_in)| {
        if !is_polygon(&local(&rings, step)) {
            return;
        }
        let mut figures = figures();
        (figures.margins.fixed, figures.margins.reaction) = (length(0), duration(0));
        let placed: Vec<Vec<Place>> =
            rings.iter().map(|ring| ring.iter().map(|place| on(step, origin, *place)).collect()).collect();
        let far: Vec<Place> = outer().into_iter().map(|place| on(step, origin, place)).collect();
        let site = Site::new(figures);
        let site = if keep_in {
            site.polygon("zone", ZoneKind::KeepIn, None, &placed)
        } else {
            site.polygon("zone", ZoneKind::KeepOut, None, &placed)
                .and_then(|site| site.polygon("far", ZoneKind::KeepIn, None, &[far]))
        };
        let store = site.and_then(Site::seal).expect("a polygon");
        let steps = [climb(3000), fly(on(step, origin, to), 3000, 1), Step::Return];
        let verdict = judge(&store, launch(origin.0, origin.1), &steps);
        let rule = if keep_in { Rule::KeepIn } else { Rule::KeepOut };
        let finding = found(&verdict, rule, Some(0)).expect("a finding");
        let stop = finding.severity() == Some(Severity::Stop);
        let (exact, end) = (local(&rings, step), (i64::from(to.1 * step), i64::from(to.0 * step)));
        let bad = if keep_in { !within((0, 0), end, &exact) } else { !stretches((0, 0), end, &exact).is_empty() };
        assert!(stop || !bad, "{rings:?} to {to:?}, side {:?}: {finding:?}", side((0, 0), &exact));
        // Lattices of metres: what doesn't touch is clear by far more than a few centimetres.
        assert!(bad || !stop || step == 1, "{rings:?} to {to:?}: {finding:?}");
        let (yes, no) = touched.get();
        touched.set(if bad { (yes + 1, no) } else { (yes, no + 1) });
    });
    let (yes, no) = touched.get();
    assert!(yes > 200 && no > 200, "{yes} touch, {no} don't");
}

/// What becomes of a flight without any margin from launch to the east, at one height after another, by a zone with heights.
fn at_heights(zone: &[Place], floor: Option<i32>, ceiling: Option<i32>, heights: &[i32]) -> Option<Severity> {
    let mut figures = figures();
    (figures.margins.fixed, figures.margins.reaction, figures.margins.up_fixed) = (length(0), duration(0), length(0));
    let square = |half: i32| vec![(-half, -half), (-half, half), (half, half), (half, -half)];
    let site = Site::new(figures).polygon("in", ZoneKind::KeepIn, None, &[square(50_000)]);
    let site =
        site.and_then(|site| site.polygon("out", ZoneKind::KeepOut, Some(band(floor, ceiling)), &[zone.to_vec()]));
    let store = site.and_then(Site::seal).expect("polygons");
    let mut steps = vec![climb(heights[0])];
    steps.extend((1..).zip(&heights[1..]).map(|(number, height)| fly((0, 1000 * number), *height, 1)));
    steps.push(Step::Land);
    let verdict = judge(&store, launch(0, 0), &steps);
    found(&verdict, Rule::KeepOut, Some(1)).expect("a finding").severity()
}

/// A zone east of launch, across the way.
const ACROSS: [Place; 4] = [(-900, 500), (-900, 1500), (900, 1500), (900, 500)];
/// A zone around the launch point.
const AROUND: [Place; 4] = [(-900, -900), (-900, 300), (900, 300), (900, -900)];

#[test]
fn the_top_of_a_zone_is_flown_along_without_a_gap() {
    assert_eq!(at_heights(&ACROSS, None, Some(2000), &[2000, 2000, 2000]), Some(Severity::Stop));
    assert_eq!(at_heights(&ACROSS, None, Some(2000), &[2500, 2000, 2000]), Some(Severity::Stop));
    assert_eq!(at_heights(&ACROSS, None, Some(2000), &[2006, 2006, 2006]), None);
}

#[test]
fn a_climb_ends_on_the_bottom_of_a_zone() {
    assert_eq!(at_heights(&AROUND, Some(2000), None, &[2000]), Some(Severity::Stop));
    assert_eq!(at_heights(&AROUND, Some(2000), None, &[1994]), None);
}

#[test]
fn a_zone_as_thin_as_a_unit_is_passed_through() {
    assert_eq!(at_heights(&AROUND, Some(2500), Some(2501), &[3000]), Some(Severity::Stop));
    assert_eq!(at_heights(&ACROSS, Some(2500), Some(2501), &[3000, 2000, 2000]), Some(Severity::Stop));
    assert_eq!(at_heights(&ACROSS, Some(2500), Some(2502), &[3000, 2000, 2000]), Some(Severity::Stop));
}
