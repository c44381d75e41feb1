//! Ways home from a leg that descends above the return height: distance from people less height, over all of them.
//!
//! The leg is cut in two again and again, where it may be worst first, until what is known of the worst piece is as good as
//! exact. Two bounds are known of a piece, and the better one counts:
//!
//! * the distance of all its ways home, less its greatest height;
//! * the smaller one of what its two ends leave, less what a curve may sag between them.
//!
//! The second: with s the place on the leg, the distance of a point q from the way home is either |q| sin δ, δ the angle
//! between the two seen from launch, or the distance from the leg, or constant. As long as it isn't 0 its second derivative
//! by the length of the leg is at most |q| cos δ |φ''| <= R / r² in the first case and 1 / d in the second: φ is the bearing
//! of the leg's point, whose second derivative is at most 1 / r²; |q| cos δ is at most R where the nearest point is on the
//! way; r and R are the least and the greatest distance of the piece from launch, d is the distance from people. What is
//! required is convex in the height, and the height linear. So the least over a piece of length l is at most l² / 8 times the
//! larger one below that of its ends, for each point of the zone and so for all of it. The bows of the lines add less than
//! 2e-6 / m to the second derivative.
//!
//! The work is bounded: where `PIECES` pieces are about equally bad, or after `CUTS` cuts, the report is too strict by what
//! the better bound of the worst piece still leaves open.

use super::Crowd;
use crate::{
    arithmetic::{clamp_i32, clamp_i64, divide_ceil, divisor},
    geometry::{
        plane::{Chord, Part, PlanePoint, WHOLE},
        shape::{Place as Spot, Shape},
    },
    rules::{
        sweep::Stretch,
        zones::{limit_of, measure_of, outside_floor},
    },
    verdict::{Measure, Place},
};

/// Pieces that are kept at most, and how often one is cut in two at most.
const PIECES: usize = 96;
const CUTS: u32 = 400;
/// What may be left open, 0.01 m.
const FINE: i32 = 1;

/// A part of a leg, and what its ways home leave at least.
#[derive(Clone, Copy)]
struct Piece {
    stretch: Stretch,
    measure: Measure,
    place: Place,
    /// What its better bound leaves open, 0.01 m.
    open: i32,
}

impl Crowd<'_> {
    /// The least that ways home leave, and where; nothing if it is no less than `known`.
    pub(super) fn piecewise(&self, known: i64) -> Option<(Measure, Place)> {
        let mut pieces: heapless::Vec<Piece, PIECES> = heapless::Vec::new();
        let mut worst = self.piece(Stretch::ALL, known)?;
        for _ in 0..CUTS {
            let stretch = worst.stretch;
            if worst.open <= FINE {
                break;
            }
            let middle = stretch.part(WHOLE / 2);
            let halves = [Stretch { end: middle, ..stretch }, Stretch { start: middle, ..stretch }];
            let mut news = halves.into_iter().filter_map(|half| self.piece(half, known));
            // Where there is no room for both, what is known of the whole piece stands.
            if !news.all(|piece| pieces.push(piece).is_ok()) {
                break;
            }
            worst = take_worst(&mut pieces)?;
        }
        Some((worst.measure, worst.place))
    }

    /// A piece, unless it leaves no less than `known`.
    fn piece(&self, stretch: Stretch, known: i64) -> Option<Piece> {
        let (measure, place) = self.held_to_greatest(stretch, known)?;
        let differ = measure.required.saturating_sub(self.required(stretch, false));
        let whole = Piece { stretch, measure, place, open: differ };
        let (leg, ends) = (self.sweep.leg, [stretch.start, stretch.end]);
        let places = ends.map(|part| self.sweep.scene.around.frame.plane(leg.point(part)));
        let sag = sag_ceil(places, leg.line.bow, measure.clearance);
        let Some(sag) = sag.filter(|sag| *sag < differ) else { return Some(whole) };
        let [start, end] = ends.map(|part| self.way_home(part, sag));
        let (at_end, place) = if start.0.spare() <= end.0.spare() { start } else { end };
        if at_end.spare() <= measure.spare() {
            return Some(whole);
        }
        (i64::from(at_end.spare()) < known).then_some(Piece { stretch, measure: at_end, place, open: sag })
    }

    /// What one way home leaves, less a sag.
    fn way_home(&self, part: Part, sag: i32) -> (Measure, Place) {
        let frame = &self.sweep.scene.around.frame;
        let start = Spot::new(frame, self.sweep.leg.point(part));
        let shape = Shape::of_line(start.line_to(frame, Spot::LAUNCH));
        let near = outside_floor(self.sweep.scene, &shape, self.index, self.zone, limit_of(i64::MAX, 0));
        let here = Stretch { start: part, end: part };
        let measure = measure_of(near.distance, self.required(here, true));
        let clearance = measure.clearance.saturating_sub(sag);
        (Measure { clearance, ..measure }, self.sweep.place(&shape, here, near))
    }
}

