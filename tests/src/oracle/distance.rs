//! Smallest geodesic distances, by search over both lines.

use super::{
    course::{Course, Home, Line, Reading},
    earth::{Ground, dot, minus},
    exact::Local,
    search::least,
};

/// Metres to which a search narrows the place of a smallest distance.
const NARROW: f64 = 1e-7;

/// How many valleys the distance along a course may have: its line and an edge are both bent a little.
fn pieces(course: &Course) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a leg is shorter than 100 km")]
    let bends = (course.meters / 8000.0) as u32;
    4 + bends
}

/// The least value along a course, and the parameter where it is.
pub fn least_along(course: &Course, value: impl Fn(f64) -> f64) -> (f64, f64) {
    if course.meters == 0.0 { (value(0.0), 0.0) } else { least(pieces(course), NARROW / course.meters, value) }
}

/// Metres from a place to the nearest place of a line.
#[must_use]
pub fn place_to_line(place: Ground, line: &Line) -> f64 {
    place.meters_to(line.at(line.nearest(place.geocentric())))
}

/// Smallest distance from a course to a line, in metres. Chords are compared to find the place, since a chord is shorter where
/// the geodesic is; the distance itself is the geodesic's.
#[must_use]
pub fn to_line(course: &Course, line: &Line) -> f64 {
    let chord = |share: f64| {
        let point = course.at(share).geocentric();
        let gap = minus(point, line.at(line.nearest(point)).geocentric());
        dot(gap, gap)
    };
    place_to_line(course.at(least_along(course, chord).1), line)
}

/// Smallest distance from a course to the nearest of some lines, in metres.
#[must_use]
pub fn to_lines(course: &Course, lines: &[Line]) -> f64 {
    let mut order: Vec<_> = lines.iter().map(|line| (at_least(course, line), line)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    order
        .iter()
        .fold(f64::INFINITY, |best, (bound, line)| if *bound >= best { best } else { best.min(to_line(course, line)) })
}

/// Smallest distance from a course to a place, in metres.
#[must_use]
pub fn to_place(course: &Course, place: Ground) -> f64 {
    let center = place.geocentric();
    let chord = |share: f64| {
        let gap = minus(course.at(share).geocentric(), center);
        dot(gap, gap)
    };
    course.at(least_along(course, chord).1).meters_to(place)
}

/// A distance that a course and a line certainly have: that of their middles, less half their lengths with room for bends.
#[must_use]
pub fn at_least(course: &Course, line: &Line) -> f64 {
    let far = |a: Ground, b: Ground| {
        let gap = minus(a.geocentric(), b.geocentric());
        dot(gap, gap).sqrt()
    };
    let reach = |middle: Ground, from: Ground, to: Ground| 1.05 * far(middle, from).max(far(middle, to));
    let (here, there) = (course.at(0.5), line.at(0.5));
    far(here, there) - reach(here, course.at(0.0), course.at(1.0)) - reach(there, line.at(0.0), line.at(1.0))
}

/// How far the three readings of a leg are apart, in metres.
#[derive(Clone, Copy, Debug, Default)]
pub struct Apart {
    /// Farthest that a place of another reading is from the line in longitude and latitude.
    pub from_degrees: f64,
    /// Farthest that any two readings are apart, sideways.
    pub sideways: f64,
    /// Farthest that any two readings are apart where they have covered the same part of their length.
    pub abreast: f64,
}

/// How far the three readings of a leg are apart.
#[must_use]
pub fn apart(home: Home, from: Local, to: Local) -> Apart {
    if from == to {
        return Apart::default();
    }
    let reading = |reading: Reading| Course::new(home, from, to, reading);
    let (degrees, geodesic, tangent) =
        (reading(Reading::Degrees), reading(Reading::Geodesic), reading(Reading::Tangent));
    let off = |course: &Course| -least_along(course, |share| -place_to_line(course.at(share), degrees.line())).0;
    let samples = || (0..=64_u8).map(|number| f64::from(number) / 64.0);
    let between =
        samples().map(|share| (sideways(&geodesic, &degrees, share) - sideways(&tangent, &degrees, share)).abs());
    let abreast = samples().map(|share| {
        let even = degrees.at(uncovered(&degrees, share));
        let (one, other) = (geodesic.at(share), tangent.at(share));
        even.meters_to(one).max(even.meters_to(other)).max(one.meters_to(other))
    });
    let from_degrees = off(&geodesic).max(off(&tangent));
    Apart {
        from_degrees,
        sideways: between.fold(from_degrees, f64::max),
        abreast: abreast.fold(from_degrees, f64::max),
    }
}

/// The parameter at which a part of the length is covered.
fn uncovered(course: &Course, part: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if course.covered(middle) < part { low = middle } else { high = middle }
    }
    low
}

/// How far a place of a course is to the left of the line in degrees, in metres.
fn sideways(course: &Course, degrees: &Course, share: f64) -> f64 {
    let line = degrees.line();
    let place = course.at(share);
    let foot = line.at(line.nearest(place.geocentric()));
    let [east, north, _] = foot.axes();
    let (to, gap) = (
        minus(degrees.at(1.0).geocentric(), degrees.at(0.0).geocentric()),
        minus(place.geocentric(), foot.geocentric()),
    );
    let turn = dot(to, east) * dot(gap, north) - dot(to, north) * dot(gap, east);
    place.meters_to(foot) * if turn < 0.0 { -1.0 } else { 1.0 }
}
