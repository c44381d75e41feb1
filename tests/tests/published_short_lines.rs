//! Short lines on WGS 84, everywhere below 80 degrees of latitude and over the antimeridian.
//!
//! Source of the method: C. F. F. Karney, "Algorithms for geodesics", Journal of Geodesy 87 (2013), as implemented in his
//! library. The distances were computed with it for these coordinates, which 1e-7 degree holds exactly, and agree with an
//! independent projection library to 1e-8 m and with a quadrature of Bessel's integrals to 1e-8 m: no text publishes them.

use pinfold_core::{
    model::{route::Step, zone::ZoneKind},
    verdict::{Cause, Rule},
};
use pinfold_tests::{
    measured::{Point, counts, distance_budget, distance_floor, length_budget, length_ceil},
    sample::{Site, climb, figures, fly, found, judge, launch},
};

/// From, to (degrees), distance (m).
type Line = ((f64, f64), (f64, f64), f64);

const LINES: [Line; 16] = [
    ((0.0, 0.0), (0.0, 0.0001), 11.131949),
    ((0.0, 0.0), (0.0001, 0.0), 11.057428),
    ((15.0, -61.0), (15.001, -60.999), 154.305505),
    ((-30.0, 25.0), (-30.0, 24.99), 964.862802),
    ((45.0, 7.0), (45.00009, 7.0), 10.001860),
    ((45.0, 7.0), (45.01, 7.01), 1362.572406),
    ((47.0, 8.0), (47.0, 8.2629), 19995.112571),
    ((52.2296756, 21.0122287), (52.2302756, 21.0133287), 100.528797),
    ((60.0, 24.8), (60.0, 25.158), 19976.376191),
    ((64.1466, -21.9426), (64.148, -21.9372), 305.684359),
    ((75.0, -40.0), (75.02, -39.93), 3011.850081),
    ((-17.5, 179.999), (-17.5, -179.999), 212.398866),
    ((66.3, 179.98), (66.31, -179.9793), 2139.465373),
    ((0.0, 179.9999), (0.0001, -179.9999), 24.858557),
    ((51.95, 179.9), (51.95, -179.9), 13750.896627),
    ((-33.86, 151.2), (-33.9875, 151.3525), 19971.316251),
];

/// The ends of direct problems (from, azimuth, distance) with the same libraries; here only their distances are held. The ends
/// have more digits than 1e-7 degree: rounding moves one by 7.9 mm at most.
const ENDS: [Line; 6] = [
    // Azimuths 90, 45, 0, 90, 135 and 225 degrees.
    ((47.0, 8.0), (46.999999992452, 8.001314820688), 100.0),
    ((47.0, 8.0), (47.006360160749, 8.009298289706), 1000.0),
    ((60.0, 24.8), (60.008975664518, 24.8), 1000.0),
    ((60.0, 24.8), (59.999969608615, 24.889605677452), 5000.0),
    ((75.0, -40.0), (74.968292169471, -39.877923593161), 5000.0),
    ((-33.86, 151.2), (-33.987402371813, 151.046944038718), 20_000.0),
];

fn point((latitude, longitude): (f64, f64)) -> Point {
    (counts(latitude), counts(longitude))
}

/// Holds a line's length and distance to the true one, both ways.
fn hold((from, to, length): Line, rounding: f64) {
    for (from, to) in [(from, to), (to, from)] {
        let latitude = from.0.abs().max(to.0.abs());
        let (from, to) = (point(from), point(to));
        let above = length_ceil(from, from, to) - length;
        let budget = length_budget(length, latitude) + rounding;
        assert!((-rounding..=budget).contains(&above), "{from:?} to {to:?}: {above} m above, {budget} allowed");
        let below = length - distance_floor(from, to);
        let budget = distance_budget(length) + rounding;
        assert!((-rounding..=budget).contains(&below), "{from:?} to {to:?}: {below} m below, {budget} allowed");
    }
}

#[test]
fn a_short_line_is_never_taken_for_shorter_nor_its_end_for_farther() {
    LINES.into_iter().for_each(|line| hold(line, 0.0));
    // 180 and -180 are one meridian, whichever is written.
    for (one, other) in [(180.0, -180.0), (-180.0, 180.0), (180.0, 180.0)] {
        hold(((10.0, one), (10.001, other), 110.607768), 0.0);
    }
}

#[test]
fn the_end_of_a_line_of_known_length_is_not_missed() {
    ENDS.into_iter().for_each(|line| hold(line, 0.008));
    // Over the antimeridian, azimuth 90 degrees.
    hold(((52.0, 179.99), (51.999996400402, -179.980878601229), 2000.0), 0.008);
}

#[test]
fn lines_near_the_pole_are_refused_instead_of_measured() {
    // The flat formula is 1749 m wrong on the line from 89.9 N 0 E to 89.9 N 90 E (15,795.909901 m, computed as above).
    let starts = [(80.0, 10.0), (85.0, 0.0), (89.9, 0.0), (-80.0, 10.0)];
    for (latitude, longitude) in starts {
        let at = point((latitude, longitude));
        let ring = vec![(at.0 - 900, at.1), (at.0 - 900, at.1 + 900), (at.0 - 1800, at.1)];
        let site = Site::new(figures()).polygon("a", ZoneKind::KeepIn, None, &[ring]);
        let store = site.and_then(Site::seal).expect("sound limits");
        let steps = [climb(1000), fly((at.0 - 100, at.1), 1000, 300), Step::Land];
        let verdict = judge(&store, launch(at.0, at.1), &steps);
        let finding = found(&verdict, Rule::Extent, None).expect("out of extent");
        assert_eq!(finding.cause, Cause::LaunchTooFarNorth);
        assert_eq!(verdict.findings.iter().count(), 1);
    }
}
