//! Exact answers about points, segments and rings that are straight in longitude and latitude.
//!
//! Coordinates are integers of at most 2^29 in size. Differences then stay within 2^30, their products within 2^60 and a
//! difference of two products within 2^61, so an i64 holds every determinant exactly: nothing here is rounded.
//! Segments and rings are closed sets: a touch counts.

use core::cmp::Ordering;

use crate::arithmetic::product;

/// A point with integer coordinates, each at most [`Point::BOUND`] in size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Point {
    /// East.
    pub(crate) x: i32,
    /// North.
    pub(crate) y: i32,
}

impl Point {
    /// The largest size of a coordinate.
    pub const BOUND: i32 = 1 << 29;

    /// The point, or `None` where a coordinate is out of bounds.
    #[must_use]
    pub fn new(x: i32, y: i32) -> Option<Self> {
        let inside = x.unsigned_abs() <= Self::BOUND.unsigned_abs() && y.unsigned_abs() <= Self::BOUND.unsigned_abs();
        inside.then_some(Self { x, y })
    }
}

/// The sign of the turn a, b, c: `Greater` to the left, `Less` to the right, `Equal` in line. Exact.
#[must_use]
pub fn turn(a: Point, b: Point, c: Point) -> Ordering {
    let left = product(b.x.saturating_sub(a.x), c.y.saturating_sub(a.y));
    let right = product(b.y.saturating_sub(a.y), c.x.saturating_sub(a.x));
    left.cmp(&right)
}

/// Whether `low <= value <= high` for the two ends in either order.
const fn between(value: i32, one: i32, other: i32) -> bool {
    (one <= value && value <= other) || (other <= value && value <= one)
}

/// Whether p, known to be in line with a and b, lies between them.
const fn within_box(p: Point, a: Point, b: Point) -> bool {
    between(p.x, a.x, b.x) && between(p.y, a.y, b.y)
}

/// Whether `p` lies on the closed segment a to b. Exact.
#[must_use]
pub fn on_segment(p: Point, a: Point, b: Point) -> bool {
    turn(a, b, p) == Ordering::Equal && within_box(p, a, b)
}

/// Whether the closed segments a to b and c to d have a point in common. Exact; a segment may be a single point.
#[must_use]
pub fn segments_touch(a: Point, b: Point, c: Point, d: Point) -> bool {
    let (abc, abd) = (turn(a, b, c), turn(a, b, d));
    let (cda, cdb) = (turn(c, d, a), turn(c, d, b));
    // Of a single point and of two that are the same, every turn is the same.
    if abc != abd && cda != cdb {
        return true;
    }
    (abc == Ordering::Equal && within_box(c, a, b))
        || (abd == Ordering::Equal && within_box(d, a, b))
        || (cda == Ordering::Equal && within_box(a, c, d))
        || (cdb == Ordering::Equal && within_box(b, c, d))
}

/// Whether `p` is in the open triangle a, b, c: on its sides and where it is flat is not in. Exact.
#[must_use]
pub fn in_triangle(p: Point, a: Point, b: Point, c: Point) -> bool {
    let turns = [turn(a, b, p), turn(b, c, p), turn(c, a, p)];
    turns == [Ordering::Greater; 3] || turns == [Ordering::Less; 3]
}

/// Whether a ray from `p` towards the east crosses the edge a to b, each edge owning its lower end only.
///
/// `p` is inside a set of rings, by the even-odd rule, when it crosses an odd number of their edges. For a point *on* an
/// edge the answer means nothing: ask [`on_segment`] first.
#[must_use]
pub fn ray_crosses(p: Point, a: Point, b: Point) -> bool {
    match (a.y <= p.y, b.y <= p.y) {
        (true, false) => turn(a, b, p) == Ordering::Greater,
        (false, true) => turn(a, b, p) == Ordering::Less,
        (true, true) | (false, false) => false,
    }
}

/// Where a point lies with regard to a ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Location {
    /// In the interior.
    Inside,
    /// On an edge or a vertex.
    Boundary,
    /// In the exterior.
    Outside,
}

