//! Zones beside a path, from a few numbers that can shrink.

use proptest::{collection::vec, prelude::*};

/// A zone as drawn: rings of (latitude, longitude), or a circle's centre and radius. 1e-7 degree and 0.01 m.
#[derive(Clone, Debug)]
pub enum Drawn {
    /// Rings.
    Rings(Vec<Vec<(i32, i32)>>),
    /// A circle.
    Circle((i32, i32), i32),
}

/// A point of the plane in metres east and north of launch.
pub(super) type Plane = (f64, f64);

/// Turns metres into counts about a launch point. It needs no accuracy: whatever comes out is the case.
#[derive(Clone, Copy, Debug)]
pub struct Chart {
    latitude: i32,
    longitude: i32,
}

impl Chart {
    /// About a launch point in 1e-7 degree.
    #[must_use]
    pub const fn about(latitude: i32, longitude: i32) -> Self {
        Self { latitude, longitude }
    }

    /// (latitude, longitude) of a point, on the short side of the antimeridian.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, reason = "a few degrees")]
    pub fn counts(self, (east, north): Plane) -> (i32, i32) {
        const METERS: f64 = 0.011_13;
        let shrink = (f64::from(self.latitude) / 1e7).to_radians().cos();
        let longitude = i64::from(self.longitude) + (east / METERS / shrink).round() as i64;
        ((self.latitude + (north / METERS).round() as i32).clamp(-900_000_000, 900_000_000), wrapped(longitude))
    }
}

/// A longitude within the half turn to either side.
#[expect(clippy::cast_possible_truncation, reason = "within half a turn")]
fn wrapped(longitude: i64) -> i32 {
    const TURN: i64 = 3_600_000_000;
    ((longitude + TURN / 2).rem_euclid(TURN) - TURN / 2) as i32
}

/// A length between two others, every order of magnitude as likely as the next.
pub(super) fn magnitude(share: f64, from: f64, to: f64) -> f64 {
    from * (to / from).powf(share)
}

pub(super) fn step_from((east, north): Plane, degrees: f64, meters: f64) -> Plane {
    let (sin, cos) = degrees.to_radians().sin_cos();
    (east + meters * sin, north + meters * cos)
}

/// Bearings, the straight ones often.
pub(super) fn bearing() -> impl Strategy<Value = f64> {
    prop_oneof![2 => 0.0..360.0_f64, 1 => (0..8_u8).prop_map(|eighth| 45.0 * f64::from(eighth))]
}

/// What a zone looks like.
#[derive(Clone, Copy, Debug)]
enum Look {
    Star,
    Hollow,
    Needle,
    OnTheLine,
    AtTheLine,
    Circle,
}

/// A zone in the making.
#[derive(Clone, Debug)]
pub(super) struct Sketch {
    look: Look,
    place: f64,
    pub(super) bearing: f64,
    gap: f64,
    pub(super) size: f64,
    pub(super) radii: Vec<f64>,
    pub(super) band: Option<(Option<i32>, Option<i32>)>,
}

pub(super) fn sketch() -> impl Strategy<Value = Sketch> {
    use Look::{AtTheLine, Circle, Hollow, Needle, OnTheLine, Star};
    let look = prop::sample::select(vec![Star, Star, Hollow, Needle, OnTheLine, AtTheLine, Circle]);
    let floor = 500..6000_i32;
    let band = prop_oneof![
        floor.clone().prop_map(|floor| (Some(floor), None)),
        floor.clone().prop_map(|ceiling| (None, Some(ceiling))),
        (floor, 10..5000_i32).prop_map(|(floor, depth)| (Some(floor), Some(floor + depth))),
    ];
    let band = prop_oneof![2 => Just(None), 1 => band.prop_map(Some)];
    (look, 0.0..1.0_f64, bearing(), 0.0..1.0_f64, 0.0..1.0_f64, vec(0.15..1.0_f64, 3..9), band).prop_map(
        |(look, place, bearing, gap, size, radii, band)| Sketch { look, place, bearing, gap, size, radii, band },
    )
}

