//! Triangles and areas, in rationals.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Signed, Zero};

use crate::oracle::exact::{Local, Side, edges, touch};

/// A closed triangle; flat ones are lines, or points.
pub type Triangle = [Local; 3];

fn sides([a, b, c]: Triangle) -> [(Local, Local); 3] {
    [(a, b), (b, c), (c, a)]
}

/// Whether a point is in the open triangle: it is a mean of the corners with three weights above zero.
#[must_use]
pub fn encloses([a, b, c]: Triangle, point: Local) -> bool {
    let from = |to: Local| (BigInt::from(to.0 - a.0), BigInt::from(to.1 - a.1));
    let (to_b, to_c, to_point) = (from(b), from(c), from(point));
    let area = &to_b.0 * &to_c.1 - &to_b.1 * &to_c.0;
    if area.is_zero() {
        return false;
    }
    let second = BigRational::new(&to_point.0 * &to_c.1 - &to_point.1 * &to_c.0, area.clone());
    let third = BigRational::new(&to_b.0 * &to_point.1 - &to_b.1 * &to_point.0, area);
    second.is_positive() && third.is_positive() && &second + &third < BigRational::one()
}

/// Where a point is with regard to an area: whether it is on an edge, and how many edges are above it. 33-bit coordinates have
/// products of 67 bits.
#[must_use]
pub fn side(point: Local, rings: &[Vec<Local>]) -> Side {
    let mut inside = false;
    for (from, to) in edges(rings) {
        let (run, rise) = (i128::from(to.0 - from.0), i128::from(to.1 - from.1));
        let (east, north) = (i128::from(point.0 - from.0), i128::from(point.1 - from.1));
        let along = east * run + north * rise;
        let on = if from == to {
            point == from
        } else {
            run * north == rise * east && (0..=run * run + rise * rise).contains(&along)
        };
        if on {
            return Side::Boundary;
        }
        if (from.0 <= point.0) != (to.0 <= point.0) {
            // The edge is at rise * east / run there.
            let above = rise * east - north * run;
            inside ^= if run > 0 { above > 0 } else { above < 0 };
        }
    }
    if inside { Side::Inside } else { Side::Outside }
}

/// Whether the boxes around two lines have a point in common.
fn boxes_touch(one: (Local, Local), other: (Local, Local)) -> bool {
    let apart = |a: i64, b: i64, c: i64, d: i64| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    !apart(one.0.0, one.1.0, other.0.0, other.1.0) && !apart(one.0.1, one.1.1, other.0.1, other.1.1)
}

/// Whether a side of the triangle has a point in common with an edge, or an edge is in the triangle.
fn meets(triangle: Triangle, rings: &[Vec<Local>]) -> bool {
    let met = |edge: (Local, Local)| sides(triangle).iter().any(|side| boxes_touch(*side, edge) && touch(*side, edge));
    let [a, b, c] = triangle;
    let in_box = |point: &Local| boxes_touch((*point, *point), wide(a, b, c));
    edges(rings).any(met) || rings.iter().flatten().any(|vertex| in_box(vertex) && encloses(triangle, *vertex))
}

/// Opposite corners of the box around three points.
fn wide(a: Local, b: Local, c: Local) -> (Local, Local) {
    let low = (a.0.min(b.0).min(c.0), a.1.min(b.1).min(c.1));
    let high = (a.0.max(b.0).max(c.0), a.1.max(b.1).max(c.1));
    (low, high)
}

/// Whether the closed triangle has a point in common with the closed area.
#[must_use]
pub fn touches(triangle: Triangle, rings: &[Vec<Local>]) -> bool {
    side(triangle[0], rings) != Side::Outside || meets(triangle, rings)
}

/// Whether the closed triangle is in the open area.
#[must_use]
pub fn is_within(triangle: Triangle, rings: &[Vec<Local>]) -> bool {
    side(triangle[0], rings) == Side::Inside && !meets(triangle, rings)
}
