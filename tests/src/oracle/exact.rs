//! Topology in rationals of any size: nothing is rounded, nothing can overflow.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, ToPrimitive, Zero};

/// A place as (east, north) of the launch point, in 1e-7 degree.
pub type Local = (i64, i64);

/// A place between those that can be written down.
type Between = (BigRational, BigRational);

/// Where a place is with regard to a closed area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// In its interior.
    Inside,
    /// On one of its edges.
    Boundary,
    /// Neither.
    Outside,
}

fn whole(value: i64) -> BigRational {
    BigRational::from_integer(BigInt::from(value))
}

fn between(place: Local) -> Between {
    (whole(place.0), whole(place.1))
}

fn minus(a: &Between, b: &Between) -> Between {
    (&a.0 - &b.0, &a.1 - &b.1)
}

fn cross(a: &Between, b: &Between) -> BigRational {
    &a.0 * &b.1 - &a.1 * &b.0
}

fn dot(a: &Between, b: &Between) -> BigRational {
    &a.0 * &b.0 + &a.1 * &b.1
}

fn in_unit(value: &BigRational) -> bool {
    *value >= BigRational::zero() && *value <= BigRational::one()
}

/// The edges of rings, each as its ends.
pub fn edges(rings: &[Vec<Local>]) -> impl Iterator<Item = (Local, Local)> + '_ {
    rings.iter().flat_map(|ring| ring.iter().copied().zip(ring.iter().copied().cycle().skip(1)))
}

/// The parameters, from 0 to 1, at which the line from `from` to `to` has a point in common with an edge; the ends only of a
/// stretch that they share.
fn meetings(from: Local, to: Local, edge: (Local, Local)) -> Vec<BigRational> {
    let (start, first, second) = (between(from), between(edge.0), between(edge.1));
    let (along, edge) = (minus(&between(to), &start), minus(&second, &first));
    let offset = minus(&first, &start);
    let turn = cross(&along, &edge);
    if !turn.is_zero() {
        let (here, there) = (cross(&offset, &edge) / &turn, cross(&offset, &along) / &turn);
        return if in_unit(&here) && in_unit(&there) { vec![here] } else { vec![] };
    }
    let square = dot(&along, &along);
    if square.is_zero() {
        return if on_edge(&start, &first, &second) { vec![BigRational::zero()] } else { vec![] };
    }
    if !cross(&offset, &along).is_zero() {
        return vec![];
    }
    let mut shares = [dot(&offset, &along) / &square, dot(&minus(&second, &start), &along) / &square];
    shares.sort();
    let [low, high] = shares;
    if high < BigRational::zero() || low > BigRational::one() {
        return vec![];
    }
    vec![low.max(BigRational::zero()), high.min(BigRational::one())]
}

fn on_edge(place: &Between, first: &Between, second: &Between) -> bool {
    if first == second {
        return place == first;
    }
    let (edge, offset) = (minus(second, first), minus(place, first));
    let share = dot(&offset, &edge);
    cross(&edge, &offset).is_zero() && share >= BigRational::zero() && share <= dot(&edge, &edge)
}

/// Where a place is: counts the edges above it.
fn side_of(place: &Between, rings: &[Vec<Local>]) -> Side {
    let mut inside = false;
    for (first, second) in edges(rings) {
        let (first, second) = (between(first), between(second));
        if on_edge(place, &first, &second) {
            return Side::Boundary;
        }
        if (first.0 <= place.0) != (second.0 <= place.0) {
            let share = (&place.0 - &first.0) / (&second.0 - &first.0);
            inside ^= &first.1 + share * (&second.1 - &first.1) > place.1;
        }
    }
    if inside { Side::Inside } else { Side::Outside }
}

/// Where a place is with regard to an area.
#[must_use]
pub fn side(place: Local, rings: &[Vec<Local>]) -> Side {
    side_of(&between(place), rings)
}

/// Whether two straight lines have a point in common.
#[must_use]
pub fn touch(one: (Local, Local), other: (Local, Local)) -> bool {
    !meetings(one.0, one.1, other).is_empty()
}

/// Whether a line lies in the interior of an area.
#[must_use]
pub fn within(from: Local, to: Local, rings: &[Vec<Local>]) -> bool {
    side(from, rings) == Side::Inside && edges(rings).all(|edge| meetings(from, to, edge).is_empty())
}

/// A closed stretch of a line: parameters of its ends, exact.
pub type Stretch = (BigRational, BigRational);

/// The stretches of a line that lie in a closed area; single points too.
#[must_use]
pub fn stretches(from: Local, to: Local, rings: &[Vec<Local>]) -> Vec<Stretch> {
    let (start, along) = (between(from), minus(&between(to), &between(from)));
    let at = |share: &BigRational| (&start.0 + share * &along.0, &start.1 + share * &along.1);
    let belongs = |share: &BigRational| side_of(&at(share), rings) != Side::Outside;
    let mut cuts: Vec<_> = edges(rings).flat_map(|edge| meetings(from, to, edge)).collect();
    cuts.extend([BigRational::zero(), BigRational::one()]);
    cuts.sort();
    cuts.dedup();
    let single = cuts.iter().filter(|cut| belongs(cut)).map(|cut| (cut.clone(), cut.clone()));
    let wide = cuts.windows(2).filter(|pair| belongs(&((&pair[0] + &pair[1]) / whole(2))));
    single.chain(wide.map(|pair| (pair[0].clone(), pair[1].clone()))).collect()
}

/// The nearest floating-point number.
///
/// # Panics
/// There is none.
#[must_use]
pub fn nearest(value: &BigRational) -> f64 {
    value.to_f64().expect("a number between 0 and 1")
}

/// Whether rings make a polygon: each simple, none touching another, holes inside the first and outside each other.
#[must_use]
pub fn is_polygon(rings: &[Vec<Local>]) -> bool {
    let apart = |one: usize, other: usize| {
        let all = |ring: usize| edges(std::slice::from_ref(&rings[ring])).collect::<Vec<_>>();
        all(one).iter().all(|a| all(other).iter().all(|b| !touch(*a, *b)))
    };
    let lies = |hole: usize, ring: usize| side(rings[hole][0], std::slice::from_ref(&rings[ring]));
    let numbers = || 0..rings.len();
    numbers().all(|ring| is_simple(&rings[ring]))
        && numbers().all(|one| numbers().filter(|other| *other > one).all(|other| apart(one, other)))
        && numbers().skip(1).all(|hole| {
            numbers().filter(|ring| *ring != hole).all(|ring| (lies(hole, ring) == Side::Inside) == (ring == 0))
        })
}

/// Whether a ring has no more in common with itself than the vertices of neighbouring edges.
fn is_simple(ring: &[Local]) -> bool {
    let sides: Vec<_> = edges(std::slice::from_ref(&ring.to_vec())).collect();
    let count = sides.len();
    count >= 3
        && (0..count).all(|one| {
            sides[one].0 != sides[one].1
                && (one + 1..count).all(|other| {
                    let shared = meetings(sides[one].0, sides[one].1, sides[other]);
                    let neighbours = other == one + 1 || (one == 0 && other == count - 1);
                    if neighbours { shared.iter().all(|share| share == &shared[0]) } else { shared.is_empty() }
                })
        })
}
