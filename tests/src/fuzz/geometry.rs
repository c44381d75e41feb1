//! Exact predicates against integers and rationals of any size, at the bounds of coordinates more often than chance
//! would.

use std::cmp::Ordering;

use num_bigint::BigInt;
use pinfold_core::geometry::predicate::{Location, Point, in_triangle, locate, on_segment, segments_touch, turn};

use super::given::Given;
use crate::oracle::exact::{Local, Side, side, touch};

/// Most corners of a ring.
const CORNERS: usize = 9;

/// Cross products, on a segment, in a triangle, crossing, inside.
///
/// # Panics
/// A predicate is wrong.
pub fn predicates(input: &[u8]) {
    let mut given = Given::new(input);
    let places: [Local; 4] = std::array::from_fn(|_| place(&mut given));
    let ([a, b, c, p], [at, to, by, on]) = (places, places.map(point));
    let exact = sign(a, b, c);
    assert_eq!(turn(at, to, by), exact, "the turn {a:?} {b:?} {c:?}");
    assert_eq!(on_segment(by, at, to), touch((c, c), (a, b)), "{c:?} on {a:?} {b:?}");
    assert_eq!(segments_touch(at, to, by, on), touch((a, b), (c, p)), "{a:?} {b:?} and {c:?} {p:?}");
    let turns = [sign(a, b, p), sign(b, c, p), sign(c, a, p)];
    let inside = exact != Ordering::Equal && turns.iter().all(|turn| *turn == exact);
    assert_eq!(in_triangle(on, at, to, by), inside, "{p:?} in {a:?} {b:?} {c:?}");
    in_ring(&mut given, places);
}

/// Where a place is with regard to a ring of any form, by the even-odd rule.
fn in_ring(given: &mut Given<'_>, [a, b, c, p]: [Local; 4]) {
    let mut ring = vec![a, b, c];
    while !given.is_empty() && ring.len() < CORNERS {
        ring.push(place(given));
    }
    let expected = match side(p, std::slice::from_ref(&ring)) {
        Side::Inside => Location::Inside,
        Side::Boundary => Location::Boundary,
        Side::Outside => Location::Outside,
    };
    assert_eq!(locate(point(p), ring.iter().map(|corner| point(*corner))), expected, "{p:?} in {ring:?}");
}

/// A place near a bound, near the middle, or anywhere.
fn place(given: &mut Given<'_>) -> Local {
    let (x, y) = (coordinate(given), coordinate(given));
    let bound = Point::BOUND;
    assert_eq!(Point::new(x, y).is_some(), x.abs() <= bound && y.abs() <= bound, "{x} {y}");
    (x.clamp(-bound, bound).into(), y.clamp(-bound, bound).into())
}

fn point(place: Local) -> Point {
    let coordinate = |coordinate: i64| i32::try_from(coordinate).expect("within bounds");
    Point::new(coordinate(place.0), coordinate(place.1)).expect("within bounds")
}

fn coordinate(given: &mut Given<'_>) -> i32 {
    let near = i32::from(given.byte().cast_signed());
    match given.below(4) {
        0 => near,
        1 => Point::BOUND + near,
        2 => -Point::BOUND + near,
        _ => given.between(-Point::BOUND - 9, Point::BOUND + 9),
    }
}

/// The sign of the turn a, b, c.
fn sign(a: Local, b: Local, c: Local) -> Ordering {
    let difference = |one: i64, other: i64| BigInt::from(one) - BigInt::from(other);
    let left = difference(b.0, a.0) * difference(c.1, a.1);
    left.cmp(&(difference(b.1, a.1) * difference(c.0, a.0)))
}
