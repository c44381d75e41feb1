//! Limits and routes for a board on the bench: an invented meadow at the equator.

use pinfold_core::{
    interlock::Flight,
    link::{Aged, Report},
    model::{
        limits::{Freshness, LaunchSpot},
        route::{Launch, Step},
        store::LimitsStore,
        zone::ZoneKind,
    },
    rules::PackReading,
    units::{Charge, Voltage},
};

use crate::{
    packed::{packed_limits, packed_route},
    sample::{Site, climb, duration, figures, fly, height, launch, length, position},
};

/// Half a side of the meadow: some 223 m.
const HALF: i32 = 20_000;

/// What a board's readings must be like: a position of 5 s, a voltage of 10 minutes, flying or not of 2 s.
#[must_use]
pub fn all_asked() -> Freshness {
    Freshness { position: Some(duration(500)), pack: Some(duration(60_000)), flight: Some(duration(200)) }
}

/// The meadow's limits, sealed: some figures of them, and what they ask a board to know.
///
/// # Panics
/// Never: the limits are sound.
#[must_use]
pub fn meadow(ceiling: i32, readings: Freshness) -> Box<LimitsStore> {
    let site = meadow_site("invented quad", ceiling, readings);
    site.seal().expect("sound limits")
}

/// The same, called something, not sealed yet.
///
/// # Panics
/// The name is too long.
#[must_use]
pub fn meadow_site(name: &str, ceiling: i32, readings: Freshness) -> Site {
    let mut figures = figures();
    figures.name = name.try_into().expect("a short name");
    figures.heights.ceiling = height(ceiling);
    figures.launch = Some(LaunchSpot { within: length(1000) });
    figures.readings = readings;
    let ring = vec![(-HALF, -HALF), (-HALF, HALF), (HALF, HALF), (HALF, -HALF)];
    Site::new(figures).polygon("meadow", ZoneKind::KeepIn, None, &[ring]).expect("there is room")
}

/// The meadow's limits, packed.
///
/// # Panics
/// Never: they are sealed.
#[must_use]
pub fn packed_meadow(ceiling: i32, readings: Freshness) -> Vec<u8> {
    packed_limits(meadow(ceiling, readings).limits().expect("sealed")).0
}

/// Where the routes begin.
#[must_use]
pub fn start() -> Launch {
    launch(0, 0)
}

/// The steps of a route at a height in 0.01 m: out and back.
#[must_use]
pub fn steps(at: i32) -> Vec<Step> {
    vec![climb(at), fly((5_000, 5_000), at, 300), Step::Return]
}

/// A route at a height in 0.01 m, packed.
#[must_use]
pub fn route(at: i32) -> Vec<u8> {
    packed_route(&start(), &steps(at)).0
}

/// A reading that is just made.
pub const fn now<T>(value: T) -> Option<Aged<T>> {
    Some(Aged::now(value))
}

/// What is known where the aircraft stands at launch with a full pack.
///
/// # Panics
/// Never: the figures are in range.
#[must_use]
pub fn standing() -> Report {
    let voltage = Voltage::new(1680).expect("in range");
    Report {
        flight: now(Flight::Ground),
        position: now(position(0, 0)),
        pack: now(PackReading { voltage, rested: None }),
        ..Report::default()
    }
}

/// What is known of an aircraft that flies: so far north, 1e-7 degree, so high, 0.01 m, with so much left, 0.001 Wh.
///
/// # Panics
/// A figure is out of range.
#[must_use]
pub fn flying(north: i32, high: i32, left: i32) -> Report {
    Report {
        flight: now(Flight::Flying),
        position: now(position(north, 0)),
        height: now(height(high)),
        left: now(Charge::new(left).expect("in range")),
        ..Report::default()
    }
}
