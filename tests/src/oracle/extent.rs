//! How far everything that matters is from launch.

use pinfold_core::model::{
    route::{Launch, Step},
    store::Limits,
    zone::Shape,
};

use super::{
    course::Home,
    flight::{hundredths, local},
};

/// Farthest that anything may be from launch, in metres.
pub const REACH: f64 = 50_000.0;

/// Latitude that nothing may reach, in 1e-7 degree.
const TOP: i32 = 800_000_000;

/// How far things are.
#[derive(Clone, Copy, Debug)]
pub struct Span {
    /// Metres from launch to the farthest place.
    pub farthest: f64,
    /// Whether a place is at 80 degrees of latitude or beyond.
    pub polar: bool,
    /// Whether a place is within 10 cm of 80 degrees.
    pub almost_polar: bool,
}

/// How far zones and steps are from launch.
#[must_use]
pub fn span(limits: Limits<'_>, launch: &Launch, home: Home, steps: &[Step]) -> Span {
    let center = home.ground((0, 0));
    let mut places = vec![(launch.position, 0)];
    for (number, zone) in limits.zones() {
        match zone.shape {
            Shape::Circle { center, radius } => places.push((center, radius.get())),
            Shape::Polygon => places.extend(limits.rings(number).flatten().map(|vertex| (*vertex, 0))),
        }
    }
    places.extend(steps.iter().filter_map(|step| match step {
        Step::Fly { to, .. } => Some((*to, 0)),
        Step::Climb { .. } | Step::Hold { .. } | Step::Land | Step::Return => None,
    }));
    let latitude = |count: &i32| places.iter().any(|(place, _)| place.latitude.get().abs() >= *count);
    let far = |(place, radius): &(_, i32)| center.meters_to(home.ground(local(launch, *place))) + hundredths(*radius);
    Span {
        farthest: places.iter().map(far).fold(0.0, f64::max),
        polar: latitude(&TOP),
        almost_polar: latitude(&(TOP - 10)),
    }
}
