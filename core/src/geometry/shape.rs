//! What is swept over the ground, and how it lies to the rings of a zone: exact topology, a lower bound of the distance.
//!
//! A shape is a line, or the triangle that all straight ways from a line to a point fill.
//!
//! # Why most edges cost little
//! All corners are known in the tangent plane. A shape's *bow* and a ring's are the largest of their lines. Where an edge's
//! chord is more than both bows and the rounding of the ends away from a shape's chords, the true lines can't touch, and on
//! which side of the one the other lies can be read off the chords: a curve can be drawn straight without passing over a point
//! that is farther from its chord than its bow. So the plane answers for all edges that are farther away than that, by
//! comparing boxes first; where a chord is no farther away than that, whatever the refined distance, the exact predicates are
//! asked: between a long edge and its chord the plane knows nothing.

use super::{
    frame::Frame,
    plane::{Chord, Nearest, PlanePoint, WHOLE, box_gap_squared, ray_crosses as ray_crosses_in_plane},
    position::Position,
    predicate::{Point, in_triangle, ray_crosses, segments_touch},
    separation::{END_ERROR, Line, nearer_floor, square_of},
    straightness::point_between,
};
use crate::arithmetic::{bounded_product, bounded_sum, clamp_i32, clamp_i64, square_root_ceil};

/// A corner of a ring.
#[derive(Clone, Copy)]
pub(crate) struct Corner {
    pub(crate) position: Position,
    pub(crate) plane: PlanePoint,
}

/// A polygon as a whole: the box around its corners, the circle about the box's middle that has them all, and the largest bow
/// of its edges. Unit: mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Extent {
    pub(crate) low: PlanePoint,
    pub(crate) high: PlanePoint,
    pub(crate) center: PlanePoint,
    pub(crate) radius: i64,
    pub(crate) bow: i64,
}

impl Extent {
    /// That of a polygon without corners.
    pub(crate) const NOWHERE: Self = Self {
        low: PlanePoint { east: i32::MAX, north: i32::MAX },
        high: PlanePoint { east: i32::MIN, north: i32::MIN },
        center: PlanePoint::ORIGIN,
        radius: 0,
        bow: 0,
    };

    /// That of a polygon with these rings.
    pub(crate) fn new<'a>(frame: &Frame, rings: impl Iterator<Item = &'a [PlanePoint]> + Clone) -> Self {
        let (mut extent, mut longest, mut farthest) = (Self::NOWHERE, 0, 0);
        for corner in rings.clone().flatten() {
            extent = Self { low: extent.low.lower(*corner), high: extent.high.upper(*corner), ..extent };
        }
        let center = extent.low.middle(extent.high);
        for ring in rings {
            let Some(mut before) = ring.last().copied() else { continue };
            for corner in ring {
                longest = longest.max(corner.minus(before).length_squared());
                farthest = farthest.max(corner.minus(center).length_squared());
                before = *corner;
            }
        }
        Self { center, radius: clamp_i64(square_root_ceil(farthest)), bow: frame.bow_ceil(longest), ..extent }
    }
}

/// A point, exactly and in the plane.
#[derive(Clone, Copy)]
pub(crate) struct Place {
    pub(crate) point: Point,
    pub(crate) plane: PlanePoint,
}

impl Place {
    /// The launch point.
    pub(crate) const LAUNCH: Self = Self { point: Point { x: 0, y: 0 }, plane: PlanePoint::ORIGIN };

    pub(crate) fn new(frame: &Frame, point: Point) -> Self {
        Self { point, plane: frame.plane(point) }
    }

    pub(crate) fn line_to(self, frame: &Frame, to: Self) -> Line {
        Line::between(frame, self.point, to.point, Chord::new(self.plane, to.plane))
    }
}

/// A line, or a triangle.
#[derive(Clone)]
pub(crate) struct Shape {
    /// The line, three times; or the base, and the two sides from the apex to its beginning and to its end.
    sides: [Line; 3],
    /// The sides' lengths in the plane, mm, rounded up.
    lengths: [i32; 3],
    triangle: bool,
    low: PlanePoint,
    high: PlanePoint,
    bow: i64,
}

/// How near a shape comes, and where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Approach {
    /// mm.
    pub(crate) distance: i64,
    /// Which side of the shape, and how far along it: a hint for people.
    pub(crate) side: u8,
    pub(crate) part: u32,
}

