//! A piece of path with what the rules ask of it again and again.

use crate::{
    arithmetic::{
        bounded_product, clamp_i32, clamp_i64, divide_ceil, divide_floor, divisor, product, square_root_ceil,
    },
    geometry::{
        frame::Frame,
        plane::{Chord, PART_BITS, Part, PlanePoint, WHOLE},
        predicate::Point,
        separation::Line,
        straightness::{BOW_FINE, apart_ceil},
    },
    model::path::{Motion, Piece},
    verdict::{Finding, Measure, Place, Rule, Unit},
};

/// A piece of path, measured.
pub(crate) struct Leg {
    pub(crate) step: u16,
    pub(crate) piece: Piece,
    pub(crate) line: Line,
    /// How far apart the readings of "straight" are, mm, rounded up.
    pub(crate) apart: i64,
    /// Length over ground, mm: a lower and an upper bound for every reading of "straight".
    pub(crate) length_floor: i64,
    pub(crate) length_ceil: i64,
}

impl Leg {
    pub(crate) fn new(frame: &Frame, step: u16, piece: Piece) -> Self {
        let line = Line::new(frame, piece.from.place, piece.to.place);
        let apart = apart_ceil(frame, piece.from.place, piece.to.place);
        let (length_floor, length_ceil) = lengths(line);
        Self { step, piece, line, apart, length_floor, length_ceil }
    }

    /// Change of height, 0.01 m.
    pub(crate) const fn rise(&self) -> i32 {
        self.piece.to.height.saturating_sub(self.piece.from.height)
    }

    pub(crate) fn lowest(&self) -> i32 {
        self.piece.from.height.min(self.piece.to.height)
    }

    pub(crate) fn highest(&self) -> i32 {
        self.piece.from.height.max(self.piece.to.height)
    }

    /// Whether the aircraft stays where the leg before ended: nothing about space can be tighter than it was there.
    pub(crate) fn stays(&self) -> bool {
        self.piece.motion == Motion::Hold
    }

    /// The vertical rate that a fly leg asks for, held to a limit (0.01 m/s); `None` where it has no length or no speed.
    ///
    /// |rise| x speed / length, with the length rounded down, rounded up: above the true rate by at most
    /// 0.01 m/s + (0.01 % + 4 mm / length) of it.
    pub(crate) fn rate_finding(&self, rule: Rule, limit: i32) -> Option<Finding> {
        let level = self.piece.motion != Motion::Fly || self.piece.from.place == self.piece.to.place;
        if level || self.piece.speed <= 0 {
            return None;
        }
        let change = u64::from(self.rise().unsigned_abs()).saturating_mul(10);
        let flow = change.saturating_mul(u64::from(self.piece.speed.unsigned_abs()));
        let rate = clamp_i32(clamp_i64(divide_ceil(flow, divisor(self.length_floor.unsigned_abs()))));
        let measure = Measure { clearance: limit.saturating_sub(rate), required: 0, unit: Unit::MetresPerSecond };
        Some(Finding::measured(rule, self.step, measure))
    }

    /// How far apart the readings of a straight way home from anywhere on the leg can be, mm, rounded up.
    ///
    /// A way of length L bows by at most b = κ L² / 8 (see [`crate::geometry::straightness`]; a geodesic through launch is
    /// straight in the tangent plane). How far apart its readings really are depends on its bearing α as b sin α (1 + cos² α):
    /// that changes by no more than 2 b for each radian, and by no more than 2 b / L for each mm that the way's end moves. Where
    /// b matters, the ways from both ends and from places between are measured, and what lies between two of them is told from
    /// the longer one by the angle between the two, from the nearer one by how far it is, or from the length of the longer one:
    /// whichever says least.
    pub(crate) fn home_apart_ceil(&self, frame: &Frame) -> i64 {
        /// Places for a leg that is as long as the way, and the most of them.
        const PLACES: (u64, u64) = (48, 64);
        let away = |end: PlanePoint| end.minus(PlanePoint::ORIGIN).length_squared();
        let far = away(self.line.chord.from).max(away(self.line.chord.to));
        let bow = if far == 0 { 0 } else { frame.bow_ceil(far) };
        if bow <= BOW_FINE {
            return bow;
        }
        let (length, way) = (self.length_ceil.unsigned_abs(), divisor(far.isqrt()));
        let parts = divide_ceil(length.saturating_mul(PLACES.0), way).max(1).min(PLACES.1);
        let measure = |number: u64| {
            let part = divide_floor(u64::from(WHOLE).saturating_mul(number), divisor(parts));
            let end = self.point(u32::try_from(part).unwrap_or(WHOLE));
            let plane = frame.plane(end);
            (plane, away(plane), apart_ceil(frame, Point { x: 0, y: 0 }, end))
        };
        // Half the way between two places, by 2 b / L for each mm of it.
        let step = divide_ceil(bow.unsigned_abs().saturating_mul(length), way);
        let step = clamp_i64(divide_ceil(step, divisor(parts)));
        let twice = bow.saturating_mul(2).unsigned_abs();
        let (mut before, mut most) = (measure(0), 0);
        for next in (1..=parts).map(measure) {
            let longer = if before.1 >= next.1 { before.2 } else { next.2 };
            let by_angle = longer.saturating_add(clamp_i64(tangent_share_ceil(before.0, next.0, twice)));
            let by_length = frame.bow_ceil(before.1.max(next.1));
            most = most.max(by_angle.min(before.2.max(next.2).saturating_add(step)).min(by_length));
            before = next;
        }
        most.min(bow)
    }

