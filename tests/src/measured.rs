//! Lengths and distances as the checker's findings give them, to hold against published ones.

use pinfold_core::{
    model::{
        route::Step,
        store::{LimitsError, LimitsStore},
        zone::ZoneKind,
    },
    units::Length,
    verdict::{Finding, Measure, Rule},
};

use crate::sample::{Site, climb, figures, fly, found, judge, launch, length, route_habits, speed_limit};

/// Latitude and longitude in 1e-7 degree.
pub type Point = (i32, i32);

/// The longest length that limits can give, 0.01 m.
const LONGEST: i32 = Length::MAX;
/// The highest speed that a route can ask for, 0.01 m/s.
const FASTEST: i32 = 10_000;
/// The smallest circle, 0.01 m.
const RADIUS: i32 = 1;

/// Degrees as counts of 1e-7, to the nearest.
#[must_use]
pub fn counts(degrees: f64) -> i32 {
    (degrees * 1e7).round() as i32
}

/// Degrees, minutes and seconds of arc; the sign is that of the whole.
#[must_use]
pub fn arc(sign: f64, degrees: f64, minutes: f64, seconds: f64) -> f64 {
    sign * (degrees + minutes / 60.0 + seconds / 3600.0)
}

/// A longitude beside another one, in 1e-7 degree, on the globe: the antimeridian is -180 degrees here.
#[must_use]
pub fn wrapped(longitude: i64) -> i32 {
    ((longitude + 1_800_000_000).rem_euclid(3_600_000_000) - 1_800_000_000) as i32
}

/// A site of a small keep-in zone about a point. Margins are nothing, so that what is required is what readings differ by.
fn site(at: Point) -> Result<Site, LimitsError> {
    let mut figures = figures();
    figures.route = Some(route_habits(LONGEST, LONGEST));
    (figures.margins.fixed, figures.margins.up_fixed) = (length(0), length(0));
    figures.aircraft.climb = speed_limit(FASTEST);
    let corner = |north: i32, east: i64| (at.0 + north, wrapped(i64::from(at.1) + east));
    let ring = vec![corner(-900, -900), corner(-900, 900), corner(900, 900), corner(900, -900)];
    Site::new(figures).polygon("around launch", ZoneKind::KeepIn, None, &[ring])
}

fn sealed(site: Result<Site, LimitsError>) -> Box<LimitsStore> {
    site.and_then(Site::seal).expect("sound limits")
}

fn measure(finding: Option<&Finding>) -> Measure {
    finding.and_then(|finding| finding.measure).expect("a finding with a measure")
}

/// An upper bound of the length of the line from one point to another, in m, as `stray` gives it.
///
/// The launch point is `from`, or another one: then the line must be longer than the way to its beginning.
///
/// # Panics
/// The route can't be judged.
#[must_use]
pub fn length_ceil(launched: Point, from: Point, to: Point) -> f64 {
    let steps = [climb(1000), fly(from, 1000, 300), fly(to, 1000, 300), Step::Land];
    let steps = if launched == from { [&steps[..1], &steps[2..]].concat() } else { steps.to_vec() };
    let verdict = judge(&sealed(site(launched)), launch(launched.0, launched.1), &steps);
    let measure = measure(found(&verdict, Rule::Stray, None));
    f64::from(LONGEST - measure.clearance) / 100.0
}

/// A lower bound of the distance from one point to another, in m: from a climb at launch to the smallest circle.
///
/// # Panics
/// The route can't be judged.
#[must_use]
pub fn distance_floor(from: Point, to: Point) -> f64 {
    let store = sealed(site(from).and_then(|site| site.circle("there", None, to, RADIUS)));
    let steps = [climb(1000), Step::Land];
    let verdict = judge(&store, launch(from.0, from.1), &steps);
    f64::from(measure(found(&verdict, Rule::KeepOut, Some(1))).clearance + RADIUS) / 100.0
}

/// The rate of climb in m/s, rounded up, that a line from one point to another asks for when it rises by `rise` (m) at
/// `speed` (m/s): what there is of the length at least.
///
/// # Panics
/// The route can't be judged.
#[must_use]
pub fn climb_rate_ceil(launched: Point, (from, to): (Point, Point), rise: i32, speed: i32) -> f64 {
    let steps = [climb(100), fly(from, 100, 300), fly(to, 100 + 100 * rise, 100 * speed), Step::Land];
    let verdict = judge(&sealed(site(launched)), launch(launched.0, launched.1), &steps);
    f64::from(FASTEST - measure(found(&verdict, Rule::ClimbRate, None)).clearance) / 100.0
}

/// What a line from launch to a point is required to keep, in m, where speeds ask for nothing: what readings differ by.
///
/// # Panics
/// The route can't be judged.
#[must_use]
pub fn allowance_ceil(from: Point, to: Point) -> f64 {
    // The line ends in the circle, so nothing is tighter.
    let store = sealed(site(from).and_then(|site| site.circle("there", None, to, RADIUS)));
    let steps = [climb(1000), fly(to, 1000, 1), Step::Land];
    let verdict = judge(&store, launch(from.0, from.1), &steps);
    f64::from(measure(found(&verdict, Rule::KeepOut, Some(1))).required) / 100.0
}

/// The most that a length may be above the true one, in m: 0.007 %, rounding (4 mm, then up to 0.01 m), and what a curve may
/// be longer than its chord: 3 b² / s, b being the documented bound of a line's bow at the latitudes within 52 km.
#[must_use]
pub fn length_budget(length: f64, latitude: f64) -> f64 {
    let highest = (latitude.abs() + 0.47).to_radians();
    let curvature = 1.10 * highest.tan() / 6_378_137.0 + 1.01 * 52_000.0 / 6_335_439.0_f64.powi(2);
    let bow = curvature * length * length / 8.0 + 0.002;
    7e-5 * length + 3.0 * bow * bow / length + 0.014
}

/// The most that a clearance may be below the true one, in m: the documented 0.05 m + 0.1 %.
#[must_use]
pub fn distance_budget(distance: f64) -> f64 {
    0.05 + 1e-3 * distance
}