impl Approach {
    /// Nothing nearer than this has been seen.
    pub(crate) const fn none_within(distance: i64) -> Self {
        Self { distance, side: 0, part: 0 }
    }
}

/// What a shape has to do with a set of rings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Relation {
    /// Lower bound of the distance to the nearest edge, mm, where it is below the limit that was given; below 0 where an edge
    /// is touched or crossed.
    pub(crate) nearest: Approach,
    /// The shape and an edge have a point in common, or a ring lies within the shape. Exact.
    pub(crate) touches: bool,
    /// The shape's beginning is inside by the even-odd rule over all the rings. Exact where nothing is touched.
    pub(crate) inside: bool,
}

impl Shape {
    /// A line.
    pub(crate) fn of_line(line: Line) -> Self {
        let (from, to) = (line.chord.from, line.chord.to);
        let lengths = [length_ceil(line); 3];
        Self { sides: [line; 3], lengths, triangle: false, low: from.lower(to), high: from.upper(to), bow: line.bow }
    }

    /// All straight ways between the line `from` to `to` and `apex`.
    pub(crate) fn triangle(frame: &Frame, from: Place, to: Place, apex: Place) -> Self {
        let sides = [from.line_to(frame, to), apex.line_to(frame, from), apex.line_to(frame, to)];
        Self {
            bow: sides.iter().map(|side| side.bow).max().unwrap_or(0),
            lengths: sides.map(length_ceil),
            sides,
            triangle: true,
            low: from.plane.lower(to.plane).lower(apex.plane),
            high: from.plane.upper(to.plane).upper(apex.plane),
        }
    }

    /// The sides.
    pub(crate) fn sides(&self) -> impl Iterator<Item = &Line> + Clone {
        self.sides.iter().take(if self.triangle { 3 } else { 1 })
    }

    /// Where an approach was.
    pub(crate) fn place(&self, approach: Approach) -> Point {
        match self.sides.get(usize::from(approach.side)) {
            Some(side) => point_between(side.from, side.to, approach.part),
            None => Point { x: 0, y: 0 },
        }
    }

    /// How far along the base an approach was: the end that a way belongs to.
    pub(crate) const fn part_of_base(approach: Approach) -> u32 {
        match approach.side {
            0 => approach.part,
            1 => 0,
            _ => WHOLE,
        }
    }

    /// Whether a point that is farther from all sides than they bow is inside, read off the chords.
    fn surrounds(&self, p: PlanePoint) -> bool {
        let [base, from, to] = &self.sides;
        let (a, b, c) = (base.chord.area_to(p), to.chord.area_to(p), from.chord.area_to(p));
        // Around the triangle: along the base, back along the second side, out along the first.
        self.triangle && ((a > 0 && b < 0 && c > 0) || (a < 0 && b > 0 && c < 0))
    }

    /// Whether a point is inside the triangle, not on its sides. Exact.
    pub(crate) fn encloses(&self, p: Point) -> bool {
        let [base, from, to] = &self.sides;
        self.triangle && in_triangle(p, from.from, base.from, to.to)
    }

    /// Whether the shape is outside a polygon of this extent and surely at least `limit` (mm) away. For a limit above 0.
    pub(crate) fn is_beyond(&self, limit: i64, extent: Extent) -> bool {
        let distance = limit.max(1).saturating_add(self.bow).saturating_add(extent.bow).saturating_add(END_ERROR);
        if box_gap_squared(self.low, self.high, extent.low, extent.high) >= square_of(distance) {
            return true;
        }
        let squared = square_of(distance.saturating_add(extent.radius));
        !self.surrounds(extent.center) && self.sides().all(|side| side.chord.keeps_point(extent.center, squared))
    }

    /// The relation of the shape to `rings`, whose edges bow by no more than `bow` (mm). Distances from `limit` (mm) on aren't
    /// looked into.
    #[inline(never)]
    pub(crate) fn relate<R>(
        &self, frame: &Frame, rings: impl Iterator<Item = R> + Clone, bow: i64, limit: i64,
    ) -> Relation
    where
        R: DoubleEndedIterator<Item = Corner> + Clone,
    {
        let nearest = Approach::none_within(limit.max(1));
        let mut relation = Relation { nearest, touches: false, inside: false };
        let slack = self.bow.saturating_add(bow).saturating_add(END_ERROR);
        let mut sure = true;
        if limit == i64::MAX {
            relation.nearest = self.first(frame, rings.clone(), nearest);
        }
        rings.clone().for_each(|ring| sure &= self.pass(frame, ring, slack, &mut relation));
        if !sure || relation.nearest.distance <= 0 {
            relation.inside = false;
            relation.touches = false;
            rings.for_each(|ring| self.pass_exactly(frame, ring, &mut relation));
        }
        relation
    }

