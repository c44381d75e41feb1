//! The three readings of "straight": lines over ground that can be walked along.

use super::{
    earth::{Ground, Vector, dot, minus},
    exact::Local,
};

/// What a straight line may mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reading {
    /// Straight in longitude and latitude.
    Degrees,
    /// The geodesic.
    Geodesic,
    /// Straight in the plane that touches the ellipsoid at the launch point.
    Tangent,
}

/// Counts in a degree.
const COUNTS: f64 = 1e7;

/// Where the launch point is: what local coordinates count from.
#[derive(Clone, Copy, Debug)]
pub struct Home {
    latitude: i64,
}

impl Home {
    /// At a latitude in 1e-7 degree.
    #[must_use]
    pub const fn at(latitude: i64) -> Self {
        Self { latitude }
    }

    /// The place of local coordinates that may lie between counts.
    #[must_use]
    pub fn between(self, east: f64, north: f64) -> Ground {
        #[expect(clippy::cast_precision_loss, reason = "a latitude has 31 bits")]
        let latitude = self.latitude as f64;
        Ground { latitude: (latitude + north) / COUNTS, longitude: east / COUNTS }
    }

    /// The place of local coordinates.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "local coordinates have 33 bits")]
    pub fn ground(self, local: Local) -> Ground {
        self.between(local.0 as f64, local.1 as f64)
    }
}

/// A line that is straight in longitude and latitude, its parameter from 0 to 1.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    from: Ground,
    north: f64,
    east: f64,
}

impl Line {
    /// Between two places.
    #[must_use]
    pub fn new(home: Home, from: Local, to: Local) -> Self {
        let along = Home::at(0).ground((to.0 - from.0, to.1 - from.1));
        Self { from: home.ground(from), north: along.latitude, east: along.longitude }
    }

    /// Between two places that may lie between counts.
    #[must_use]
    pub fn between(from: Ground, to: Ground) -> Self {
        Self { from, north: to.latitude - from.latitude, east: to.longitude - from.longitude }
    }

    /// The place at a parameter.
    #[must_use]
    pub fn at(&self, share: f64) -> Ground {
        Ground { latitude: self.from.latitude + share * self.north, longitude: self.from.longitude + share * self.east }
    }

    /// The parameter of the place nearest to a point: the line's direction there is at right angles to the way to it.
    #[must_use]
    pub fn nearest(&self, point: Vector) -> f64 {
        let mut share = 0.5;
        for _ in 0..60 {
            let (place, along) = self.at(share).moving(self.north, self.east);
            let square = dot(along, along);
            if square == 0.0 {
                return 0.0;
            }
            let step = dot(minus(point, place), along) / square;
            let next = (share + step).clamp(0.0, 1.0);
            let moved = (next - share).abs();
            share = next;
            if moved < 1e-14 {
                break;
            }
        }
        share
    }

    /// One step of [`Self::nearest`] from a parameter.
    #[must_use]
    pub fn step(&self, point: Vector, share: f64) -> f64 {
        let (place, along) = self.at(share).moving(self.north, self.east);
        let square = dot(along, along);
        if square == 0.0 { 0.0 } else { (share + dot(minus(point, place), along) / square).clamp(0.0, 1.0) }
    }

    /// Metres along the line up to a parameter.
    #[must_use]
    pub fn length_to(&self, share: f64) -> f64 {
        const NODES: [(f64, f64); 5] = [
            (0.0, 0.568_888_888_888_888_9),
            (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
            (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
            (0.906_179_845_938_664, 0.236_926_885_056_189_1),
            (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
        ];
        let speed = |at: f64| {
            let (east, north) = self.at(at).meters_per_degree();
            (east * self.east).hypot(north * self.north)
        };
        let half = share / 2.0;
        NODES.iter().map(|(node, weight)| half * weight * speed(half + half * node)).sum()
    }
}

/// A leg in one of its readings.
#[derive(Clone, Copy, Debug)]
pub struct Course {
    line: Line,
    way: Way,
    /// Length over ground, in metres.
    pub meters: f64,
}

#[derive(Clone, Copy, Debug)]
enum Way {
    Degrees,
    Geodesic { azimuth: f64 },
    Tangent { home: Ground, from: (f64, f64), to: (f64, f64) },
}

impl Course {
    /// A leg between two places.
    #[must_use]
    pub fn new(home: Home, from: Local, to: Local, reading: Reading) -> Self {
        let line = Line::new(home, from, to);
        let (start, end, center) = (home.ground(from), home.ground(to), home.ground((0, 0)));
        let (azimuth, meters) = start.toward(end);
        let (way, meters) = match reading {
            Reading::Degrees => (Way::Degrees, line.length_to(1.0)),
            Reading::Geodesic => (Way::Geodesic { azimuth }, meters),
            Reading::Tangent => {
                (Way::Tangent { home: center, from: center.tangent_of(start), to: center.tangent_of(end) }, meters)
            }
        };
        Self { line, way, meters }
    }

    /// The leg as it is in longitude and latitude.
    #[must_use]
    pub const fn line(&self) -> &Line {
        &self.line
    }

    /// The place at a parameter from 0 to 1.
    #[must_use]
    pub fn at(&self, share: f64) -> Ground {
        match self.way {
            Way::Degrees => self.line.at(share),
            Way::Geodesic { azimuth } => self.line.from.along(azimuth, share * self.meters),
            Way::Tangent { home, from, to } => {
                home.from_tangent(from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1))
            }
        }
    }

    /// Which part of the distance is covered at a parameter.
    #[must_use]
    pub fn covered(&self, share: f64) -> f64 {
        match self.way {
            Way::Degrees if self.meters > 0.0 => self.line.length_to(share) / self.meters,
            Way::Degrees | Way::Geodesic { .. } | Way::Tangent { .. } => share,
        }
    }
}
