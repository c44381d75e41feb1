//! Ways over ground: lengths and tracks, in every reading of "straight".

use crate::oracle::{
    course::{Line, Reading},
    earth::Ground,
};

/// A way no longer than this is none: floating point may make one of nothing. Metres.
pub const NOTHING: f64 = 1e-6;

/// Metres up to which the readings agree to a hundredth of a degree, and a way has one track.
const SHORT: f64 = 1000.0;

/// How many chords a longer way is cut into.
const CHORDS: u32 = 4;

/// One reading of a way.
#[derive(Clone, Debug)]
pub struct Track {
    /// Its length.
    pub meters: f64,
    /// Stretches: which share of the length each is, and its track in degrees.
    pub chords: Vec<(f64, f64)>,
}

/// A way from one place to another.
#[derive(Clone, Debug)]
pub struct Way {
    /// In each reading that is told apart, the one in degrees first.
    pub tracks: Vec<Track>,
}

impl Way {
    /// In all readings that differ.
    #[must_use]
    pub fn new(center: Ground, from: Ground, to: Ground) -> Self {
        let degrees = Track::new(center, from, to, Reading::Degrees);
        let others = if degrees.meters < SHORT { &[][..] } else { &[Reading::Geodesic, Reading::Tangent] };
        let others = others.iter().map(|reading| Track::new(center, from, to, *reading));
        Self { tracks: std::iter::once(degrees.clone()).chain(others).collect() }
    }

    /// In one reading.
    #[must_use]
    pub fn read(center: Ground, from: Ground, to: Ground, reading: Reading) -> Self {
        Self { tracks: vec![Track::new(center, from, to, reading)] }
    }

    /// The longest reading's length.
    #[must_use]
    pub fn meters(&self) -> f64 {
        self.tracks.iter().map(|track| track.meters).fold(0.0, f64::max)
    }
}

impl Track {
    fn new(center: Ground, from: Ground, to: Ground, reading: Reading) -> Self {
        let line = Line::between(from, to);
        let long = line.length_to(1.0);
        if long < SHORT {
            return Self { meters: long, chords: vec![(1.0, bearing(from, to).1)] };
        }
        let (azimuth, geodesic) = from.toward(to);
        let (here, there) = (center.tangent_of(from), center.tangent_of(to));
        let at = |number: u32| {
            let share = f64::from(number) / f64::from(CHORDS);
            match reading {
                Reading::Degrees => line.at(share),
                Reading::Geodesic => from.along(azimuth, share * geodesic),
                Reading::Tangent => {
                    center.from_tangent(here.0 + share * (there.0 - here.0), here.1 + share * (there.1 - here.1))
                }
            }
        };
        let chords: Vec<_> = (0..CHORDS).map(|number| bearing(at(number), at(number + 1))).collect();
        let sum: f64 = chords.iter().map(|chord| chord.0).sum();
        let meters = if reading == Reading::Degrees { long } else { geodesic };
        Self { meters, chords: chords.iter().map(|(length, track)| (length / sum, *track)).collect() }
    }
}

/// About how long a straight line is, and its track halfway, in degrees.
fn bearing(from: Ground, to: Ground) -> (f64, f64) {
    let middle = Line::between(from, to).at(0.5);
    let (east, north) = middle.meters_per_degree();
    let (east, north) = ((to.longitude - from.longitude) * east, (to.latitude - from.latitude) * north);
    (east.hypot(north), east.atan2(north).to_degrees())
}
