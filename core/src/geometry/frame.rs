//! The launch point's own coordinates: exact differences for topology, a tangent plane for distances.
//!
//! # From the ellipsoid to the plane
//! A point's *plane* coordinates are the east and north components of its position in space (on the ellipsoid at height 0)
//! as seen from the launch point: the orthogonal projection onto the plane that touches the ellipsoid there. A projection
//! never lengthens, a chord is never longer than an arc, so for any two points
//!
//! > distance in the plane <= straight line through the Earth <= geodesic.
//!
//! A distance in the plane is thus a lower bound of the geodesic one, whatever the direction, with no formula to trust.
//! Within 50 km of launch the plane's normal and the ellipsoid's differ by at most 50 km / 6335 km = 0.0079 rad, so the
//! projection shortens by at most 1 - cos 0.0079 = 3.2e-5, the chord by at most (100 km)² / (24 R²) = 1.1e-5.
//!
//! # Error budget of `Frame::plane`
//! With φ the latitude, λ the longitude less that of launch, ρ(φ) the radius of the parallel and z(φ) the distance from the
//! equatorial plane: east = ρ sin λ, north = (z - z₀) cos φ₀ - (ρ - ρ₀) sin φ₀ + ρ sin φ₀ (1 - cos λ).
//! ρ and the part of north that depends on φ alone are polynomials of degree 4 and 5 through five exact values (libm, once);
//! what is left out is below 0.002 mm. sin λ and cos λ are cut after λ⁵ and λ⁴: below 0.02 mm and 0.02 mm within 50 km below
//! 80 degrees. Fixed-point steps lose below 0.05 mm each, the last rounding 0.5 mm. Together below 0.8 mm a coordinate
//! (measured against the formulas in f64: [`Frame::PLANE_ERROR`]).
//!
//! All distances are on the ellipsoid at height 0. At an elevation of h they are longer by h / R, 0.016 % for each kilometre:
//! clearances stay lower bounds there, lengths are below those flown by as much.
//!
//! Sources: WGS 84 defining constants a and 1/f; radii of curvature from the GDA2020 Technical Manual, eqs. C-14, C-15.

use super::{plane::PlanePoint, position::Position, predicate::Point};
use crate::arithmetic::{bounded_product, ceil, clamp_i32, clamp_i64, divide_ceil, divisor, floor, nearest, product};

/// WGS 84 semi-major axis, m (defining).
const SEMI_MAJOR: f64 = 6_378_137.0;
/// WGS 84 flattening (defining: 1/298.257223563).
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// First eccentricity squared.
const ECCENTRICITY_SQUARED: f64 = FLATTENING * (2.0 - FLATTENING);
/// Smallest radius of curvature of the ellipsoid: that of the meridian at the equator, m.
const SMALLEST_RADIUS: f64 = SEMI_MAJOR * (1.0 - ECCENTRICITY_SQUARED);
/// Sixteenths in one count of 1e-7 degree: the grid that parts of legs are rounded to.
pub(crate) const FINE: i32 = 16;
/// One sixteenth of 1e-7 degree, rad.
const STEP: f64 = core::f64::consts::PI / 180.0 * 1e-7 / 16.0;
/// Half the span of latitudes that the polynomials are fitted over, in sixteenths: 0.42 degrees.
const FIT: f64 = (1_u32 << FIT_BITS) as f64;
const FIT_BITS: u32 = 26;
/// Latitudes that anything within 50 km of launch can have, and some more: 0.47 degrees, rad (52 km).
const SPAN: f64 = 0.47 * core::f64::consts::PI / 180.0;

/// Coordinates about a launch point. See the module's text.
#[derive(Clone, Debug)]
pub struct Frame {
    launch: Position,
    /// ρ in mm per sixteenth, times 2^34: polynomial in latitude.
    parallel: [i64; 5],
    /// Northing by latitude in mm per sixteenth, times 2^34: polynomial in latitude.
    meridian: [i64; 5],
    /// λ²: 2^90 for one sixteenth squared.
    turn_squared: i32,
    /// sin φ₀ λ / 2: 2^62 for one sixteenth.
    lift: i32,
    /// Fewest mm in a sixteenth of longitude and of latitude within 52 km, times 2^24.
    least: [i32; 2],
    /// An eighth of the largest curvature of a line straight in longitude and latitude, per mm, times 2^61.
    bend: i32,
}

