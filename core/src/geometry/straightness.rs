//! How far apart the readings of "a straight line between two points" can be.
//!
//! # The curvature of a line that is straight in longitude and latitude
//! Such a line with azimuth α at latitude φ has the geodesic curvature κ = (tan φ / N) sin α (1 + cos² α): tan φ / N times sin α
//! for keeping its azimuth while the meridians converge (a rhumb line), and once more cos² α of it because its azimuth also
//! changes with the length of a degree of longitude. sin α (1 + cos² α) is at most 1.0887 (at sin² α = 2/3); the ellipsoid's
//! flattening changes it by at most 0.7 %. So |κ| <= 1.10 tan φ / N with N >= a. Seen in the tangent plane (see
//! [`super::frame`]) a curve also shows that part of the ellipsoid's own curvature which the tilt of its normal lets appear:
//! at most (c / R) (1 / R) at distance c from launch. A plane curve of curvature at most κ lies within κ L² / 8 of a chord of
//! length L (to 1 part in 1000 for κ L <= 0.1, which the 1.10 includes): that is `Frame::bow_ceil`.
//!
//! # Three readings
//! `apart_ceil` measures instead of bounding where the bow is more than a few mm: it takes the points at a quarter, three
//! eighths, half, five eighths and three quarters of the line that is straight in longitude and latitude, and their offsets
//! from the chord in the tangent plane (which is the second reading). The third, the geodesic, bulges away from launch in that
//! plane by L² c / (8 R²) in its middle, c being the chord's distance from launch, parabolically to its ends. The offset along
//! the line is a cubic to all accuracy that matters; the largest value of a cubic that vanishes at both ends exceeds the
//! largest of these five samples by at most 3.13 % (a search over all cubics; a test holds it).
//! So the result is above the true distance apart, and at most a tenth plus 1 cm above it.

use super::{
    frame::Frame,
    plane::{Chord, PART_BITS, Part, PlanePoint, WHOLE, height_near},
    predicate::Point,
};
use crate::arithmetic::{bounded_product, clamp_i32, clamp_i64};

/// 8 R² in mm² over 2^20, R the mean radius of the Earth (R1 = 6371008.7714 m; the ellipsoid's radii differ from it by 0.6 %).
const EIGHT_SQUARES: i64 = 309_675_237_772_032;
/// Bows up to this many mm aren't worth measuring for: all readings of a line are within its bow of each other.
pub(crate) const BOW_FINE: i64 = 8;
/// Where a line is sampled, and what of the geodesic's bulge is there, in sixteenths.
const SAMPLES: [(Part, i64); 5] =
    [(WHOLE / 4, 12), (WHOLE / 8 * 3, 15), (WHOLE / 2, 16), (WHOLE / 8 * 5, 15), (WHOLE / 4 * 3, 12)];
/// The largest of a cubic is at most this share above the largest sample: 1 / 30 is more than 3.13 %.
const BETWEEN: i64 = 30;
/// What rounding can hide of an offset, mm: two points to 0.8 mm a coordinate, a height and the bulge each cut to 1 mm.
const OFFSET_ERROR: i64 = 4;

/// The point that part of the way from `from` to `to`, to the nearest sixteenth of 1e-7 degree.
pub(crate) fn point_between(from: Point, to: Point, part: Part) -> Point {
    let along = |a: i32, b: i32| {
        let way = bounded_product(i64::from(b.saturating_sub(a)), clamp_i32(i64::from(part)));
        clamp_i32(i64::from(a).saturating_add(way.saturating_add(i64::from(WHOLE / 2)) >> PART_BITS))
    };
    Point { x: along(from.x, to.x), y: along(from.y, to.y) }
}