    /// The greatest distance through the air from a place at launch height, 0.01 m, rounded up, and whether it is at the end.
    ///
    /// It is reached at an end, whichever way "straight" is read: where a share s of the leg is covered, the square of the
    /// distance to its chord is s (1 - s) L² below that between the squares at the ends, so the distance is at least
    /// s (1 - s) L² / (2 D) below the larger one, D; and a line of curvature κ is at most κ L² s (1 - s) / 2 beside the chord,
    /// which is less as long as κ D is below 1 (with a height that is linear along the line: 0.8). Within 100 km below 80
    /// degrees κ D is below 0.11.
    pub(crate) fn slant_ceil(&self, from: PlanePoint) -> (i64, bool) {
        let slant = |place: PlanePoint, height: i32| {
            let over_ground = clamp_i32(from.distance_ceil(place).saturating_add(9) / 10);
            let squares = product(over_ground, over_ground).saturating_add(product(height, height));
            clamp_i64(square_root_ceil(squares.unsigned_abs()))
        };
        let start = slant(self.line.chord.from, self.piece.from.height);
        let end = slant(self.line.chord.to, self.piece.to.height);
        (start.max(end), end >= start)
    }

    /// The height that part of the way along, rounded down.
    pub(crate) fn height_at(&self, part: Part) -> i32 {
        let rise = bounded_product(i64::from(self.rise()), clamp_i32(i64::from(part))) >> PART_BITS;
        clamp_i32(i64::from(self.piece.from.height).saturating_add(rise))
    }

    /// The beginning or the end.
    pub(crate) const fn end_part(&self, end: bool) -> Part {
        if end { WHOLE } else { 0 }
    }

    /// The place that part of the way along, to tell a person.
    pub(crate) fn place(&self, frame: &Frame, part: Part) -> Place {
        Place { position: frame.position(self.point(part)), height: self.height_at(part) }
    }
}

/// The tangent of the angle between two points seen from launch, times `value`, rounded up: above the angle itself. The largest
/// number where the angle isn't acute; 0 where there is none, as from launch itself.
fn tangent_share_ceil(one: PlanePoint, other: PlanePoint, value: u64) -> u64 {
    let (across, along) = Chord::new(PlanePoint::ORIGIN, one).across_and_along(other);
    // Cut to 38 bits: what is cut off is a part in 2^28 of what matters here.
    let cut = |value: i64| value.unsigned_abs() >> 20;
    if across == 0 {
        0
    } else if along <= 0 {
        u64::MAX
    } else {
        divide_ceil(cut(across).saturating_add(1).saturating_mul(value), divisor(cut(along)))
    }
}

