//! Smallest distances between straight pieces over ground, quickly: chords through the Earth tell which two pieces are the
//! nearest, and only those are searched along.

use crate::oracle::{
    course::Line,
    earth::{Ground, Vector, dot, minus, plus},
    search::least,
};

/// Metres to which a search narrows the place of a smallest distance.
const NARROW: f64 = 1e-6;

/// A line straight in longitude and latitude, with the chord between its ends.
#[derive(Clone, Copy, Debug)]
pub struct Stretch {
    line: Line,
    from: Vector,
    to: Vector,
    length: f64,
    /// No point of the line is farther from the chord.
    bow: f64,
}

impl Stretch {
    /// Between two places.
    #[must_use]
    pub fn new(from: Ground, to: Ground) -> Self {
        let line = Line::between(from, to);
        let (start, end) = (from.geocentric(), to.geocentric());
        let along = minus(end, start);
        let off = minus(line.at(0.5).geocentric(), plus(start, 0.5, along));
        let length = dot(along, along).sqrt();
        // A parabola to all accuracy that matters; the rest is far below a fifth.
        let bow = if length == 0.0 { 0.0 } else { 1.2 * dot(off, off).sqrt() + 1e-7 };
        Self { line, from: start, to: end, length, bow }
    }

    /// The place at a parameter from 0 to 1.
    #[must_use]
    pub fn at(&self, share: f64) -> Ground {
        self.line.at(share)
    }

    /// The line.
    #[must_use]
    pub const fn line(&self) -> &Line {
        &self.line
    }

    /// The chord.
    #[must_use]
    pub const fn length(&self) -> f64 {
        self.length
    }

    fn on_chord(&self, share: f64) -> Vector {
        plus(self.from, share, minus(self.to, self.from))
    }

    /// Distance of the chords: the lines' own differs by no more than their bows.
    #[must_use]
    pub fn chord_gap(&self, other: &Self) -> f64 {
        let ends = [
            point_gap(self.from, other),
            point_gap(self.to, other),
            point_gap(other.from, self),
            point_gap(other.to, self),
        ];
        let least = ends.into_iter().fold(f64::INFINITY, f64::min);
        crossing(self, other).map_or(least, |gap| gap.min(least))
    }

    /// What bows may add to or take from the distance of two chords.
    #[must_use]
    pub fn slack(&self, other: &Self) -> f64 {
        self.bow + other.bow
    }

    /// Smallest geodesic distance to another line.
    #[must_use]
    pub fn gap(&self, other: &Self) -> f64 {
        let (walked, beside) = if self.length < other.length { (other, self) } else { (self, other) };
        let square = |share: f64| {
            let point = walked.line.at(share).geocentric();
            let gap = minus(point, beside.line.at(beside.line.nearest(point)).geocentric());
            dot(gap, gap)
        };
        let share = if walked.length == 0.0 {
            0.0
        } else {
            let bends = if walked.length > 2000.0 { 6 } else { 2 };
            least(bends, NARROW / walked.length, square).1
        };
        let place = walked.line.at(share);
        place.meters_to(beside.line.at(beside.line.nearest(place.geocentric())))
    }
}

/// Distance from a point to a chord.
fn point_gap(point: Vector, chord: &Stretch) -> f64 {
    let along = minus(chord.to, chord.from);
    let square = dot(along, along);
    let share = if square == 0.0 { 0.0 } else { (dot(minus(point, chord.from), along) / square).clamp(0.0, 1.0) };
    let gap = minus(point, chord.on_chord(share));
    dot(gap, gap).sqrt()
}

/// Distance of two chords where both are nearest between their ends.
fn crossing(one: &Stretch, other: &Stretch) -> Option<f64> {
    let (u, v, w) = (minus(one.to, one.from), minus(other.to, other.from), minus(one.from, other.from));
    let (a, b, c, d, e) = (dot(u, u), dot(u, v), dot(v, v), dot(u, w), dot(v, w));
    let area = a * c - b * b;
    if area <= 1e-12 * a * c {
        return None;
    }
    let (s, t) = ((b * e - c * d) / area, (a * e - b * d) / area);
    let inside = |share: f64| (0.0..=1.0).contains(&share);
    (inside(s) && inside(t)).then(|| {
        let gap = minus(one.on_chord(s), other.on_chord(t));
        dot(gap, gap).sqrt()
    })
}

/// Smallest geodesic distance from any of some lines to any of others; not looked into from `enough` on.
#[must_use]
pub fn nearest(sides: &[Stretch], edges: &[Stretch]) -> f64 {
    let mut pairs: Vec<(f64, &Stretch, &Stretch)> = Vec::with_capacity(sides.len() * edges.len());
    let mut most = f64::INFINITY;
    for side in sides {
        for edge in edges {
            let (chord, slack) = (side.chord_gap(edge), side.slack(edge));
            most = most.min(chord + slack);
            pairs.push((chord - slack, side, edge));
        }
    }
    // A geodesic is longer than its chord by less than this share.
    pairs.retain(|(bound, ..)| *bound <= most * 1.001);
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let take = |best: f64, (bound, side, edge): &(f64, &Stretch, &Stretch)| {
        if *bound >= best { best } else { best.min(side.gap(edge)) }
    };
    pairs.iter().fold(f64::INFINITY, take)
}

/// [`nearest`] to all accuracy that matters for where it is: from the nearest places of chords a few steps along the lines.
#[must_use]
pub fn nearly(sides: &[Stretch], edges: &[Stretch]) -> f64 {
    let mut best = f64::INFINITY;
    for side in sides {
        for edge in edges {
            let (chord, slack) = (side.chord_gap(edge), side.slack(edge));
            if chord - slack < best {
                best = best.min(if slack < FINE { chord } else { stepped(side, edge) });
            }
        }
    }
    best
}

/// Bows in metres that no steps are worth.
const FINE: f64 = 0.003;

/// The distance of places that a few steps lead to from each pair of places where chords may be nearest.
fn stepped(one: &Stretch, other: &Stretch) -> f64 {
    let along = |line: &Stretch, point: Vector| {
        let way = minus(line.to, line.from);
        let square = dot(way, way);
        if square == 0.0 { 0.0 } else { (dot(minus(point, line.from), way) / square).clamp(0.0, 1.0) }
    };
    let starts = [0.0, 1.0, along(one, other.from), along(one, other.to), along(one, other.on_chord(0.5))];
    let from = |start: f64| {
        let (mut here, mut there) = (start, along(other, one.on_chord(start)));
        for _ in 0..3 {
            there = other.line.step(one.line.at(here).geocentric(), there);
            here = one.line.step(other.line.at(there).geocentric(), here);
        }
        let gap = minus(one.line.at(here).geocentric(), other.line.at(there).geocentric());
        dot(gap, gap).sqrt()
    };
    let starts = starts.into_iter().take(if one.length == 0.0 { 1 } else { starts.len() });
    starts.map(from).fold(f64::INFINITY, f64::min)
}
