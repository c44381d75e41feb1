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
