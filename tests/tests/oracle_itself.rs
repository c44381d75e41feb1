//! Holds the oracle to itself: published values, dense samples, and other ways to the same number.

use pinfold_tests::oracle::{
    course::{Course, Home, Line, Reading},
    distance::{apart, to_line, to_lines},
    earth::Ground,
    exact::{Side, is_polygon, side, stretches, touch, within},
    space::{
        near::{Stretch, nearest, nearly},
        spread::spread,
    },
};
use proptest::{
    prelude::*,
    test_runner::{Config, RngAlgorithm, TestRng, TestRunner},
};

type Local = (i64, i64);

/// Two lines about a latitude: ends in counts.
type Pair = (i64, [Local; 4]);

fn pairs() -> impl Strategy<Value = Pair> {
    let size = prop_oneof![Just(50), Just(5000), Just(50_000), Just(2_000_000)];
    let ends = prop::array::uniform4((-100..=100_i64, -100..=100_i64));
    (-795_000_000..795_000_000_i64, size, ends).prop_map(|(latitude, size, ends)| {
        (latitude, ends.map(|(east, north)| (east * size / 100, north * size / 100)))
    })
}

fn cases<S: Strategy>(strategy: &S, count: u32, test: impl Fn(S::Value) -> Result<(), TestCaseError>) {
    let config = Config { cases: count, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[9; 32]);
    TestRunner::new_with_rng(config, rng).run(strategy, test).unwrap_or_else(|error| panic!("{error}"));
}

/// The least of many distances between places of both lines, closer and closer about the nearest pair.
fn sampled(course: &Course, line: &Line) -> f64 {
    let mut best = (f64::INFINITY, 0.5, 0.5);
    let mut reach = 0.5;
    while reach > 1e-9 {
        let (_, here, there) = best;
        for one in -12..=12_i8 {
            for other in -12..=12_i8 {
                let share = |middle: f64, number: i8| (middle + reach * f64::from(number) / 12.0).clamp(0.0, 1.0);
                let (a, b) = (share(here, one), share(there, other));
                let meters = course.at(a).meters_to(line.at(b));
                if meters < best.0 {
                    best = (meters, a, b);
                }
            }
        }
        reach *= 0.5;
    }
    best.0
}

#[test]
fn the_search_misses_a_nearer_pair_of_places() {
    cases(&pairs(), 60, |(latitude, [a, b, c, d])| {
        let home = Home::at(latitude);
        prop_assume!(a != b && !touch((a, b), (c, d)));
        for reading in [Reading::Degrees, Reading::Geodesic, Reading::Tangent] {
            let (course, line) = (Course::new(home, a, b, reading), Line::new(home, c, d));
            let (searched, sampled) = (to_line(&course, &line), sampled(&course, &line));
            prop_assert!(searched <= sampled + 1e-6, "{searched} but {sampled} ({reading:?})");
        }
        Ok(())
    });
}

#[test]
fn passing_over_far_lines_passes_over_the_nearest() {
    cases(&(pairs(), pairs()), 100, |((latitude, [a, b, c, d]), (_, [e, f, g, h]))| {
        let home = Home::at(latitude);
        let course = Course::new(home, a, b, Reading::Degrees);
        let lines = [(c, d), (d, e), (e, f), (g, h)].map(|(from, to)| Line::new(home, from, to));
        let each = lines.iter().map(|line| to_line(&course, line)).fold(f64::INFINITY, f64::min);
        prop_assert_eq!(to_lines(&course, &lines), each);
        Ok(())
    });
}

#[test]
fn the_three_readings_do_not_meet_at_the_ends_or_are_bent_the_wrong_way() {
    cases(&pairs(), 200, |(latitude, [a, b, ..])| {
        let home = Home::at(latitude);
        for reading in [Reading::Degrees, Reading::Geodesic, Reading::Tangent] {
            let course = Course::new(home, a, b, reading);
            prop_assert!(course.at(0.0).meters_to(home.ground(a)) < 1e-6);
            prop_assert!(course.at(1.0).meters_to(home.ground(b)) < 1e-6);
        }
        // A line in degrees bulges from the geodesic by tan(latitude) sin (1 + cos^2) L^2 / (8 R): see a sphere.
        let (azimuth, meters) = home.ground(a).toward(home.ground(b));
        let (sin, cos) = azimuth.to_radians().sin_cos();
        let middle = home.between(0.0, f64::from(i32::try_from(a.1 + b.1).expect("small")) / 2.0).latitude;
        let bulge = (middle.to_radians().tan() * sin * (1.0 + cos * cos) * meters * meters / (8.0 * 6.371e6)).abs();
        let (degrees, geodesic) =
            (Course::new(home, a, b, Reading::Degrees), Course::new(home, a, b, Reading::Geodesic));
        let found = degrees.at(0.5).meters_to(geodesic.at(degrees.covered(0.5)));
        prop_assert!((found - bulge).abs() < 0.1 * bulge + 0.001 * meters.powi(2) / 6.371e6 + 1e-6, "{found} {bulge}");
        prop_assert!(apart(home, a, b).from_degrees >= 0.95 * found - 1e-6);
        Ok(())
    });
}