/// Bounds of the length over ground, mm.
///
/// Plane chord L; below: rounding of two ends. Above: the projection takes at most 4.3e-5 (2^-14 is 6.1e-5), and a curve of
/// curvature κ is at most L (κ L)² / 24 longer than its chord, which is 8/3 bow² / L.
fn lengths(line: Line) -> (i64, i64) {
    if line.from == line.to {
        return (0, 0);
    }
    let chord = clamp_i64(line.chord.length_squared.isqrt());
    let bow = line.bow.unsigned_abs();
    let curve = clamp_i64(divide_ceil(bow.saturating_mul(bow).saturating_mul(3), divisor(chord.unsigned_abs())));
    (chord.saturating_sub(3).max(0), chord.saturating_add(chord >> 14).saturating_add(curve).saturating_add(4))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{geometry::position::Position, model::path::Spot};

    fn frame(latitude: i32) -> Frame {
        Frame::new(Position::new(latitude, 0).unwrap()).unwrap()
    }

    /// A leg between two places in counts of 1e-7 degree, with heights in 0.01 m.
    fn leg(frame: &Frame, from: (i32, i32), to: (i32, i32), heights: (i32, i32), speed: i32) -> Leg {
        let spot = |(x, y): (i32, i32), height: i32| Spot {
            place: Point { x: x.saturating_mul(16), y: y.saturating_mul(16) },
            height,
        };
        let (from, to) = (spot(from, heights.0), spot(to, heights.1));
        Leg::new(frame, 1, Piece { motion: Motion::Fly, from, to, speed, margin_speed: speed, time: 0 })
    }

    #[test]
    fn a_length_is_between_its_bounds() {
        // On the equator 10,000 counts east are 111,319.49 mm.
        let short = leg(&frame(0), (0, 0), (10_000, 0), (0, 0), 100);
        assert!((111_314..=111_319).contains(&short.length_floor), "{}", short.length_floor);
        assert!((111_320..=111_333).contains(&short.length_ceil), "{}", short.length_ceil);
        // 5 degrees of the parallel of 79.9 degrees: N cos φ x 5 degrees, N = 6,378,137 / √(1 - e² sin² φ), are 97.9 km; their
        // chord is 29 m shorter, of which a projection could explain 6 m.
        let sine = 79.9_f64.to_radians().sin();
        let normal = 6_378_137.0 / (1.0 - 0.006_694_379_990_141_317 * sine * sine).sqrt();
        let arc = normal * 79.9_f64.to_radians().cos() * 5_f64.to_radians() * 1e3;
        let long = leg(&frame(799_000_000), (-25_000_000, 0), (25_000_000, 0), (0, 0), 100);
        assert!(f64::from(i32::try_from(long.length_ceil).unwrap()) >= arc, "{} for {arc}", long.length_ceil);
        assert!(f64::from(i32::try_from(long.length_floor).unwrap()) <= arc, "{} for {arc}", long.length_floor);
    }

    #[test]
    fn the_far_end_through_the_air_is_told() {
        let frame = frame(0);
        let slant = |from, to, heights| leg(&frame, from, to, heights, 100).slant_ceil(PlanePoint::ORIGIN);
        // 300 m over ground and 400 m up are 500 m.
        let (metres_300, metres_100) = ((26_949, 0), (8983, 0));
        let (far, at_end) = slant(metres_300, metres_100, (40_000, 0));
        assert!((50_000..=50_003).contains(&far) && !at_end, "{far}");
        let (far, at_end) = slant(metres_100, metres_300, (0, 40_000));
        assert!((50_000..=50_003).contains(&far) && at_end, "{far}");
        assert!(slant(metres_300, metres_300, (40_000, 40_000)).1, "of two equal ones the later");
    }

    #[test]
    fn a_leg_without_speed_has_no_rate() {
        let frame = frame(0);
        let rate = |speed: i32| leg(&frame, (0, 0), (10_000, 0), (0, 1000), speed).rate_finding(Rule::ClimbRate, 300);
        assert!(rate(0).is_none() && rate(-1).is_none() && rate(1).is_some());
    }

    #[test]
    fn a_tangent_is_rounded_up() {
        let share = |one: (i32, i32), other: (i32, i32)| {
            let [one, other] = [one, other].map(|(east, north)| PlanePoint { east, north });
            tangent_share_ceil(one, other, 1_000_000)
        };
        let far = 10_000_000;
        assert!((1_000_000..=1_000_002).contains(&share((far, 0), (far, far))));
        assert!((750_000..=750_002).contains(&share((0, far), (-3 * far / 4, far))));
        assert_eq!(share((far, 0), (2 * far, 0)), 0, "in line");
        assert_eq!((share((far, 0), (0, far)), share((far, 0), (-far, 1))), (u64::MAX, u64::MAX), "not acute");
        assert_eq!(share((0, 0), (far, far)), 0, "from launch itself");
        assert!(share((10_000, 0), (far, 1)) > 0, "never less than it is");
        assert_eq!(share((far, 0), (far, 1)), 1, "a tenth counts as one");
    }

    /// The ways home from a leg are read differently by no less than those from any place of it, and by little more.
    #[test]
    fn ways_home_are_apart_as_those_from_every_place_are() {
        let frame = frame(600_000_000);
        // Up to 45 km from launch at 60 degrees: a count is 5.58 mm east and 11.14 mm north.
        for (from, to) in [
            ((7_000_000, 500_000), (7_000_000, -3_000_000)),
            ((-7_000_000, 500_000), (7_000_000, 600_000)),
            ((-4_000_000, 3_000_000), (4_000_000, 3_000_000)),
            ((300_000, 100_000), (6_000_000, 2_000_000)),
            ((6_000_000, 1_000), (6_000_100, 0)),
            ((100, 100), (6_000_000, -2_500_000)),
            ((-100_000, 3_500_000), (50_000, -3_500_000)),
            ((900_000, 0), (0, 900_000)),
            ((0, 0), (3_000_000, 3_000_000)),
        ] {
            for (from, to) in [(from, to), (to, from)] {
                let leg = leg(&frame, from, to, (0, 0), 100);
                let way = |number: u32| apart_ceil(&frame, Point { x: 0, y: 0 }, leg.point(WHOLE / 4096 * number));
                let most = (0..=4096).map(way).max().unwrap();
                let told = leg.home_apart_ceil(&frame);
                assert!(told >= most && told <= most + most / 32 + 60, "{told} for {most}, {from:?} to {to:?}");
            }
        }
        assert_eq!(leg(&frame, (0, 0), (0, 0), (0, 1000), 0).home_apart_ceil(&frame), 0, "above launch");
        let near = leg(&frame, (100, 0), (0, 100), (0, 0), 100);
        assert_eq!(near.home_apart_ceil(&frame), 1, "a metre away");
    }
}
