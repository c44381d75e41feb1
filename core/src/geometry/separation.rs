//! The distance of a part of a route from a zone's edges: a guaranteed lower bound.
//!
//! # Why the bound is one
//! Both the leg and the edge are straight in longitude and latitude. In the tangent plane (see [`super::frame`]) each
//! lies within its *bow* of the chord between its ends, so
//!
//! > geodesic distance >= distance of the two chords - bow of the leg - bow of the edge - rounding of the four ends.
//!
//! Where the bows are more than `BOW_FINE` + (distance less the radius of a circle) / 4096, the one with the larger bow
//! is halved (exactly, but for rounding its middle to a sixteenth of 1e-7 degree, 0.7 mm at most) and both halves are
//! taken: bows shrink by four each time. Every piece gives a lower bound for its part, so stopping early, as the
//! bounded work list does, costs only tightness.
//!
//! # Error budget
//! Bows 2 x (8 mm + distance / 4096), rounding of the ends and middles 4.2 mm at worst (`END_ERROR` is taken off for
//! it), chord distance rounded down 1 mm, projection 4.3e-5 of the distance: in all below 30 mm + 0.06 % of the
//! distance. A circle's distance is measured to its centre: beyond 20 km of radius the projection alone takes more than
//! 5 cm. Edges whose box is farther away than the best distance so far are passed over: see `shape.rs` beside this.

use super::{
    frame::Frame,
    plane::{Chord, Nearest, PART_BITS, Part, WHOLE},
    predicate::Point,
    straightness::point_between,
};

/// Bows below this many mm are not worth halving for.
const BOW_FINE: i64 = 8;
/// What rounding of ends and middles can add to a distance in the plane, mm.
pub(crate) const END_ERROR: i64 = 5;
/// Pieces in the work list at most: each halving adds one. Nine halvings of a line of 100 km at 80 degrees make its bow
/// fine.
const LIST: usize = 19;
/// Pieces looked at for one edge at most: two lines of 20 km beside each other take some 600.
const WORK: usize = 1024;

/// A line straight in longitude and latitude with all that is asked of it again and again.
#[derive(Clone, Copy)]
pub(crate) struct Line {
    pub(crate) from: Point,
    pub(crate) to: Point,
    pub(crate) chord: Chord,
    pub(crate) bow: i64,
}

impl Line {
    pub(crate) fn new(frame: &Frame, from: Point, to: Point) -> Self {
        Self::between(frame, from, to, Chord::new(frame.plane(from), frame.plane(to)))
    }

    /// The line whose ends are already known in the plane.
    pub(crate) fn between(frame: &Frame, from: Point, to: Point, chord: Chord) -> Self {
        let bow = if from == to { 0 } else { frame.bow_ceil(chord.length_squared) };
        Self { from, to, chord, bow }
    }

    /// The two halves.
    fn halves(self, frame: &Frame) -> [Self; 2] {
        let middle = point_between(self.from, self.to, WHOLE / 2);
        [Self::new(frame, self.from, middle), Self::new(frame, middle, self.to)]
    }
}

/// A piece of the leg and of the edge. `start` and `size` say which part of the leg.
#[derive(Clone, Copy)]
struct Piece {
    leg: Line,
    edge: Line,
    start: Part,
    size: Part,
}

/// The smaller of `best` and a lower bound of the geodesic distance between `leg` and `edge`, in mm.
/// `radius` (mm) is what the caller will take off: 0 but for the centre of a circle.
/// May be negative (by a few mm) where they touch.
pub(crate) fn nearer_floor(frame: &Frame, leg: Line, edge: Line, radius: i64, best: Nearest) -> Nearest {
    let mut list: heapless::Vec<Piece, LIST> = heapless::Vec::new();
    let mut best = best;
    let mut next = Some(Piece { leg, edge, start: 0, size: WHOLE });
    let mut work = WORK;
    while let Some(piece) = next {
        work = work.saturating_sub(1);
        // Both halves of a piece go on the list. The list would say by itself that it is full, but not without a panic
        // that the linker sees.
        let room = work > 0 && list.len().saturating_add(2) <= LIST;
        best = examine(frame, piece, radius, best, room, &mut list);
        next = list.pop();
    }
    best
}

