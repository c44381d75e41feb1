//! Routes so small that the Earth is flat there: what they leave is found by trying places all along a leg.

use pinfold_core::model::route::Step;

use crate::sample::{climb, fly};

/// What 1e-7 degree is on the equator, m (WGS 84).
pub const EAST: f64 = 0.011_131_949;
/// The same to the north.
pub const NORTH: f64 = 0.011_057_427;

/// Numbers that look drawn by lot and are the same each time: from `low` up to `high`, without it.
///
/// # Panics
/// There is nothing between the two.
pub fn lots() -> impl FnMut(i32, i32) -> i32 {
    let mut state = 1_u64;
    move |low, high| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + i32::try_from((state >> 33) % u64::try_from(high - low).expect("positive")).expect("small")
    }
}

/// How far a point is from the way between launch and a place, m.
fn beside((x, y): (f64, f64), (a, b): (f64, f64)) -> f64 {
    let share = ((x * a + y * b) / (a * a + b * b).max(1e-9)).clamp(0.0, 1.0);
    (x - share * a).hypot(y - share * b)
}

/// A route of two legs from a launch on the equator: the first level, the second slanted; and a circle. Places are (north, east)
/// in 1e-7 degree, lengths and heights in 0.01 m.
#[derive(Debug)]
pub struct TwoLegs {
    /// Where the two legs end.
    pub ends: [(i32, i32); 2],
    /// How high.
    pub heights: [i32; 2],
    /// The circle's centre.
    pub center: (i32, i32),
    /// Its radius.
    pub radius: i32,
}

impl TwoLegs {
    /// Any such route within some 300 m.
    ///
    /// # Panics
    /// Never: there is something between all bounds.
    pub fn any(next: &mut impl FnMut(i32, i32) -> i32) -> Self {
        let mut place = |far: i32| (next(-far, far), next(-far, far));
        let (ends, center) = ([place(20_000), place(20_000)], place(24_000));
        Self { ends, center, heights: [next(4000, 11_000), next(1000, 11_000)], radius: next(1, 1500) }
    }

    /// Flown at 4 m/s.
    #[must_use]
    pub fn steps(&self) -> [Step; 4] {
        let [first, second] = self.heights;
        [climb(first), fly(self.ends[0], first, 400), fly(self.ends[1], second, 400), Step::Land]
    }

    /// The least that a place of the second leg, or the way home from it, leaves, and the least distance from the circle:
    /// `leaves` says what a distance (m) and a height of the leg (m) leave. Within the circle the distance is 1 cm less than
    /// nothing.
    pub fn least(&self, home: bool, leaves: impl Fn(f64, f64) -> f64) -> (f64, f64) {
        let metres = |(north, east): (i32, i32)| (f64::from(east) * EAST, f64::from(north) * NORTH);
        let ([from, to], center) = (self.ends.map(metres), metres(self.center));
        let place = |number: u32| {
            let share = f64::from(number) / 4000.0;
            let along = |from: f64, to: f64| from + (to - from) * share;
            let end = (along(from.0, to.0), along(from.1, to.1));
            let apart = if home { beside(center, end) } else { (center.0 - end.0).hypot(center.1 - end.1) };
            let distance = (apart - f64::from(self.radius) / 100.0).max(-0.01);
            (leaves(distance, along(f64::from(self.heights[0]), f64::from(self.heights[1])) / 100.0), distance)
        };
        (0..=4000).map(place).fold((f64::MAX, f64::MAX), |least, place| (least.0.min(place.0), least.1.min(place.1)))
    }
}
