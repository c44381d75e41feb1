//! The answers by geodesics on the ellipsoid: `geographiclib-rs` measures from place to place, so that the distance of two lines
//! is a search. Two lines that don't cross are nearest at an end of one of them: from each of the four ends a golden-section
//! search along the other line, to 1 cm. Edges that can't be nearer than the nearest so far are passed over by the distance of
//! the middles. What crosses or contains what is asked in degrees, by the `geo` crate.

use geo::{Contains, Coord, Intersects, Line, Polygon, Triangle};
use geographiclib_rs::{Geodesic, InverseGeodesic};

use crate::{
    Clearances,
    course::{Course, Place},
};

/// Metres to which a search narrows the place along a line.
const NARROW: f64 = 0.01;
/// The part of an interval that each step of a golden-section search keeps.
const GOLDEN: f64 = 0.618_033_988_749_895;

/// A line straight in degrees, with what is asked of it again and again.
struct Track {
    line: Line,
    middle: Coord,
    length: f64,
}

/// A zone in degrees.
struct Zone {
    polygon: Polygon,
    edges: Vec<Track>,
}

pub(crate) fn geodesic(course: &Course) -> Clearances {
    let earth = Earth(Geodesic::wgs84());
    let zones: Vec<_> = course.rings.iter().map(|ring| earth.zone(ring)).collect();
    let launch = degrees(course.path[0]);
    let mut least = Clearances::NONE;
    for ends in course.path.windows(2) {
        let (from, to) = (degrees(ends[0]), degrees(ends[1]));
        let (leg, home) = (earth.track(from, to), earth.track(launch, to));
        for (number, zone) in zones.iter().enumerate() {
            let inside = number == 0;
            earth.take(&leg, zone, inside, &mut least.legs[number]);
            // The leg is a side of its triangle, and the next leg's triangle has another one of this one's.
            earth.take(&home, zone, inside, &mut least.ways_home[number]);
            if !inside && Triangle::new(launch, from, to).intersects(&zone.edges[0].line.start) {
                least.ways_home[number] = 0.0;
            }
        }
    }
    for (home, leg) in least.ways_home.iter_mut().zip(least.legs) {
        *home = home.min(leg);
    }
    least
}

fn degrees(place: Place) -> Coord {
    Coord { x: f64::from(place.1) / 1e7, y: f64::from(place.0) / 1e7 }
}

fn along(line: Line, share: f64) -> Coord {
    line.start + (line.end - line.start) * share
}

struct Earth(Geodesic);

impl Earth {
    fn metres(&self, one: Coord, other: Coord) -> f64 {
        self.0.inverse(one.y, one.x, other.y, other.x)
    }

    fn track(&self, from: Coord, to: Coord) -> Track {
        let line = Line::new(from, to);
        Track { line, middle: along(line, 0.5), length: self.metres(from, to) }
    }

    fn zone(&self, ring: &[Place]) -> Zone {
        let polygon = Polygon::new(ring.iter().map(|place| degrees(*place)).collect(), Vec::new());
        let edges = polygon.exterior().lines().map(|edge| self.track(edge.start, edge.end)).collect();
        Zone { polygon, edges }
    }

    /// The distance of a line to the edges of a zone that it must be inside or outside of, where that is less.
    fn take(&self, track: &Track, zone: &Zone, inside: bool, least: &mut f64) {
        let wrong = if inside {
            !zone.polygon.contains(&track.line.start) || track.line.intersects(zone.polygon.exterior())
        } else {
            track.line.intersects(&zone.polygon)
        };
        if wrong {
            *least = 0.0;
        }
        for edge in &zone.edges {
            let reach = (track.length + edge.length) / 2.0;
            if self.metres(track.middle, edge.middle) - reach < *least {
                *least = least.min(self.apart(track, edge));
            }
        }
    }

    /// The distance of two lines that don't cross.
    fn apart(&self, one: &Track, other: &Track) -> f64 {
        let ends = |of: &Track, to: &Track| self.to_line(of.line.start, to).min(self.to_line(of.line.end, to));
        ends(one, other).min(ends(other, one))
    }

    fn to_line(&self, place: Coord, track: &Track) -> f64 {
        let metres = |share| self.metres(place, along(track.line, share));
        let (mut low, mut high) = (0.0, 1.0);
        let (mut left, mut right) = (1.0 - GOLDEN, GOLDEN);
        let (mut at_left, mut at_right) = (metres(left), metres(right));
        while (high - low) * track.length > NARROW {
            if at_left < at_right {
                (high, right, at_right) = (right, left, at_left);
                left = high - GOLDEN * (high - low);
                at_left = metres(left);
            } else {
                (low, left, at_left) = (left, right, at_right);
                right = low + GOLDEN * (high - low);
                at_right = metres(right);
            }
        }
        at_left.min(at_right)
    }
}