/// The square of a distance, mm²; 0 for a negative one, the largest number for one that is beyond all others.
pub(crate) const fn square_of(distance: i64) -> u64 {
    let distance = if distance < 0 { 0 } else { distance.unsigned_abs() };
    distance.saturating_mul(distance)
}

/// Takes a piece's lower bound into `best`, or puts its halves on the list where they can tell more.
fn examine(
    frame: &Frame, piece: Piece, radius: i64, best: Nearest, room: bool, list: &mut heapless::Vec<Piece, LIST>,
) -> Nearest {
    let bows = piece.leg.bow.saturating_add(piece.edge.bow);
    let taken_off = bows.saturating_add(END_ERROR);
    let news = square_of(best.distance.saturating_add(taken_off));
    // Boxes and squares first: most pieces are told from the nearest one without a root or a division.
    if piece.leg.chord.box_gap_squared(piece.edge.chord) >= news || piece.leg.chord.keeps(&piece.edge.chord, news) {
        return best;
    }
    let near = piece.leg.chord.separation_floor(piece.edge.chord);
    let bound = near.distance.saturating_sub(taken_off);
    if bound >= best.distance {
        return best;
    }
    let fine = bows <= BOW_FINE.saturating_add(near.distance.saturating_sub(radius).max(0) >> 12);
    if !fine && room && list.extend_from_slice(&halve(frame, piece)).is_ok() {
        return best;
    }
    let within = u64::from(near.part).saturating_mul(u64::from(piece.size)) >> PART_BITS;
    Nearest { distance: bound, part: piece.start.saturating_add(u32::try_from(within).unwrap_or(0)) }
}

/// The piece with the line that has the larger bow cut in two.
fn halve(frame: &Frame, piece: Piece) -> [Piece; 2] {
    if piece.leg.bow >= piece.edge.bow {
        let size = piece.size / 2;
        let [first, second] = piece.leg.halves(frame);
        [
            Piece { leg: first, size, ..piece },
            Piece { leg: second, start: piece.start.saturating_add(size), size, ..piece },
        ]
    } else {
        piece.edge.halves(frame).map(|edge| Piece { edge, ..piece })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::position::Position;

    #[test]
    fn the_nearest_place_is_found_along_a_line_in_pieces() {
        // 20 km along a parallel at 60 degrees bow 14 m: the line is halved again and again.
        let frame = Frame::new(Position::new(600_000_000, 0).unwrap()).unwrap();
        let half = 16 * 1_792_000;
        let leg = Line::new(&frame, Point { x: -half, y: 0 }, Point { x: half, y: 0 });
        for sixteenths in [1_u32, 3, 8, 11, 12, 15] {
            let along = Point { x: half / 8 * i32::try_from(sixteenths).unwrap() - half, y: 16 * 900 };
            let far = Nearest { distance: 1 << 30, part: 0 };
            let near = nearer_floor(&frame, leg, Line::new(&frame, along, along), 0, far);
            // 900 counts of latitude are 10.027 m at 60 degrees, where the meridian's radius of curvature is 6,383,454
            // m.
            assert!((10_000..=10_028).contains(&near.distance), "{} mm", near.distance);
            let off = near.part.abs_diff(WHOLE / 16 * sixteenths);
            assert!(off < WHOLE / 10_000, "{} is {off} off {sixteenths} sixteenths", near.part);
        }
    }

    #[test]
    fn a_square_is_that_of_a_distance() {
        assert_eq!([-3, 0, 3].map(square_of), [0, 0, 9]);
        assert_eq!(square_of(i64::MAX), u64::MAX);
    }
}