impl Frame {
    /// Latitudes from here on are out (exclusive).
    pub const LATITUDE_LIMIT: i32 = 800_000_000;
    /// Longitude and latitude differences from here on are surely beyond 50 km, in 1e-7 degree.
    pub(crate) const BOX: [i32; 2] = [1 << 25, 1 << 23];
    /// Largest error of a plane coordinate within 50 km of launch, mm.
    pub const PLANE_ERROR: i64 = 1;

    /// The frame about `launch`, or `None` at 80 degrees of latitude and beyond.
    #[must_use]
    #[inline(never)]
    pub fn new(launch: Position) -> Option<Self> {
        if !within_latitude(launch) {
            return None;
        }
        let latitude = f64::from(launch.latitude.get()) * STEP * f64::from(FINE);
        let (sine, cosine) = (libm::sin(latitude), libm::cos(latitude));
        let here = Meridian::at(latitude);
        let parallel = |step: f64| Meridian::at(latitude + step * STEP).radius * STEP;
        let meridian = |step: f64| {
            let there = Meridian::at(latitude + step * STEP);
            ((there.height - here.height) * cosine - (there.radius - here.radius) * sine) / step
        };
        let highest = libm::fabs(latitude) + SPAN;
        Some(Self {
            launch,
            parallel: fit(parallel, parallel(0.0)),
            meridian: fit(meridian, meridian_radius(latitude) * STEP),
            turn_squared: clamp_i32(nearest(STEP * STEP * power_of_two(90))),
            lift: clamp_i32(nearest(sine / 2.0 * STEP * power_of_two(62))),
            least: [Meridian::at(highest).radius, SMALLEST_RADIUS]
                .map(|radius| clamp_i32(floor(radius * STEP * 1e3 * power_of_two(24) * (1.0 - 1e-6)))),
            bend: clamp_i32(ceil(largest_curvature(highest) / 8.0 / 1e3 * power_of_two(61))),
        })
    }

    /// The launch point.
    #[must_use]
    pub const fn launch(&self) -> Position {
        self.launch
    }

    /// `position` as the exact difference from launch, or `None` where it is surely beyond 50 km or not below 80 degrees.
    #[must_use]
    pub fn local(&self, position: Position) -> Option<Point> {
        let (x, y) = (position.east_of(self.launch), position.north_of(self.launch));
        let [wide, high] = Self::BOX;
        let inside = x.unsigned_abs() < wide.unsigned_abs() && y.unsigned_abs() < high.unsigned_abs();
        (inside && within_latitude(position)).then(|| Point { x: x.saturating_mul(FINE), y: y.saturating_mul(FINE) })
    }

    /// The position of a local point, to the nearest 1e-7 degree towards launch.
    pub(crate) fn position(&self, point: Point) -> Position {
        self.launch.offset(point.y / FINE, point.x / FINE).unwrap_or(self.launch)
    }

    /// Where a local point lies in the tangent plane. Unit: mm; error at most [`Self::PLANE_ERROR`] a coordinate within 50 km.
    #[inline(never)]
    pub(crate) fn plane(&self, point: Point) -> PlanePoint {
        // 1/64 mm until the last line.
        let arc = bounded_product(polynomial(&self.parallel, point.y), point.x) >> 28;
        let turn_squared = bounded_product(product(point.x, point.x) >> 26, self.turn_squared) >> 32;
        let turn_squared = clamp_i32(turn_squared);
        let shrink = i64::from(turn_squared / 6).saturating_sub((product(turn_squared, turn_squared) >> 32) / 120);
        let east = arc.saturating_sub(bounded_product(arc, clamp_i32(shrink)) >> 32);
        let rise = bounded_product(arc, clamp_i32(product(point.x, self.lift) >> 31)) >> 31;
        let rise = rise.saturating_sub(bounded_product(rise, turn_squared / 12) >> 32);
        let along = bounded_product(polynomial(&self.meridian, point.y), point.y) >> 28;
        PlanePoint { east: whole(east), north: whole(along.saturating_add(rise)) }
    }