#[test]
fn the_ellipsoid_has_the_wrong_size() {
    let place = |latitude: f64, longitude: f64| Ground { latitude, longitude };
    // One degree of longitude at the equator is a circle's, a degree of latitude there 110,574.4 m (meridian arc series).
    assert!((place(0.0, 0.0).meters_to(place(0.0, 1.0)) - 6_378_137.0_f64.to_radians()).abs() < 1e-6);
    assert!((place(-0.5, 0.0).meters_to(place(0.5, 0.0)) - 110_574.4).abs() < 0.2);
    for latitude in [-79.0, -33.0, 0.0, 0.001, 51.0, 79.9] {
        let (center, there) = (place(latitude, 0.0), place(latitude + 0.3, -0.4));
        let (east, north) = center.tangent_of(there);
        assert!(center.from_tangent(east, north).meters_to(there) < 1e-7);
        let chord = pinfold_tests::oracle::earth::minus(center.geocentric(), there.geocentric());
        let chord = chord.iter().map(|part| part * part).sum::<f64>().sqrt();
        let meters = center.meters_to(there);
        // An arc is longer than its chord by L^3 / (24 R^2).
        assert!((meters - chord - meters.powi(3) / (24.0 * 6.371e6_f64.powi(2))).abs() < 0.002, "{meters} {chord}");
    }
}

#[test]
fn rationals_confuse_inside_with_touching() {
    let square: Vec<Local> = vec![(0, 0), (8, 0), (8, 8), (0, 8)];
    let hole: Vec<Local> = vec![(2, 2), (4, 2), (4, 4), (2, 4)];
    let rings = vec![square.clone(), hole.clone()];
    assert_eq!(side((1, 1), &rings), Side::Inside);
    assert_eq!(side((3, 3), &rings), Side::Outside);
    assert_eq!(side((2, 3), &rings), Side::Boundary);
    assert_eq!(side((9, 0), &rings), Side::Outside);
    assert!(within((1, 1), (1, 7), &rings));
    assert!(!within((1, 1), (7, 7), &rings));
    assert!(!within((1, 1), (1, 8), &rings));
    // Along the hole's edge is in the closed area; across it only in part.
    assert!(stretches((2, 1), (2, 5), &rings).len() >= 3);
    assert!(stretches((3, 3), (3, 3), &rings).is_empty());
    assert_eq!(stretches((-1, 9), (9, 9), &rings).len(), 0);
    assert!(is_polygon(&rings));
    assert!(!is_polygon(&[square, vec![(0, 3), (3, 3), (3, 5)]]));
    assert!(!is_polygon(&[vec![(0, 0), (4, 4), (4, 0), (0, 4)]]));
    assert!(!is_polygon(&[vec![(0, 0), (4, 0), (2, 0)]]));
}

#[test]
fn the_quick_distance_is_not_the_slow_one() {
    cases(&(pairs(), pairs()), 150, |((latitude, [a, b, c, d]), (_, [e, f, ..]))| {
        let home = Home::at(latitude);
        let course = Course::new(home, a, b, Reading::Degrees);
        let ends = [(c, d), (d, e), (e, f)];
        let slow = to_lines(&course, &ends.map(|(from, to)| Line::new(home, from, to)));
        let quick = nearest(
            &[Stretch::new(home.ground(a), home.ground(b))],
            &ends.map(|(from, to)| Stretch::new(home.ground(from), home.ground(to))),
        );
        prop_assert!((quick - slow).abs() < 2e-6, "{quick} but {slow}");
        let dots = [Stretch::new(home.ground(a), home.ground(a))];
        let edges = ends.map(|(from, to)| Stretch::new(home.ground(from), home.ground(to)));
        let (rough, fine) = (nearly(&dots, &edges), nearest(&dots, &edges));
        prop_assert!((rough - fine).abs() < 0.004 + 1e-6 * fine, "{rough} but {fine}");
        Ok(())
    });
}

#[test]
fn the_sampled_spread_is_not_the_searched_one() {
    cases(&pairs(), 150, |(latitude, [a, b, ..])| {
        let home = Home::at(latitude);
        let (searched, sampled) = (apart(home, a, b), spread(home, home.ground(a), home.ground(b)));
        prop_assert!(sampled.surely <= searched.from_degrees + 2e-6, "{sampled:?} {searched:?}");
        prop_assert!(sampled.surely >= 0.99 * searched.from_degrees - 2e-6, "{sampled:?} {searched:?}");
        prop_assert!(sampled.at_most >= searched.sideways - 2e-6, "{sampled:?} {searched:?}");
        Ok(())
    });
}
