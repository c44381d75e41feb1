//! Inside, outside or on the boundary: the cases that naive ray casting gets wrong.
//!
//! Source of what is asked: K. Hormann, A. Agathos, "The point in polygon problem for arbitrary polygons", Computational
//! Geometry 20(3), 131-144, 2001 (its content is from memory): the even-odd rule and the winding number agree on simple
//! polygons and differ on others, and the boundary must be decided first. The answers were computed with exact rationals and
//! agree with a widely used geometry library's.

use pinfold_core::{
    geometry::predicate::{Location, Point, locate},
    model::{store::LimitsError, zone::ZoneKind},
};
use pinfold_tests::sample::{Site, figures};

use Location::{Boundary, Inside, Outside};

type Polygon = &'static [(i32, i32)];

/// x, y in halves, so that every point of the tables is whole.
const SQUARE: Polygon = &[(0, 0), (20, 0), (20, 20), (0, 20)];
const DIAMOND: Polygon = &[(10, 0), (20, 10), (10, 20), (0, 10)];
const COMB: Polygon = &[(0, 0), (12, 0), (12, 8), (10, 8), (8, 2), (6, 8), (4, 2), (2, 8), (0, 8)];
const PENTAGRAM: Polygon = &[(0, 6), (4, -6), (-6, 2), (6, 2), (-4, -6)];

/// Polygon, point, where the point is.
const CASES: &[(Polygon, (i32, i32), Location)] = &[
    (SQUARE, (10, 10), Inside),
    (SQUARE, (0, 10), Boundary),
    (SQUARE, (20, 10), Boundary),
    (SQUARE, (0, 0), Boundary),
    (SQUARE, (20, 20), Boundary),
    // Level with a horizontal edge.
    (SQUARE, (22, 0), Outside),
    (SQUARE, (-2, 0), Outside),
    (SQUARE, (22, 20), Outside),
    // The ray passes through a vertex.
    (DIAMOND, (-2, 10), Outside),
    (DIAMOND, (22, 10), Outside),
    (DIAMOND, (2, 10), Inside),
    (DIAMOND, (4, 10), Inside),
    // The ray touches a vertex.
    (DIAMOND, (4, 0), Outside),
    (DIAMOND, (4, 20), Outside),
    // The ray touches the tips of teeth, or runs along edges.
    (COMB, (-2, 2), Outside),
    (COMB, (-2, 8), Outside),
    (COMB, (8, 4), Outside),
    (COMB, (14, 8), Outside),
    (COMB, (6, 2), Inside),
    (COMB, (4, 2), Boundary),
    (COMB, (11, 8), Boundary),
    // Even-odd; the winding number is -2.
    (PENTAGRAM, (0, 0), Outside),
    (PENTAGRAM, (0, 4), Inside),
];

fn point((x, y): (i32, i32)) -> Point {
    Point::new(x, y).expect("within bounds")
}

/// Every way to write down the same ring: where it begins, and which way round.
fn writings(polygon: &[(i32, i32)]) -> impl Iterator<Item = Vec<Point>> {
    (0..polygon.len()).flat_map(move |start| {
        let mut ring: Vec<_> = polygon.iter().map(|vertex| point(*vertex)).collect();
        ring.rotate_left(start);
        let back = ring.iter().rev().copied().collect();
        [ring, back]
    })
}

#[test]
fn a_point_is_where_it_is_however_the_ring_is_written() {
    for (polygon, place, expected) in CASES {
        for ring in writings(polygon) {
            assert_eq!(locate(point(*place), ring.iter().copied()), *expected, "{place:?} in {ring:?}");
        }
    }
}

#[test]
fn a_point_is_where_it_is_at_the_largest_coordinates_too() {
    // The table blown up to the bounds, where a product needs 60 bits.
    let scale = Point::BOUND / 22;
    let large = |(x, y): (i32, i32)| point((x * scale, y * scale));
    for (polygon, place, expected) in CASES {
        let ring = polygon.iter().map(|vertex| large(*vertex));
        assert_eq!(locate(large(*place), ring), *expected, "{place:?} in {polygon:?}");
    }
}

#[test]
fn a_polygon_on_which_the_rules_disagree_is_no_zone() {
    let ring: Vec<_> = PENTAGRAM.iter().map(|(x, y)| (1000 * y, 1000 * x)).collect();
    let sealed = Site::new(figures()).polygon("star", ZoneKind::KeepIn, None, &[ring]).and_then(Site::seal);
    assert!(matches!(sealed, Err(LimitsError::Crossing(0, ..))), "{sealed:?}");
    for simple in [SQUARE, DIAMOND, COMB] {
        let ring: Vec<_> = simple.iter().map(|(x, y)| (1000 * y, 1000 * x)).collect();
        let sealed = Site::new(figures()).polygon("simple", ZoneKind::KeepIn, None, &[ring]).and_then(Site::seal);
        assert!(sealed.is_ok(), "{sealed:?}");
    }
}