    /// How many counts of 1e-7 degree of longitude and of latitude `distance` (mm) is at most, within 52 km of launch. Rounded up.
    pub(crate) fn counts_ceil(&self, distance: i64) -> [i32; 2] {
        let distance = distance.clamp(0, 1 << 37).unsigned_abs();
        self.least.map(|least| {
            let least = u64::from(least.unsigned_abs()).saturating_mul(u64::from(FINE.unsigned_abs()));
            clamp_i32(clamp_i64(divide_ceil(distance << 24, divisor(least))).saturating_add(1))
        })
    }

    /// How far a line straight in longitude and latitude can be from the chord between its ends in the plane: see
    /// [`super::straightness`]. Unit: mm, rounded up. Domain: ends within 50 km of launch.
    pub(crate) fn bow_ceil(&self, length_squared: u64) -> i64 {
        let squares = (length_squared >> 20).min(1 << 34).cast_signed().saturating_add(1);
        (bounded_product(squares, self.bend) >> 41).saturating_add(1)
    }

    /// By what angle a line straight in longitude and latitude, or true north along any line, can turn over `distance` (mm):
    /// the largest curvature times that. Unit: 2^-30 rad, rounded up. Domain: within 50 km of launch, distances up to 2^28.
    pub(crate) fn turn_ceil(&self, distance: i64) -> i32 {
        clamp_i32(bounded_product(distance, self.bend) >> 28).saturating_add(1)
    }
}

/// Whether a position is below 80 degrees of latitude.
const fn within_latitude(position: Position) -> bool {
    position.latitude.get().unsigned_abs() < Frame::LATITUDE_LIMIT.unsigned_abs()
}

/// A point of the meridian ellipse: distances from the Earth's axis and from the equatorial plane, m.
struct Meridian {
    radius: f64,
    height: f64,
}

impl Meridian {
    #[inline(never)]
    fn at(latitude: f64) -> Self {
        let (sine, cosine) = (libm::sin(latitude), libm::cos(latitude));
        let normal = SEMI_MAJOR / libm::sqrt(1.0 - ECCENTRICITY_SQUARED * sine * sine);
        Self { radius: normal * cosine, height: normal * (1.0 - ECCENTRICITY_SQUARED) * sine }
    }
}

/// Radius of curvature of the meridian, m.
fn meridian_radius(latitude: f64) -> f64 {
    let sine = libm::sin(latitude);
    let share = 1.0 - ECCENTRICITY_SQUARED * sine * sine;
    SMALLEST_RADIUS / (share * libm::sqrt(share))
}

/// Largest curvature in the plane, per m, of a line straight in longitude and latitude up to this latitude and 52 km from launch.
/// The derivation is in [`super::straightness`].
fn largest_curvature(latitude: f64) -> f64 {
    1.10 * libm::tan(latitude) / SEMI_MAJOR + 1.01 * 52_000.0 / (SMALLEST_RADIUS * SMALLEST_RADIUS)
}

/// Powers of two as factors.
fn power_of_two(exponent: i32) -> f64 {
    libm::ldexp(1.0, exponent)
}

/// The polynomial of degree 4 through `function` (m) at five places, as fixed-point coefficients (mm times 2^34) of step / FIT.
#[inline(never)]
fn fit(function: impl Fn(f64) -> f64, middle: f64) -> [i64; 5] {
    let [low, half_low, half_high, high] = [-FIT, -FIT / 2.0, FIT / 2.0, FIT].map(function);
    let (odd, odd_half) = ((high - low) / 2.0, (half_high - half_low) / 2.0);
    let (even, even_half) = ((high + low) / 2.0 - middle, (half_high + half_low) / 2.0 - middle);
    let third = (odd - 2.0 * odd_half) * 4.0 / 3.0;
    let fourth = (even - 4.0 * even_half) * 4.0 / 3.0;
    [middle, odd - third, even - fourth, third, fourth].map(|c| nearest(c * 1e3 * power_of_two(34)))
}

