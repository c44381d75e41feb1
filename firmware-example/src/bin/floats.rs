//! An image to measure, not to use: the distances that a step needs, as one would write them without a thought for this
//! machine: metres in a plane in `f64`, which a Cortex-M4 computes in software. The distance of one leg to 256 edges and that of
//! the three sides of its ways home; no question of inside or outside, of heights or of rounding.

#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m_rt::entry;
use pinfold_firmware::{
    boards::emulated::{
        Clock, Uart,
        registers::{SerialPort, Timer},
    },
    platform::Clock as _,
};

/// Metres north and east of launch.
type Place = (f64, f64);
type Line = (Place, Place);

const ZONES: usize = 16;
const CORNERS: usize = 16;

#[entry]
fn main() -> ! {
    // The log's port.
    let _ = Uart::new(SerialPort::second());
    let clock = Clock::new(Timer::first());
    let launch = (0.0, 0.0);
    let leg = ((55.0, -20.0), (-40.0, 60.0));
    let edges = black_box(edges());
    for sides in [&[leg] as &[Line], &[leg, (launch, leg.0), (launch, leg.1)]] {
        let start = clock.ticks();
        black_box(nearest_squared(black_box(sides), &edges));
        defmt::println!("ticks {=u32}", clock.ticks().wrapping_sub(start));
    }
    loop {
        core::hint::spin_loop();
    }
}

/// The square of the smallest distance of any of these lines to any edge.
fn nearest_squared(lines: &[Line], edges: &[Line]) -> f64 {
    let mut least = f64::INFINITY;
    for line in lines {
        for edge in edges {
            least = least.min(apart_squared(*line, *edge));
        }
    }
    least
}

fn apart_squared(one: Line, other: Line) -> f64 {
    if cross(one, other) {
        return 0.0;
    }
    let ends = |of: Line, to: Line| to_line_squared(of.0, to).min(to_line_squared(of.1, to));
    ends(one, other).min(ends(other, one))
}

fn cross(one: Line, other: Line) -> bool {
    let divides = |by: Line, of: Line| (turn(by, of.0) > 0.0) != (turn(by, of.1) > 0.0);
    divides(one, other) && divides(other, one)
}

/// Above 0 where the place is on one side of the line, below 0 where it is on the other.
fn turn((from, to): Line, place: Place) -> f64 {
    let (way, off) = (minus(to, from), minus(place, from));
    way.0 * off.1 - way.1 * off.0
}

fn to_line_squared(place: Place, (from, to): Line) -> f64 {
    let (way, off) = (minus(to, from), minus(place, from));
    let part = (dot(way, off) / dot(way, way)).clamp(0.0, 1.0);
    let gap = minus(off, (part * way.0, part * way.1));
    dot(gap, gap)
}

fn minus(a: Place, b: Place) -> Place {
    (a.0 - b.0, a.1 - b.1)
}

fn dot(a: Place, b: Place) -> f64 {
    a.0 * b.0 + a.1 * b.1
}

/// Sixteen invented zones on a circle of 200 m about launch, each with sixteen corners at 17 m from its middle.
fn edges() -> [Line; ZONES * CORNERS] {
    let mut lines = [((0.0, 0.0), (0.0, 0.0)); ZONES * CORNERS];
    let ring = || BEARINGS.iter().zip(BEARINGS.iter().cycle().skip(1));
    let all = BEARINGS.iter().flat_map(|middle| ring().map(move |ends| (middle, ends)));
    for (line, (middle, (from, to))) in lines.iter_mut().zip(all) {
        let corner = |bearing: &Place| (200.0 * middle.0 + 17.0 * bearing.0, 200.0 * middle.1 + 17.0 * bearing.1);
        *line = (corner(from), corner(to));
    }
    lines
}

const DIAGONAL: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// Cosine and sine of each sixteenth of a turn, to four places.
const BEARINGS: [Place; 16] = [
    (1.0, 0.0),
    (0.9239, 0.3827),
    (DIAGONAL, DIAGONAL),
    (0.3827, 0.9239),
    (0.0, 1.0),
    (-0.3827, 0.9239),
    (-DIAGONAL, DIAGONAL),
    (-0.9239, 0.3827),
    (-1.0, 0.0),
    (-0.9239, -0.3827),
    (-DIAGONAL, -DIAGONAL),
    (-0.3827, -0.9239),
    (0.0, -1.0),
    (0.3827, -0.9239),
    (DIAGONAL, -DIAGONAL),
    (0.9239, -0.3827),
];