    /// The edge whose box is nearest, to begin with where nothing is known: most others are then told from it at once.
    fn first<R>(&self, frame: &Frame, rings: impl Iterator<Item = R>, nearest: Approach) -> Approach
    where
        R: DoubleEndedIterator<Item = Corner> + Clone,
    {
        let mut least: Option<(u64, Corner, Corner)> = None;
        for ring in rings {
            let Some(mut before) = ring.clone().next_back() else { continue };
            for corner in ring {
                let gap = box_gap_squared(self.low, self.high, before.plane, corner.plane);
                if least.is_none_or(|(least, ..)| gap < least) {
                    least = Some((gap, before, corner));
                }
                before = corner;
            }
        }
        let Some((_, from, to)) = least else { return nearest };
        (0..3_u8).zip(self.sides()).fold(nearest, |best, (number, side)| nearer(frame, (number, *side), from, to, best))
    }

    /// Takes in a ring, by the plane. Whether what it says of `touches` and `inside` is sure.
    fn pass(
        &self, frame: &Frame, ring: impl DoubleEndedIterator<Item = Corner> + Clone, slack: i64,
        relation: &mut Relation,
    ) -> bool {
        let Some(mut before) = ring.clone().next_back() else { return true };
        let mut sure = true;
        let [Line { chord: Chord { from: start, .. }, .. }, ..] = self.sides;
        let mut reach = Reach::new(self, relation.nearest.distance.saturating_add(slack));
        relation.touches |= self.surrounds(before.plane);
        let mut beyond = reach.beyond(before.plane);
        for corner in ring {
            relation.inside ^= ray_crosses_in_plane(start, before.plane, corner.plane);
            let beyond_before = core::mem::replace(&mut beyond, reach.beyond(corner.plane));
            let gap = || box_gap_squared(self.low, self.high, before.plane, corner.plane);
            if beyond_before & beyond == 0 && gap() < reach.squared {
                let edge = Chord::new(before.plane, corner.plane);
                for (number, side) in (0..3_u8).zip(self.sides()) {
                    if !reach.misses(&side.chord, number, &edge) && !side.chord.keeps(&edge, reach.squared) {
                        sure &= side.chord.keeps(&edge, square_of(slack));
                        relation.nearest = nearer(frame, (number, *side), before, corner, relation.nearest);
                    }
                }
                let now = relation.nearest.distance.saturating_add(slack);
                if now < reach.distance {
                    reach = Reach::new(self, now);
                }
            }
            before = corner;
        }
        sure
    }

    /// Takes in a line that may be nearer than all before; `radius` as in [`nearer_floor`].
    pub(crate) fn nearer_line(&self, frame: &Frame, edge: Line, radius: i64, best: Approach) -> Approach {
        (0..3_u8).zip(self.sides()).fold(best, |best, side| nearer_line(frame, (side.0, *side.1), edge, radius, best))
    }

    /// Takes in a ring exactly.
    #[inline(never)]
    fn pass_exactly(
        &self, frame: &Frame, ring: impl DoubleEndedIterator<Item = Corner> + Clone, relation: &mut Relation,
    ) {
        let [Line { from: start, .. }, ..] = self.sides;
        let local = |corner: Corner| frame.local(corner.position).unwrap_or(Point { x: 0, y: 0 });
        let Some(mut before) = ring.clone().next_back().map(local) else { return };
        for corner in ring.map(local) {
            relation.inside ^= ray_crosses(start, before, corner);
            relation.touches |=
                self.encloses(corner) || self.sides().any(|side| segments_touch(side.from, side.to, before, corner));
            before = corner;
        }
    }
}

/// The length of a line's chord in the plane, mm, rounded up.
fn length_ceil(line: Line) -> i32 {
    clamp_i32(clamp_i64(square_root_ceil(line.chord.length_squared)))
}

/// Takes in an edge that may be nearer to a side than all before.
#[inline(never)]
fn nearer(frame: &Frame, side: (u8, Line), from: Corner, to: Corner, best: Approach) -> Approach {
    let (Some(a), Some(b)) = (frame.local(from.position), frame.local(to.position)) else { return best };
    let edge = Line::between(frame, a, b, Chord::new(from.plane, to.plane));
    nearer_line(frame, side, edge, 0, best)
}