/// The value of a fitted polynomial at `step`. At most 2^34 times a power of (step / FIT), which is below 2.
fn polynomial(coefficients: &[i64; 5], step: i32) -> i64 {
    coefficients
        .iter()
        .rev()
        .fold(0, |sum, coefficient| (bounded_product(sum, step) >> FIT_BITS).saturating_add(*coefficient))
}

/// 1/64 mm to the nearest mm.
fn whole(fine: i64) -> i32 {
    clamp_i32(fine.saturating_add(32) >> 6)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{
        plane::{Chord, WHOLE},
        straightness::point_between,
    };

    /// The formulas of the module's text in f64.
    fn plane_by_formula(launch: Position, there: Position) -> (f64, f64) {
        let radians = |counts: i32| f64::from(counts) * 1e-7_f64.to_radians();
        let (here_latitude, latitude) = (radians(launch.latitude.get()), radians(there.latitude.get()));
        let turn = radians(there.east_of(launch));
        let (h, t) = (Meridian::at(here_latitude), Meridian::at(latitude));
        let (sine, cosine) = here_latitude.sin_cos();
        let east = t.radius * turn.sin();
        let north = (t.height - h.height) * cosine + sine * (h.radius - t.radius * turn.cos());
        (east * 1e3, north * 1e3)
    }

    #[test]
    fn the_plane_keeps_its_error_budget() {
        for latitude in (-799_000_000..=799_000_000).step_by(94_000_000) {
            let launch = Position::new(latitude, 1_799_000_000).unwrap();
            let frame = Frame::new(launch).unwrap();
            let wide = 50_000.0 / (111_320.0 * (f64::from(latitude) * 1e-7).to_radians().cos()) * 1e7;
            let wide = clamp_i32(nearest(wide));
            for north in (-4_500_000..=4_500_000).step_by(1_500_001) {
                for east in (-wide..=wide).step_by(usize::try_from(wide / 5).unwrap()) {
                    let Some(there) = launch.offset(north, east) else { continue };
                    let Some(local) = frame.local(there) else { continue };
                    let (plane, (e, n)) = (frame.plane(local), plane_by_formula(launch, there));
                    let error = (f64::from(plane.east) - e).abs().max((f64::from(plane.north) - n).abs());
                    assert!(error < 0.8, "{error} mm at {there:?} from {launch:?}");
                }
            }
        }
    }

    #[test]
    fn the_corners_of_the_box_do_not_wrap() {
        for latitude in [-799_999_999, 0, 799_999_999] {
            let launch = Position::new(latitude, 0).unwrap();
            let frame = Frame::new(launch).unwrap();
            let [x, y] = Frame::BOX.map(|side| (side - 1) * FINE);
            for corner in [Point { x, y }, Point { x: -x, y }, Point { x, y: -y }, Point { x: -x, y: -y }] {
                let plane = frame.plane(corner);
                assert!(plane.minus(PlanePoint::ORIGIN).length_squared() > 50_000_000_u64.pow(2), "{plane:?}");
            }
        }
    }

    #[test]
    fn eighty_degrees_is_out() {
        assert!(Frame::new(Position::new(800_000_000, 0).unwrap()).is_none());
        let frame = Frame::new(Position::new(799_999_999, 0).unwrap()).unwrap();
        assert!(frame.local(Position::new(800_000_000, 0).unwrap()).is_none());
    }

    #[test]
    fn from_the_box_on_a_place_is_out() {
        let (launch, [wide, high]) = (Position::new(0, 0).unwrap(), Frame::BOX);
        let frame = Frame::new(launch).unwrap();
        let reached = |north: i32, east: i32| frame.local(launch.offset(north, east).unwrap()).is_some();
        assert!(reached(high - 1, wide - 1) && reached(1 - high, 1 - wide));
        assert!(![(high, 0), (-high, 0), (0, wide), (0, -wide)].into_iter().any(|(north, east)| reached(north, east)));
    }

    #[test]
    fn a_local_point_is_where_it_came_from() {
        let frame = Frame::new(Position::new(450_000_000, 1_799_999_990).unwrap()).unwrap();
        let there = Position::new(450_001_234, -1_799_994_000).unwrap();
        let point = frame.local(there).unwrap();
        assert_eq!(point, Point { x: 6010 * FINE, y: 1234 * FINE });
        assert_eq!(frame.position(point), there);
        let between = Point { x: point.x + FINE - 1, y: point.y + FINE - 1 };
        assert_eq!(frame.position(between), there, "towards launch");
    }

    /// The ellipsoid's least radius of curvature, a (1 - e²) = 6,335,439.327 m (WGS 84, the meridian's at the equator).
    #[test]
    fn counts_are_enough_for_a_distance_and_few_more() {
        let frame = Frame::new(Position::new(0, 0).unwrap()).unwrap();
        let count = 6_335_439.327_f64.to_radians() * 1e-4;
        assert!(
            f64::from(frame.least[1]) <= count / 16.0 * 2_f64.powi(24),
            "mm in a sixteenth, not above the true ones"
        );
        for distance in [1, 11, 12, 1_000, 1_000_000, 100_000_000] {
            let (exact, [_, north]) = (f64::from(distance) / count, frame.counts_ceil(i64::from(distance)));
            assert!(
                f64::from(north) >= exact && f64::from(north) <= exact * (1.0 + 2e-6) + 2.0,
                "{north}, not {exact}"
            );
        }
    }

    #[test]
    fn a_line_stays_within_its_bow() {
        const SIDE: [f64; 5] = [-34_000.0, -12_000.0, 0.0, 12_001.0, 34_000.0];
        for latitude in [-799_000_000, -600_000_000, -3_000_000, 0, 15_000_000, 470_000_000, 799_000_000] {
            let launch = Position::new(latitude, 0).unwrap();
            let frame = Frame::new(launch).unwrap();
            let wide = (f64::from(latitude) * 1e-7).to_radians().cos();
            let point = |east: f64, north: f64| {
                frame.local(launch.offset(metres_to_counts(north), metres_to_counts(east / wide)).unwrap())
            };
            let all = || SIDE.into_iter().flat_map(|east| SIDE.map(|north| (east, north)));
            for (a, b) in all().flat_map(|a| all().map(move |b| (a, b))) {
                // Those from 80 degrees on are out.
                let (Some(from), Some(to)) = (point(a.0, a.1), point(b.0, b.1)) else { continue };
                let chord = Chord::new(frame.plane(from), frame.plane(to));
                let bow = frame.bow_ceil(chord.length_squared);
                for eighth in 1..8 {
                    let off = chord.distance_floor(frame.plane(point_between(from, to, WHOLE / 8 * eighth)));
                    assert!(off <= bow + 2, "{off} mm where {bow} mm are most, {from:?} to {to:?} from {launch:?}");
                }
            }
        }
        let frame = Frame::new(Position::new(450_000_000, 0).unwrap()).unwrap();
        assert!(frame.bow_ceil(1_000_000) > 0, "not even a metre is straight");
    }

    fn metres_to_counts(metres: f64) -> i32 {
        clamp_i32(nearest(metres / 111_320.0 * 1e7))
    }

    /// Along a parallel true north turns by tan φ / N for each metre: at 60 degrees N = 6,394,209.17 m, in a kilometre 55.87".
    #[test]
    fn true_north_turns_no_more_than_is_said() {
        let frame = Frame::new(Position::new(600_000_000, 0).unwrap()).unwrap();
        let exact = 1000.0 * 3_f64.sqrt() / 6_394_209.17 * 2_f64.powi(30);
        let turned = f64::from(frame.turn_ceil(1_000_000));
        assert!(turned >= exact && turned <= exact * 1.15, "{turned} for {exact}");
        assert!(frame.turn_ceil(1) > 0);
    }

    #[test]
    fn a_polynomial_of_the_fourth_degree_is_found_again() {
        let function = |step: f64| [5.0, -4.0, 3.0, -2.0, 1.0].into_iter().fold(0.0, |sum, c| sum * (step / FIT) + c);
        assert_eq!(fit(function, 1.0), [1, -2, 3, -4, 5].map(|c: i64| c * (1000 << 34)));
    }
}