/// What the distance may be less between two ends of a piece than a straight line between what it is there, 0.01 m, rounded up,
/// where the piece bows by no more than `bow` (mm) and people are `clearance` (0.01 m) away; `None` where that is too much to be
/// of use.
fn sag_ceil([from, to]: [PlanePoint; 2], bow: i64, clearance: i32) -> Option<i32> {
    let away = |place: PlanePoint| clamp_i64(place.minus(PlanePoint::ORIGIN).length_squared().isqrt());
    let nearest = Chord::new(from, to).distance_floor(PlanePoint::ORIGIN).saturating_sub(bow).max(0).unsigned_abs();
    let farthest = away(from).max(away(to)).saturating_add(bow).saturating_add(1).unsigned_abs();
    let distance = i64::from(clearance).saturating_mul(10).max(0).unsigned_abs();
    let squared = to.minus(from).length_squared();
    if nearest == 0 || distance == 0 {
        return None;
    }
    let turned = divide_ceil(squared, divisor(nearest));
    // Beyond a million metres the product below would not fit, and a sag of so much says nothing.
    let turned = Some(turned).filter(|turned| *turned < 1 << 30)?;
    let turned = divide_ceil(turned.saturating_mul(farthest), divisor(nearest));
    let moved = divide_ceil(squared, divisor(distance));
    let sag = turned.max(moved).div_ceil(8).saturating_add(squared >> 31).saturating_add(1);
    Some(clamp_i32(clamp_i64(sag.div_ceil(10))))
}

/// Takes out the piece that leaves least.
fn take_worst(pieces: &mut heapless::Vec<Piece, PIECES>) -> Option<Piece> {
    let last = pieces.pop()?;
    match pieces.iter_mut().min_by_key(|piece| piece.measure.spare()) {
        Some(worst) if worst.measure.spare() < last.measure.spare() => Some(core::mem::replace(worst, last)),
        Some(_) | None => Some(last),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The sag of a piece that is `half` to either side of the north, `north` away from launch, mm.
    fn sag((half, north): (i32, i32), bow: i64, clearance: i32) -> Option<i32> {
        let [from, to] = [half.saturating_neg(), half].map(|east| PlanePoint { east, north });
        assert_eq!(sag_ceil([from, to], bow, clearance), sag_ceil([to, from], bow, clearance));
        sag_ceil([from, to], bow, clearance)
    }

    #[test]
    fn a_sag_is_that_of_the_turn_or_of_the_way_whichever_is_more() {
        // 80 m, at least 30 m and at most 50 m from launch; 10 m from people l² / 8 d is 80 m, and 3 mm are added.
        assert_eq!(sag((40_000, 30_000), 0, 1000), Some(8001));
        // 100 m from people it is 8 m, but l² / 8 x 50 / 30² is 44.444 m.
        assert_eq!(sag((40_000, 30_000), 0, 10_000), Some(4445));
        // A bow of 5 mm makes 30 m less and 50 m more: 44.465 m.
        assert_eq!(sag((40_000, 30_000), 5, 10_000), Some(4447));
        // 160 mm, 60 to 100 mm from launch, for which 101 mm are taken: 90 mm, and 1 mm is added.
        assert_eq!(sag((80, 60), 0, 1_000_000), Some(10));
        // 1 m, at least 3 mm and at most 501 mm from launch: a third of a mm that is lost at first would be 2 cm in the end.
        assert_eq!(sag((500, 3), 0, 1_000_000), Some(695_835));
    }

    #[test]
    fn the_farther_end_counts() {
        let [near, far] = [(3000, 3000), (3000, 40_000)].map(|(east, north)| PlanePoint { east, north });
        // 37² m² / 8 x 40.11 / 4.242² are 381.5 m.
        for ends in [[near, far], [far, near]] {
            assert!(sag_ceil(ends, 0, 1_000_000).is_some_and(|sag| (38_140..38_170).contains(&sag)));
        }
    }

    #[test]
    fn a_sag_of_no_use_is_none() {
        assert_eq!(sag((1000, 0), 0, 1000), None, "over launch");
        assert_eq!(sag((1000, 9), 10, 1000), None, "perhaps over launch");
        assert_eq!(sag((1000, 1000), 0, 0), None, "people are reached");
        assert_eq!(sag((1000, 1000), 0, -1), None, "people are passed over");
        assert!(sag((16_383, 1), 0, 1000).is_some());
        assert_eq!(sag((16_384, 1), 0, 1000), None, "2^30 mm");
    }
}
