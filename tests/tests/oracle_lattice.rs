//! Every triangle, point and pair of segments of a small lattice, flat and pointlike ones too: the exact predicates against
//! rationals and counting.

use std::cmp::Ordering;

use pinfold_core::geometry::predicate::{Location, Point, in_triangle, locate, on_segment, segments_touch, turn};
use pinfold_tests::oracle::{
    exact::{self, Local, Side, touch},
    space::triangle::{encloses, is_within, side, touches},
};

fn lattice(size: i64) -> Vec<Local> {
    (0..size).flat_map(|x| (0..size).map(move |y| (x, y))).collect()
}

fn point((x, y): Local) -> Point {
    let small = |value: i64| i32::try_from(value).expect("small");
    Point::new(small(x), small(y)).expect("within bounds")
}

fn location(side: Side) -> Location {
    match side {
        Side::Inside => Location::Inside,
        Side::Boundary => Location::Boundary,
        Side::Outside => Location::Outside,
    }
}

#[test]
fn two_segments_touch_where_rationals_say_they_do_not() {
    let points = lattice(4);
    let mut touching = 0;
    for a in &points {
        for b in &points {
            for c in &points {
                for d in &points {
                    let expected = touch((*a, *b), (*c, *d));
                    let found = segments_touch(point(*a), point(*b), point(*c), point(*d));
                    assert_eq!(found, expected, "{a:?} {b:?} and {c:?} {d:?}");
                    touching += u32::from(expected);
                }
            }
        }
    }
    assert!((10_000..60_000).contains(&touching), "{touching} of 65536 touch");
}

#[test]
fn three_points_turn_the_wrong_way_or_are_not_in_line() {
    let points = lattice(6);
    for a in &points {
        for b in &points {
            for c in &points {
                let area = (b.0 - a.0) * (c.1 - a.1) - (c.0 - a.0) * (b.1 - a.1);
                assert_eq!(turn(point(*a), point(*b), point(*c)), area.cmp(&0), "{a:?} {b:?} {c:?}");
                let on = touch((*c, *c), (*a, *b));
                assert_eq!(on_segment(point(*c), point(*a), point(*b)), on, "{c:?} on {a:?} {b:?}");
                assert!(!on || area.cmp(&0) == Ordering::Equal);
            }
        }
    }
}

#[test]
fn a_point_is_on_the_wrong_side_of_a_triangle() {
    let points = lattice(6);
    let mut counts = [0_u32; 3];
    for a in &points {
        for b in &points {
            for c in &points {
                let (ring, triangle) = (vec![vec![*a, *b, *c]], [*a, *b, *c]);
                for p in &points {
                    let expected = side(*p, &ring);
                    let found = locate(point(*p), triangle.into_iter().map(point));
                    assert_eq!(found, location(expected), "{p:?} in {triangle:?}");
                    assert_eq!(encloses(triangle, *p), expected == Side::Inside, "{p:?} in {triangle:?}");
                    let within = in_triangle(point(*p), point(*a), point(*b), point(*c));
                    assert_eq!(within, expected == Side::Inside, "{p:?} within {triangle:?}");
                    counts[expected as usize] += 1;
                }
            }
        }
    }
    assert!(counts.iter().all(|count| *count > 50_000), "{counts:?}");
}

/// The oracle's own quick answers, held to its slow ones.
#[test]
fn the_oracles_quick_side_is_not_its_slow_one() {
    let points = lattice(4);
    for a in &points {
        for b in &points {
            for c in &points {
                let ring = vec![vec![*a, *b, *c]];
                for p in &points {
                    assert_eq!(side(*p, &ring), exact::side(*p, &ring), "{p:?} in {a:?} {b:?} {c:?}");
                }
            }
        }
    }
}

/// A triangle touches another where one has a corner of the other or two sides meet; both ways round, and finer than the lattice:
/// every place of a lattice three times as fine that is in both says so.
#[test]
fn the_oracles_triangles_touch_where_no_point_is_in_both() {
    let (coarse, fine) = (lattice(3), lattice(13));
    let square = vec![vec![(0, 0), (4, 0), (4, 4), (0, 4)]];
    let scaled: Vec<Local> = coarse.iter().map(|(x, y)| (6 * x, 6 * y)).collect();
    for a in &scaled {
        for b in &scaled {
            for c in &scaled {
                let triangle = [*a, *b, *c];
                let ring = vec![triangle.to_vec()];
                let common =
                    fine.iter().any(|p| side(*p, &ring) != Side::Outside && side(*p, &square) != Side::Outside);
                assert!(touches(triangle, &square) || !common, "{triangle:?}");
                let all = fine.iter().all(|p| side(*p, &ring) == Side::Outside || side(*p, &square) == Side::Inside);
                assert!(all || !is_within(triangle, &square), "{triangle:?}");
            }
        }
    }
}