/// A star-shaped ring about a point.
pub(super) fn star(chart: Chart, center: Plane, turn: f64, radii: &[f64], size: f64) -> Vec<(i32, i32)> {
    let sector = 360.0 / f64::from(u32::try_from(radii.len()).unwrap_or(1));
    let bearings = (0..).map(|number: u32| turn + sector * f64::from(number));
    bearings.zip(radii).map(|(bearing, radius)| chart.counts(step_from(center, bearing, radius * size))).collect()
}

impl Sketch {
    /// The zone beside a path through these points.
    pub(super) fn draw(&self, chart: Chart, path: &[Plane], far: bool) -> Drawn {
        let size = magnitude(self.size, 0.05, if far { 12_000.0 } else { 4000.0 });
        let gap = magnitude(self.gap, 0.01, if far { 3000.0 } else { 100.0 });
        let (from, to) = self.leg(path);
        let share = (self.place * 7.0).fract();
        let between = |share: f64| (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1));
        let anchor = between(share);
        let edge = step_from(anchor, self.bearing, gap);
        let center = step_from(edge, self.bearing, size * self.radii[0]);
        match self.look {
            Look::Star => Drawn::Rings(vec![star(chart, center, self.bearing + 180.0, &self.radii, size)]),
            Look::Hollow => {
                let ring = |scale: f64| star(chart, anchor, self.bearing, &self.radii, scale);
                Drawn::Rings(vec![ring(size + 2.0 * gap), ring(0.7 * size)])
            }
            Look::Needle => {
                let end = step_from(edge, self.bearing + 90.0 * self.radii[1], size);
                let beside = step_from(end, self.bearing + 90.0, 0.02 + 0.0001 * size);
                Drawn::Rings(vec![[edge, end, beside].map(|point| chart.counts(point)).to_vec()])
            }
            Look::OnTheLine => on_the_line(chart.counts(from), chart.counts(to), &self.radii),
            Look::AtTheLine => at_the_line(chart.counts(from), chart.counts(to), &self.radii),
            #[expect(clippy::cast_possible_truncation, reason = "a few kilometres in centimetres")]
            Look::Circle => Drawn::Circle(chart.counts(center), (size * self.radii[0] * 100.0).ceil() as i32),
        }
    }

    fn leg(&self, path: &[Plane]) -> (Plane, Plane) {
        let legs: Vec<_> = path.windows(2).map(|pair| (pair[0], pair[1])).collect();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and 10")]
        let number = (self.place * 10.0) as usize;
        legs[number % legs.len()]
    }
}

/// `from + (along * (to - from) + across * (its normal)) / 4`, in counts.
fn quarter((a, b): (i32, i32), (c, d): (i32, i32), along: i32, across: i32) -> (i32, i32) {
    let (rise, run) = ((c - a) / 4, wrapped(i64::from(d) - i64::from(b)) / 4);
    (a + along * rise + across * run, wrapped(i64::from(b) + i64::from(along * run) - i64::from(across * rise)))
}

/// A quadrangle with an edge along a leg's line: before it, on it, or beyond its end.
fn on_the_line(from: (i32, i32), to: (i32, i32), radii: &[f64]) -> Drawn {
    #[expect(clippy::cast_possible_truncation, reason = "small numbers")]
    let start = (radii[0] * 12.0) as i32 - 4;
    let point = |along: i32, across: i32| quarter(from, to, along, across);
    Drawn::Rings(vec![vec![point(start, 0), point(start + 2, 0), point(start + 3, -2), point(start - 1, -1)]])
}

/// A triangle with a vertex on, or a count or two beside, a leg.
fn at_the_line(from: (i32, i32), to: (i32, i32), radii: &[f64]) -> Drawn {
    #[expect(clippy::cast_possible_truncation, reason = "small numbers")]
    let (along, beside) = ((radii[0] * 5.0) as i32, (radii[1] * 4.0) as i32 - 1);
    let (a, b) = quarter(from, to, along, 0);
    let point = |across: i32, along: i32| quarter(from, to, along, across);
    Drawn::Rings(vec![vec![(a + beside, b), point(-3, along + 1), point(-2, along - 2)]])
}