/// How far apart the line straight in longitude and latitude, the geodesic, and the line straight in the tangent plane at
/// launch can be between `from` and `to`. Unit: mm, rounded up. Domain: both ends within 50 km of launch.
pub(crate) fn apart_ceil(frame: &Frame, from: Point, to: Point) -> i64 {
    if from == to {
        return 0;
    }
    let chord = Chord::new(frame.plane(from), frame.plane(to));
    let bow = frame.bow_ceil(chord.length_squared);
    if bow <= BOW_FINE {
        return bow;
    }
    let bulge = geodesic_bulge(chord);
    let offset = |(part, share): (Part, i64)| {
        let line = height_near(chord.area_to(frame.plane(point_between(from, to, part))), chord.length_squared);
        line.saturating_abs().max(line.saturating_add(bulge.saturating_mul(share) / 16).saturating_abs())
    };
    let largest = SAMPLES.into_iter().map(offset).max().unwrap_or(0);
    largest.saturating_add(largest / BETWEEN).saturating_add(OFFSET_ERROR).min(bow)
}

/// How far the geodesic's middle is from the chord's, away from launch, in mm; signed like the area towards launch.
fn geodesic_bulge(chord: Chord) -> i64 {
    let length = clamp_i32(clamp_i64(chord.length_squared.isqrt()));
    let area = chord.area_to(PlanePoint::ORIGIN) >> 20;
    bounded_product(area, length) / EIGHT_SQUARES
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::position::Position;

    /// A leg along a parallel with launch in its middle: degrees of latitude, length in km, distance apart in m.
    ///
    /// Largest gap between an edge straight in longitude and latitude (RFC 7946, section 3.1.1) and the geodesic, computed
    /// with an independent geodesic library; s² tan φ / (8 N) agrees with it within 0.2 %.
    const GAPS: [(f64, f64, f64); 12] = [
        (15.0, 1.0, 0.005),
        (15.0, 5.0, 0.131),
        (15.0, 20.0, 2.100),
        (47.0, 1.0, 0.021),
        (47.0, 5.0, 0.524),
        (47.0, 20.0, 8.392),
        (60.0, 1.0, 0.034),
        (60.0, 5.0, 0.846),
        (60.0, 20.0, 13.544),
        (75.0, 1.0, 0.073),
        (75.0, 5.0, 1.823),
        (75.0, 20.0, 29.165),
    ];

    fn counts(degrees: f64) -> i32 {
        clamp_i32(crate::arithmetic::nearest(degrees * 1e7))
    }

    #[test]
    fn the_gap_along_a_parallel_is_the_known_one() {
        for (latitude, length, gap) in GAPS {
            let frame = Frame::new(Position::new(counts(latitude), 0).unwrap()).unwrap();
            let sine = latitude.to_radians().sin();
            let normal = 6_378_137.0 / (1.0 - 0.006_694_379_990_141_317 * sine * sine).sqrt();
            let half = (length * 500.0 / (normal * latitude.to_radians().cos())).to_degrees();
            let end = |east: f64| frame.local(Position::new(counts(latitude), counts(east)).unwrap()).unwrap();
            let apart = f64::from(clamp_i32(apart_ceil(&frame, end(-half), end(half)))) / 1e3;
            assert!(apart >= gap - 0.0005, "{latitude} {length}: {apart} < {gap}");
            assert!(apart <= gap * 1.1 + 0.01, "{latitude} {length}: {apart} > {gap}");
        }
    }

    #[test]
    fn the_samples_see_nearly_all_of_any_cubic() {
        let at = |part: f64, one: f64, other: f64| (part * (1.0 - part) * (one + other * part)).abs();
        let whole = f64::from(WHOLE);
        for turn in 0..2000 {
            let (one, other) = (f64::from(turn) / 2000.0 * std::f64::consts::PI).sin_cos();
            let seen = SAMPLES.iter().map(|(part, _)| at(f64::from(*part) / whole, one, other)).fold(0.0, f64::max);
            let most = (0..1000).map(|step| at(f64::from(step) / 1000.0, one, other)).fold(0.0, f64::max);
            assert!(most <= seen * (1.0 + 1.0 / 30.0), "{most} of {seen} for {one}, {other}");
        }
        assert!(SAMPLES.iter().all(|(part, share)| {
            let part = f64::from(*part) / whole;
            (4.0 * part * (1.0 - part) * 16.0 - f64::from(i32::try_from(*share).unwrap())).abs() < 1e-9
        }));
    }

    /// The distance apart in m of the readings between two places, in degrees north and east of a launch point on the equator.
    fn apart_from_the_equator(from: (f64, f64), to: (f64, f64)) -> f64 {
        let frame = Frame::new(Position::new(0, 0).unwrap()).unwrap();
        let end = |(north, east): (f64, f64)| frame.local(Position::new(counts(north), counts(east)).unwrap()).unwrap();
        f64::from(clamp_i32(apart_ceil(&frame, end(from), end(to)))) / 1e3
    }

    /// A meridian is a geodesic and straight in longitude and latitude: only its chord in the tangent plane is apart from it.
    /// 0.359 degrees east of launch its middle is a sin 0.359 = 39,963.6 m away in that plane, its ends, 0.2713 degrees north and
    /// south, cos 0.2713 (1 + e² sin² 0.2713 / 2) of that: 0.445 m less.
    #[test]
    fn a_meridian_has_two_readings() {
        let apart = apart_from_the_equator((-0.2713, 0.359), (0.2713, 0.359));
        assert!((0.445..=0.445 * 1.1 + 0.01).contains(&apart), "{apart}");
    }

    /// 40 km along a parallel 0.4 degrees north of a launch on the equator: s² tan φ / (8 N) = 0.219 m between the geodesic, north
    /// of it, and the parallel, which is straight in the tangent plane.
    #[test]
    fn a_geodesic_bulges_away_from_launch() {
        let half = 20_000.0 / (6_378_137.0 * 0.4_f64.to_radians().cos());
        let apart = apart_from_the_equator((0.4, -half.to_degrees()), (0.4, half.to_degrees()));
        let gap = 40_000_f64.powi(2) * 0.4_f64.to_radians().tan() / (8.0 * 6_378_137.0);
        assert!((gap - 0.0005..=gap * 1.1 + 0.01).contains(&apart), "{apart} for {gap}");
    }

    /// Lines over the equator turn one way and then the other: they are farthest from their chord between two samples.
    #[test]
    fn a_line_over_the_equator_is_nowhere_farther_from_its_chord_than_is_said() {
        let launch = Position::new(2_000_000, 0).unwrap();
        let frame = Frame::new(launch).unwrap();
        let end = |bearing: i32| {
            let (sine, cosine) = f64::from(bearing).to_radians().sin_cos();
            frame.local(launch.offset(counts(cosine * 0.44), counts(sine * 0.44)).unwrap()).unwrap()
        };
        for (one, other) in (0..72).flat_map(|one| (0..one).map(move |other| (one * 5, other * 5))) {
            let (from, to) = (end(one), end(other));
            let chord = Chord::new(frame.plane(from), frame.plane(to));
            let off = |part: Part| {
                let point = frame.plane(point_between(from, to, part));
                height_near(chord.area_to(point), chord.length_squared).abs()
            };
            let (most, apart) = ((1..128).map(|number| off(WHOLE / 128 * number)).max(), apart_ceil(&frame, from, to));
            assert!(most.is_some_and(|most| most <= apart), "{most:?} of {apart} mm, bearings {one} and {other}");
        }
    }

    #[test]
    fn a_leg_without_length_has_one_reading() {
        let frame = Frame::new(Position::new(0, 0).unwrap()).unwrap();
        let point = Point { x: 1600, y: -1600 };
        assert_eq!(apart_ceil(&frame, point, point), 0);
    }

    #[test]
    fn a_part_of_a_line_is_rounded_to_the_nearest() {
        let (a, b) = (Point { x: 0, y: 3 }, Point { x: 3, y: 0 });
        assert_eq!(point_between(a, b, WHOLE / 2), Point { x: 2, y: 2 });
        assert_eq!(point_between(a, b, 0), a);
        assert_eq!(point_between(a, b, WHOLE), b);
    }
}