/// Where `p` lies with regard to the ring through `vertices` (the last joins the first), by the even-odd rule. Exact.
#[must_use]
pub fn locate(p: Point, vertices: impl DoubleEndedIterator<Item = Point> + Clone) -> Location {
    let mut inside = false;
    for (a, b) in edges(vertices) {
        if on_segment(p, a, b) {
            return Location::Boundary;
        }
        inside ^= ray_crosses(p, a, b);
    }
    if inside { Location::Inside } else { Location::Outside }
}

/// The edges of the ring through `vertices`: each with its predecessor, beginning with the one that closes the ring.
pub fn edges(vertices: impl DoubleEndedIterator<Item = Point> + Clone) -> impl Iterator<Item = (Point, Point)> + Clone {
    let mut previous = vertices.clone().next_back();
    vertices.map(move |vertex| {
        let from = previous.unwrap_or(vertex);
        previous = Some(vertex);
        (from, vertex)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: i32, y: i32) -> Point {
        Point::new(x, y).unwrap()
    }

    #[test]
    fn a_turn_is_exact_at_the_bounds() {
        let b = Point::BOUND;
        assert_eq!(turn(p(-b, -b), p(b, b), p(b, b - 1)), Ordering::Less);
        assert_eq!(turn(p(-b, -b), p(b, b), p(b - 1, b)), Ordering::Greater);
        assert_eq!(turn(p(-b, -b), p(b, b), p(0, 0)), Ordering::Equal);
        assert_eq!(Point::new(b + 1, 0), None);
    }

    #[test]
    fn segments_that_only_touch_do_touch() {
        assert!(segments_touch(p(0, 0), p(4, 0), p(2, 0), p(2, 5)));
        assert!(segments_touch(p(0, 0), p(4, 0), p(4, 0), p(9, 9)));
        assert!(segments_touch(p(0, 0), p(4, 0), p(3, 0), p(9, 0)));
        assert!(!segments_touch(p(0, 0), p(4, 0), p(5, 0), p(9, 0)));
        assert!(!segments_touch(p(0, 0), p(4, 0), p(2, 1), p(2, 5)));
    }

    #[test]
    fn a_point_is_a_segment_too() {
        assert!(segments_touch(p(1, 1), p(1, 1), p(0, 0), p(2, 2)));
        assert!(!segments_touch(p(1, 2), p(1, 2), p(0, 0), p(2, 2)));
        assert!(segments_touch(p(1, 1), p(1, 1), p(1, 1), p(1, 1)));
        assert!(!segments_touch(p(1, 1), p(1, 1), p(2, 1), p(2, 1)));
        assert!(!segments_touch(p(3, 3), p(3, 3), p(0, 0), p(2, 2)));
    }

    #[test]
    fn a_segment_in_line_with_another_touches_it_wherever_they_overlap() {
        // Every pair on a line of five points, straight or slanted, either way round.
        let spans = || (0..5).flat_map(|a| (0..5).map(move |b| (a, b)));
        for (x, y) in [(1, 0), (0, 1), (2, 3), (-2, 3)] {
            let at = |step: i32| p(x * step, y * step);
            for ((a, b), (c, d)) in spans().flat_map(|one| spans().map(move |other| (one, other))) {
                let overlap = a.min(b) <= c.max(d) && c.min(d) <= a.max(b);
                assert_eq!(segments_touch(at(a), at(b), at(c), at(d)), overlap, "{a} {b} {c} {d} along {x} {y}");
                assert_eq!(on_segment(at(c), at(a), at(b)), a.min(b) <= c && c <= a.max(b), "{c} on {a} {b}");
            }
        }
    }

    #[test]
    fn a_triangle_is_open_and_either_way_round() {
        let (a, b, c) = (p(0, 0), p(4, 0), p(0, 4));
        for (one, two, three) in [(a, b, c), (b, a, c), (c, a, b), (c, b, a)] {
            assert!(in_triangle(p(1, 1), one, two, three));
            assert!(
                ![p(2, 2), p(0, 0), p(2, 0), p(3, 3), p(-1, 1), p(1, -1)]
                    .iter()
                    .any(|q| in_triangle(*q, one, two, three))
            );
        }
        assert!(!in_triangle(p(1, 1), a, p(2, 2), p(4, 4)), "a flat one has no inside");
    }
}
