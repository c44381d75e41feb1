//! How far the three readings of a straight line are apart, from samples.

use crate::oracle::{
    course::{Home, Line},
    earth::{Ground, dot, minus},
};

/// Metres.
#[derive(Clone, Copy, Debug, Default)]
pub struct Spread {
    /// Farthest that a sampled place of another reading is from the line in longitude and latitude: no less is true.
    pub surely: f64,
    /// Farthest that any two readings are apart, with what may lie between the samples.
    pub at_most: f64,
}

impl Spread {
    /// One after the other.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { surely: self.surely + other.surely, at_most: self.at_most + other.at_most }
    }

    /// The larger of each.
    #[must_use]
    pub fn larger(self, other: Self) -> Self {
        Self { surely: self.surely.max(other.surely), at_most: self.at_most.max(other.at_most) }
    }
}

const SAMPLES: u8 = 16;

/// The spread of the line between two places.
#[must_use]
pub fn spread(home: Home, from: Ground, to: Ground) -> Spread {
    if from == to {
        return Spread::default();
    }
    let (azimuth, meters) = from.toward(to);
    let center = home.ground((0, 0));
    let ((east, north), (far_east, far_north)) = (center.tangent_of(from), center.tangent_of(to));
    let line = Line::between(from, to);
    let mut spread = Spread::default();
    for number in 1..SAMPLES {
        let share = f64::from(number) / f64::from(SAMPLES);
        let geodesic = sideways(&line, from.along(azimuth, share * meters));
        let foot = (east + share * (far_east - east), north + share * (far_north - north));
        let tangent = sideways(&line, center.from_tangent(foot.0, foot.1));
        let off = geodesic.abs().max(tangent.abs());
        spread = spread.larger(Spread { surely: off, at_most: off.max((geodesic - tangent).abs()) });
    }
    // A cubic through 15 samples: what lies between them is less than a hundredth more.
    Spread { at_most: spread.at_most * 1.01 + 1e-6, ..spread }
}

/// How far a place is to the left of a line, in metres.
fn sideways(line: &Line, place: Ground) -> f64 {
    let foot = line.at(line.nearest(place.geocentric()));
    let [east, north, _] = foot.axes();
    let (along, gap) =
        (minus(line.at(1.0).geocentric(), line.at(0.0).geocentric()), minus(place.geocentric(), foot.geocentric()));
    let turn = dot(along, east) * dot(gap, north) - dot(along, north) * dot(gap, east);
    place.meters_to(foot) * if turn < 0.0 { -1.0 } else { 1.0 }
}
