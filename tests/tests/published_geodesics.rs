//! Published geodesics between survey marks: the checker's lengths are never below them, its clearances never above.
//!
//! Source of lines and distances: ICSM, GDA2020 Technical Manual v1.6, table 5.1 (section 5.1.3.2), table C.1 and figure C.2,
//! on the ellipsoid GRS 80; read there, and recomputed with a geodesic library. Taking the coordinates as WGS 84 changes the
//! longest line by less than a micrometre (computed).

use pinfold_tests::measured::{
    Point, arc, climb_rate_ceil, counts, distance_budget, distance_floor, length_budget, length_ceil,
};

/// What rounding two positions to 1e-7 degree can change a distance by, m: 7.1 mm each.
const ROUNDING: f64 = 0.015;

fn mark(latitude: (f64, f64, f64), longitude: (f64, f64, f64)) -> Point {
    let (d, m, s) = latitude;
    let (e, n, t) = longitude;
    (counts(arc(-1.0, d, m, s)), counts(arc(1.0, e, n, t)))
}

fn flinders_peak() -> Point {
    mark((37.0, 57.0, 3.72030), (144.0, 25.0, 29.52440))
}

fn buninyong() -> Point {
    mark((37.0, 39.0, 10.15610), (143.0, 55.0, 35.38390))
}

fn smeaton() -> Point {
    mark((37.0, 17.0, 49.73133), (143.0, 59.0, 3.16715))
}

fn bellarine() -> Point {
    mark((38.0, 9.0, 5.22717), (144.0, 36.0, 43.67715))
}

fn arthurs_seat() -> Point {
    mark((38.0, 21.0, 13.12685), (144.0, 57.0, 2.55485))
}

/// The lines of less than 50 km, with the published distance in m.
fn short_lines() -> [(Point, Point, f64); 3] {
    [
        (buninyong(), smeaton(), 39_803.761),
        (flinders_peak(), bellarine(), 27_659.334),
        (bellarine(), arthurs_seat(), 37_175.286),
    ]
}

#[test]
fn a_survey_line_is_never_taken_for_shorter() {
    for (from, to, published) in short_lines() {
        for (from, to) in [(from, to), (to, from)] {
            let above = length_ceil(from, from, to) - published;
            let budget = length_budget(published, 38.4) + ROUNDING;
            assert!((-ROUNDING..=budget).contains(&above), "{published} m: {above} m above, {budget} allowed");
        }
    }
}

#[test]
fn a_survey_mark_is_never_taken_for_farther() {
    for (from, to, published) in short_lines() {
        for (from, to) in [(from, to), (to, from)] {
            let below = published - distance_floor(from, to);
            let budget = distance_budget(published) + ROUNDING;
            assert!((-ROUNDING..=budget).contains(&below), "{published} m: {below} m below, {budget} allowed");
        }
    }
}

/// Flinders Peak to Buninyong is longer than the 50 km that everything must lie within: launch is near its middle.
const LONG: f64 = 54_972.271;
const MIDDLE: Point = (-378_020_000, 1_441_760_000);

#[test]
fn the_longest_survey_line_is_neither_shortened_nor_stretched() {
    for (from, to) in [(flinders_peak(), buninyong()), (buninyong(), flinders_peak())] {
        let above = length_ceil(MIDDLE, from, to) - LONG;
        let budget = length_budget(LONG, 38.0) + ROUNDING;
        assert!((-ROUNDING..=budget).contains(&above), "{above} m above, {budget} allowed");
        // The other bound of its length shows in the rate of climb: 9 km on 55 km at 100 m/s.
        let rate = 9000.0 * 100.0 / LONG;
        let above = climb_rate_ceil(MIDDLE, (from, to), 9000, 100) - rate;
        assert!((0.0..=0.01 + 1e-4 * rate).contains(&above), "{above} m/s above {rate}");
    }
}

#[test]
fn the_marks_of_the_longest_line_are_as_far_apart_as_its_halves_let_them_be() {
    let halves = [flinders_peak(), buninyong()].map(|mark| distance_floor(MIDDLE, mark));
    let whole: f64 = halves.iter().sum();
    // A detour over MIDDLE, which is beside the line, can't be shorter than it; both halves are bounds from below.
    let lengths = [flinders_peak(), buninyong()].map(|mark| length_ceil(MIDDLE, MIDDLE, mark));
    assert!(lengths.iter().sum::<f64>() >= LONG - ROUNDING);
    assert!(whole <= lengths.iter().sum::<f64>());
    assert!(whole >= LONG - 2.0 * distance_budget(LONG / 2.0) - ROUNDING, "{whole}");
}