fn nearer_line(frame: &Frame, (number, side): (u8, Line), edge: Line, radius: i64, best: Approach) -> Approach {
    let near = nearer_floor(frame, side, edge, radius, Nearest { distance: best.distance, part: 0 });
    if near.distance < best.distance {
        Approach { distance: near.distance, side: number, part: near.part }
    } else {
        best
    }
}

/// How near an edge's chord must come to a side's to be looked at.
struct Reach {
    /// mm.
    distance: i64,
    squared: u64,
    /// The box around the shape, so much wider on all sides.
    low: PlanePoint,
    high: PlanePoint,
    /// The distance times the length of each side, mm², rounded up.
    by_length: [i64; 3],
}

impl Reach {
    fn new(shape: &Shape, distance: i64) -> Self {
        // Farther than anything is: nothing that is compared with it can be more.
        let distance = distance.min(1 << 30);
        let by_length = shape.lengths.map(|length| bounded_product(distance, length));
        let wider = clamp_i32(distance);
        let low =
            PlanePoint { east: shape.low.east.saturating_sub(wider), north: shape.low.north.saturating_sub(wider) };
        let high =
            PlanePoint { east: shape.high.east.saturating_add(wider), north: shape.high.north.saturating_add(wider) };
        Self { distance, squared: square_of(distance), low, high, by_length }
    }

    /// On which sides of the box a point is: one bit for each. Two points with a bit in common have nothing of the box between.
    fn beyond(&self, p: PlanePoint) -> u8 {
        u8::from(p.east < self.low.east)
            | u8::from(p.east > self.high.east) << 1
            | u8::from(p.north < self.low.north) << 2
            | u8::from(p.north > self.high.north) << 3
    }

    /// The distance times the length of a side.
    fn of(&self, number: u8) -> i64 {
        self.by_length.get(usize::from(number)).copied().unwrap_or(1 << 61)
    }

