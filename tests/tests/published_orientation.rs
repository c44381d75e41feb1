//! Which side of a line a point is on: published points where doubles give the wrong answer, and the integer predicate.
//!
//! Source: L. Kettner, K. Mehlhorn, S. Pion, S. Schirra, C. Yap, "Classroom examples of robustness problems in geometric
//! computations", Computational Geometry 40(1), 2008. The coordinates were read in public tests that cite the paper (A1 is its
//! section 4.2), the grid's parameters are from memory; every sign is computed here in exact rationals.
//!
//! What is shown, and what not: the predicate takes integers of 30 bits, and doubles of 53 bits don't fit them. So the
//! published decimals show that the f64 form fails, the exact fractions that they stand for and a grid of the same shape show
//! that the predicate doesn't, and points that both can hold show both at once.

#![expect(clippy::excessive_precision, reason = "the decimals stand here as they are published")]

use std::cmp::Ordering::{self, Equal, Greater, Less};

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::Zero;
use pinfold_core::geometry::predicate::{Point, turn};

type Place = (f64, f64);

/// The form that fails, with the first point as the pivot: (q - p) x (r - p) in doubles.
fn naive(p: Place, q: Place, r: Place) -> Ordering {
    let determinant = (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    determinant.partial_cmp(&0.0).expect("a number")
}

/// The same in floats of 32 bits.
fn naive_in_floats(p: Place, q: Place, r: Place) -> Ordering {
    let [p, q, r] = [p, q, r].map(|(x, y)| (x as f32, y as f32));
    let determinant = (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    determinant.partial_cmp(&0.0).expect("a number")
}

/// The sign of the same determinant of the very same doubles, in exact rationals.
fn exact(p: Place, q: Place, r: Place) -> Ordering {
    let [p, q, r] = [p, q, r].map(|(x, y)| [x, y].map(|value| BigRational::from_float(value).expect("finite")));
    let across = |from: usize, to: usize| (&q[from] - &p[from]) * (&r[to] - &p[to]);
    (across(0, 1) - across(1, 0)).cmp(&BigRational::zero())
}

const A1: [Place; 4] = [
    (7.3000000000000194, 7.3000000000000167),
    (24.000000000000068, 24.000000000000071),
    (24.00000000000005, 24.000000000000053),
    (0.50000000000001621, 0.50000000000001243),
];
const A2: [Place; 4] = [
    (27.643564356435643, -21.881188118811881),
    (83.366336633663366, 15.544554455445542),
    (4.0, 4.0),
    (73.415841584158414, 8.8613861386138595),
];
const B1: [Place; 4] = [
    (200.0, 49.200000000000003),
    (100.0, 49.600000000000001),
    (-233.33333333333334, 50.93333333333333),
    (166.66666666666669, 49.333333333333336),
];

#[test]
fn doubles_give_the_published_wrong_signs() {
    let [a, b, c, d] = A1;
    assert_eq!((naive(a, b, c), exact(a, b, c)), (Greater, Greater));
    assert_eq!((naive(a, b, d), exact(a, b, d)), (Greater, Greater));
    assert_eq!((naive(b, c, d), exact(b, c, d)), (Greater, Greater));
    // Here it is wrong.
    assert_eq!((naive(c, a, d), exact(c, a, d)), (Greater, Less));
    let [a, b, _, d] = A2;
    assert_eq!((naive(a, b, d), exact(a, b, d)), (Less, Greater));
    let [a, _, c, d] = B1;
    assert_eq!((naive(c, a, d), exact(c, a, d)), (Less, Greater));
}

fn point(x: i32, y: i32) -> Point {
    Point::new(x, y).expect("within bounds")
}

/// The points that the decimals of A2 (in 1/101) and B1 (in 1/15) round are each in one line; the predicate sees that, and sees
/// every smallest step away from it.
#[test]
fn the_fractions_behind_the_decimals_are_judged_right() {
    let nearest = |decimals: [Place; 3], scale: f64| {
        decimals.map(|(x, y)| {
            let whole = ((x * scale).round(), (y * scale).round());
            assert!((whole.0 / scale - x).abs() < 1e-13 && (whole.1 / scale - y).abs() < 1e-13, "{x}, {y}");
            (whole.0 as i32, whole.1 as i32)
        })
    };
    for [p, q, r] in [nearest([A2[0], A2[1], A2[3]], 101.0), nearest([B1[2], B1[0], B1[3]], 15.0)] {
        let at = |dx, dy| turn(point(p.0, p.1), point(q.0, q.1), point(r.0 + dx, r.1 + dy));
        assert_eq!(at(0, 0), Equal);
        for (dx, dy) in [(0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (-1, 1), (1, -1), (-1, -1)] {
            assert_eq!(at(dx, dy), whole_sign(p, q, (r.0 + dx, r.1 + dy)), "{dx}, {dy}");
            assert_ne!(at(dx, dy), Equal);
        }
    }
}

/// The sign of the determinant of whole numbers, in integers without bounds.
fn whole_sign(p: (i32, i32), q: (i32, i32), r: (i32, i32)) -> Ordering {
    let difference = |a: i32, b: i32| BigInt::from(a) - BigInt::from(b);
    let left = difference(q.0, p.0) * difference(r.1, p.1);
    left.cmp(&(difference(q.1, p.1) * difference(r.0, p.0)))
}

/// The grid of the paper's figures: p moves in steps of the last bit about (0.5, 0.5), q is (12, 12), r is (24, 24).
/// The sign must be that of j - i, since the determinant is 12 (p_y - p_x).
#[test]
fn doubles_fail_on_the_grid_as_published_tests_count() {
    let ulp = 2.0_f64.powi(-53);
    let (mut zeros, mut inverted, mut right, mut wrong_in_line) = (0, 0, 0, 0);
    for (i, j) in grid() {
        let p = (0.5 + f64::from(i) * ulp, 0.5 + f64::from(j) * ulp);
        match (naive(p, (12.0, 12.0), (24.0, 24.0)), j.cmp(&i)) {
            (found, truth) if found == truth => right += 1,
            (_, Equal) => wrong_in_line += 1,
            (Equal, _) => zeros += 1,
            (Less | Greater, _) => inverted += 1,
        }
    }
    // Counted with exact rationals and with a robust predicate: 11300 taken for in line, 672 on the wrong side.
    assert_eq!((zeros, inverted, wrong_in_line, right), (11_300, 672, 0, 65_536 - 11_300 - 672));
}

fn grid() -> impl Iterator<Item = (i32, i32)> {
    (0..256).flat_map(|i| (0..256).map(move |j| (i, j)))
}

/// The same shape in integers: the unit is 2^-24, so that a step is 2^29 times as large as that of the paper. Doubles hold
/// these points and get them right; floats of 32 bits, which a small processor is quicker with, don't.
#[test]
fn the_predicate_is_right_on_a_grid_of_the_same_shape() {
    let unit = 1 << 24;
    let mut floats_wrong = 0;
    let (q, r) = (point(12 * unit, 12 * unit), point(24 * unit, 24 * unit));
    for (i, j) in grid() {
        let p = point(unit / 2 + i, unit / 2 + j);
        assert_eq!([turn(p, q, r), turn(q, r, p), turn(r, p, q)], [j.cmp(&i); 3], "{i}, {j}");
        assert_eq!([turn(p, r, q), turn(r, q, p), turn(q, p, r)], [i.cmp(&j); 3], "{i}, {j}");
        let shape = |x: i32, y: i32| (f64::from(x), f64::from(y));
        let [p, q, r] = [shape(unit / 2 + i, unit / 2 + j), shape(12 * unit, 12 * unit), shape(24 * unit, 24 * unit)];
        assert_eq!(naive(p, q, r), j.cmp(&i), "{i}, {j}");
        floats_wrong += u32::from(naive_in_floats(p, q, r) != j.cmp(&i));
    }
    assert!(floats_wrong > 1000, "only {floats_wrong}");
}

/// Consecutive Fibonacci numbers: F(n) F(n-2) - F(n-1)² is 1 or -1 (Cassini's identity, 1680), however large they are.
#[test]
fn the_predicate_is_right_where_doubles_fail_on_the_same_points() {
    let [small, middle, large] = [267_914_296, 433_494_437, 701_408_733];
    assert_eq!(small + middle, large);
    let shift = -400_000_000;
    let a = (shift, shift);
    let (b, c) = ((shift + large, shift + middle), (shift + middle, shift + small));
    let doubles = |(x, y): (i32, i32)| (f64::from(x), f64::from(y));
    let truth = whole_sign(a, b, c);
    assert_eq!(truth, exact(doubles(a), doubles(b), doubles(c)));
    assert_ne!(truth, Equal);
    assert_eq!(turn(point(a.0, a.1), point(b.0, b.1), point(c.0, c.1)), truth);
    assert_ne!(naive(doubles(a), doubles(b), doubles(c)), truth);
}