    /// Whether a chord is surely farther away from a side: on the far side of one of the four lines of the rectangle around it.
    fn misses(&self, side: &Chord, number: u8, edge: &Chord) -> bool {
        let ends = [edge.from, edge.to].map(|point| side.across_and_along(point));
        let [(across_from, along_from), (across_to, along_to)] = ends;
        let reach = self.of(number);
        let end = bounded_sum(side.length_squared.cast_signed(), reach);
        across_from.min(across_to) > reach
            || across_from.max(across_to) < reach.saturating_neg()
            || along_from.max(along_to) < reach.saturating_neg()
            || along_from.min(along_to) > end
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On the equator, where a count is some 11 mm either way.
    fn frame() -> Frame {
        Frame::new(Position::new(0, 0).unwrap()).unwrap()
    }

    fn place(frame: &Frame, (x, y): (i32, i32)) -> Place {
        Place::new(frame, Point { x: x.saturating_mul(16), y: y.saturating_mul(16) })
    }

    fn ring(frame: &Frame, counts: &[(i32, i32)]) -> std::vec::Vec<Corner> {
        let corner = |place: Place| Corner { position: frame.position(place.point), plane: place.plane };
        counts.iter().map(|counts| corner(self::place(frame, *counts))).collect()
    }

    fn line(frame: &Frame, from: (i32, i32), to: (i32, i32)) -> Shape {
        Shape::of_line(place(frame, from).line_to(frame, place(frame, to)))
    }

    /// The relation to rings whose edges are short: they bow by 1 mm.
    fn relation(frame: &Frame, shape: &Shape, rings: &[&[Corner]], limit: i64) -> Relation {
        shape.relate(frame, rings.iter().map(|ring| ring.iter().copied()), 1, limit)
    }

    fn extent(frame: &Frame, ring: &[Corner]) -> Extent {
        let planes: std::vec::Vec<PlanePoint> = ring.iter().map(|corner| corner.plane).collect();
        Extent::new(frame, core::iter::once(planes.as_slice()))
    }

    #[test]
    fn a_ring_within_a_triangle_is_touched_whichever_way_round_the_triangle_is() {
        let frame = frame();
        // One far from the sides, and one with a corner 4 mm from the side along x = y.
        let within = [[(7000, -100), (7000, 100), (7100, 0)], [(5000, 4999), (5100, 4900), (5000, 4900)]];
        for (from, to) in [((9000, 9001), (9000, -9000)), ((9000, -9000), (9000, 9001))] {
            let triangle = Shape::triangle(&frame, place(&frame, from), place(&frame, to), Place::LAUNCH);
            for corners in within {
                let ring = ring(&frame, &corners);
                let relation = relation(&frame, &triangle, &[&ring], 1_000_000);
                assert!(relation.touches && !relation.inside, "{corners:?} in {from:?} to {to:?}: {relation:?}");
                assert!(!triangle.is_beyond(1, extent(&frame, &ring)), "{corners:?}");
                assert!(triangle.encloses(place(&frame, corners[0]).point), "{corners:?}");
            }
        }
    }

    /// The longest edge is between the first two corners; the last is in the middle.
    #[test]
    fn an_extent_bows_as_its_longest_edge_does() {
        let frame = Frame::new(Position::new(600_000_000, 0).unwrap()).unwrap();
        let corners = [(-3_000_000, 0), (3_000_000, 0), (0, 900_000)];
        for turned in 0..3 {
            let mut corners = corners;
            corners.rotate_left(turned);
            let ring = ring(&frame, &corners);
            let edges = ring.iter().zip(ring.iter().cycle().skip(1));
            let longest = edges.map(|(from, to)| to.plane.minus(from.plane).length_squared()).max().unwrap();
            assert_eq!(extent(&frame, &ring).bow, frame.bow_ceil(longest), "{turned}");
        }
    }

    /// A leg and a polygon whose edges bow towards each other are apart by what is left of the gap.
    #[test]
    fn what_lies_beyond_a_limit_lies_beyond_it_with_all_bows() {
        let frame = Frame::new(Position::new(600_000_000, 0).unwrap()).unwrap();
        let leg = line(&frame, (-3_000_000, 0), (3_000_000, 0));
        assert!(leg.bow > 10_000, "{}", leg.bow);
        let beside = |gap: i64| {
            let north = leg.high.north.saturating_add(clamp_i32(gap));
            let corner = |east: i32, north: i32| PlanePoint { east, north };
            let (low, high) = (corner(-1000, north), corner(1000, north.saturating_add(1000)));
            Extent { low, high, center: corner(0, north), radius: 1 << 30, bow: 7000 }
        };
        let needed = 500 + leg.bow + 7000 + END_ERROR;
        assert!(leg.is_beyond(500, beside(needed)));
        assert!(!leg.is_beyond(500, beside(needed - 1)));
    }

    /// Beyond one side of a triangle isn't beyond all of them.
    #[test]
    fn what_one_side_keeps_another_may_not() {
        let frame = frame();
        let ends = [(9000, 9000), (9000, -9000)].map(|end| place(&frame, end));
        let triangle = Shape::triangle(&frame, ends[0], ends[1], Place::LAUNCH);
        // Outside, some 0.7 m from one of the two long sides, far from the base.
        for side in [1, -1] {
            let small = ring(&frame, &[(3000, 3100 * side), (3010, 3100 * side), (3000, 3200 * side)]);
            assert!(!triangle.is_beyond(2_000, extent(&frame, &small)), "{side}");
            assert!(triangle.is_beyond(200, extent(&frame, &small)), "{side}");
        }
    }

    #[test]
    fn a_ring_over_one_side_is_touched() {
        let frame = frame();
        let triangle =
            Shape::triangle(&frame, place(&frame, (9000, 9000)), place(&frame, (9000, -9000)), Place::LAUNCH);
        for (x, y) in [(9000, 0), (5000, 5000), (5000, -5000)] {
            let over = ring(&frame, &[(x - 50, y - 50), (x + 50, y - 60), (x + 50, y + 40), (x - 50, y + 50)]);
            assert!(relation(&frame, &triangle, &[&over], i64::MAX).touches, "over {x} {y}");
            // Not within the triangle but for one corner.
            let spike = ring(&frame, &[(x + 30_000, y - 10), (x + 30_000, y + 10), (x - 20, y)]);
            assert!(relation(&frame, &triangle, &[&spike], i64::MAX).touches, "into {x} {y}");
        }
    }

    #[test]
    fn what_is_far_away_is_beyond_and_nothing_else() {
        let frame = frame();
        // Along x = y, some 1414 counts: 15.6 m.
        let slanted = line(&frame, (0, 0), (1000, 1000));
        let at = |x: i32, y: i32| extent(&frame, &ring(&frame, &[(x, y), (x + 10, y), (x, y + 10)]));
        assert!(slanted.is_beyond(5000, at(1600, 1000)), "by the boxes: 6.7 m");
        assert!(slanted.is_beyond(5000, at(900, 50)), "by the circle: some 6.6 m away, within the box");
        assert!(!slanted.is_beyond(8000, at(1600, 1000)), "6.7 m");
        assert!(!slanted.is_beyond(8000, at(900, 50)), "some 6.6 m");
        assert!(!slanted.is_beyond(0, at(500, 495)), "on it");
    }

    #[test]
    fn no_ring_hides_a_nearer_one() {
        let frame = frame();
        // One count in 1000 across: 5.5 mm for half of the way.
        let shape = line(&frame, (0, 0), (1000, 1));
        let rings = [100, 300, 500, 700, 900].map(|x| ring(&frame, &[(x, 90), (x - 5, 99), (x + 5, 99)]));
        let alone = |ring: &std::vec::Vec<Corner>| relation(&frame, &shape, &[ring], 10_000).nearest.distance;
        // 90 counts of 11.0574 mm are 995 mm, less 1.1 mm for each 100 counts, less 7 mm for two bows and the rounding of ends.
        assert_eq!(rings.each_ref().map(alone), [986, 984, 982, 980, 978]);
        for (first, second) in (0..5).flat_map(|a| (0..5).map(move |b| (a, b))) {
            let both = relation(&frame, &shape, &[&rings[first], &rings[second]], 10_000);
            assert_eq!(both.nearest.distance, alone(&rings[first]).min(alone(&rings[second])), "{first} {second}");
        }
    }

    #[test]
    fn the_edge_with_the_nearest_box_is_looked_at_first() {
        let frame = frame();
        let shape = line(&frame, (0, 0), (1000, 0));
        let rings = [400, 90, 900].map(|y| ring(&frame, &[(500, y), (600, y + 300), (400, y + 300)]));
        let rings = rings.iter().map(|ring| ring.iter().copied());
        let begun = shape.first(&frame, rings, Approach::none_within(i64::MAX));
        assert!((980..995).contains(&begun.distance), "{begun:?}");
    }

    #[test]
    fn an_edge_that_is_no_nearer_leaves_the_place_where_it_was() {
        let frame = frame();
        let shape = line(&frame, (0, 0), (1000, 0));
        let dot = |x: i32, y: i32| place(&frame, (x, y)).line_to(&frame, place(&frame, (x, y)));
        let near = shape.nearer_line(&frame, dot(250, 90), 0, Approach::none_within(10_000));
        assert_eq!((near.distance / 10, near.side, near.part >> 14), (98, 0, 256));
        assert_eq!(shape.nearer_line(&frame, dot(900, 91), 0, near), near);
        assert_eq!(shape.nearer_line(&frame, dot(750, -90), 0, near), near, "of two equal ones the first");
    }

    #[test]
    fn most_edges_are_told_from_the_box_or_the_rectangle_around_a_shape() {
        let frame = frame();
        let shape = line(&frame, (0, 0), (1000, 0));
        let reach = Reach::new(&shape, 1000);
        assert_eq!((reach.distance, reach.squared), (1000, 1_000_000));
        let (low, high) = (reach.low, reach.high);
        let bits = |east: i32, north: i32| reach.beyond(PlanePoint { east, north });
        assert_eq!(bits(low.east, low.north) | bits(high.east, high.north), 0, "the box is closed");
        assert_eq!([bits(low.east - 1, 0), bits(high.east + 1, 0)], [1, 2]);
        assert_eq!([bits(0, low.north - 1), bits(0, high.north + 1)], [4, 8]);
        assert_eq!([bits(low.east - 9, low.north - 9), bits(high.east + 9, high.north + 9)], [5, 10]);
        let [side, ..] = &shape.sides;
        let misses = |from: (i32, i32), to: (i32, i32)| {
            let [from, to] = [from, to].map(|(east, north)| PlanePoint { east, north });
            reach.misses(&side.chord, 0, &Chord::new(from, to))
        };
        assert!(misses((-900, 1001), (20_000, 5000)), "to its left");
        assert!(misses((-900, -1001), (20_000, -5000)), "to its right");
        assert!(misses((-1002, -900), (-5000, 900)), "before its beginning");
        assert!(misses((high.east + 2, -900), (20_000, 900)), "after its end");
        assert!(!misses((-900, 1001), (20_000, 999)) && !misses((-1002, -900), (5000, -900)));
    }
}
