//! The figures of limits that a preset can tighten.

use pinfold_core::{
    model::limits::{Figures, Link, RouteHabits},
    units::{Duration, Height, Length, Reserve, SpeedLimit, Tilt},
};

use crate::{
    read::quantity,
    text::{decimal::written, table::Quantity},
};

/// Which of two figures asks for more.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stricter {
    Lower,
    Higher,
}

/// A figure: where it stands in limits.toml, and in the limits that are read from it.
pub(crate) struct Figure {
    pub(crate) section: &'static str,
    pub(crate) key: &'static str,
    pub(crate) quantity: Quantity,
    stricter: Stricter,
    /// Its count; `None` where limits don't have it.
    pub(crate) get: fn(&Figures) -> Option<i32>,
    /// Puts a count there; `None` out of range.
    pub(crate) set: fn(&mut Figures, i32) -> Option<()>,
}

impl Figure {
    /// Whether a count asks for more than what limits have.
    pub(crate) fn tightens(&self, count: i32, had: Option<i32>) -> bool {
        had.is_none_or(|had| match self.stricter {
            Stricter::Lower => count < had,
            Stricter::Higher => count > had,
        })
    }

    /// Its name for people: section and key.
    pub(crate) fn name(&self) -> String {
        format!("[{}] {}", self.section, self.key)
    }

    /// A count with its unit.
    pub(crate) fn shown(&self, count: i32) -> String {
        format!("{} {}", written(i64::from(count), self.quantity.digits), self.quantity.unit)
    }
}

macro_rules! figures {
    ($( $section:literal $key:literal, $quantity:ident, $stricter:ident, $get:expr, $set:expr; )*) => {
        /// All of them, in the order of limits.toml.
        pub(crate) static FIGURES: &[Figure] = &[$(Figure {
            section: $section,
            key: $key,
            quantity: quantity::$quantity,
            stricter: Stricter::$stricter,
            get: $get,
            set: $set,
        }),*];
    };
}

figures! {
    "margins" "fixed_m", LENGTH, Higher,
        |all| Some(all.margins.fixed.get()), |all, count| Length::new(count).map(|new| all.margins.fixed = new);
    "margins" "reaction_s", DURATION, Higher,
        |all| Some(all.margins.reaction.get()), |all, count| Duration::new(count).map(|new| all.margins.reaction = new);
    "margins" "brake_tilt_deg", TILT, Lower,
        |all| Some(all.margins.brake_tilt.get()), |all, count| Tilt::new(count).map(|new| all.margins.brake_tilt = new);
    "margins" "up_fixed_m", LENGTH, Higher,
        |all| Some(all.margins.up_fixed.get()), |all, count| Length::new(count).map(|new| all.margins.up_fixed = new);
    "margins" "people_m", LENGTH, Higher,
        |all| all.margins.people.map(Length::get),
        |all, count| Length::new(count).map(|new| all.margins.people = Some(new));
    "heights" "ceiling_m", HEIGHT, Lower,
        |all| Some(all.heights.ceiling.get()), |all, count| Height::new(count).map(|new| all.heights.ceiling = new);
    "heights" "floor_m", HEIGHT, Higher,
        |all| Some(all.heights.floor.get()), |all, count| Height::new(count).map(|new| all.heights.floor = new);
    "heights" "ceiling_above_ground_m", HEIGHT, Lower,
        |all| all.heights.ceiling_above_ground.map(Height::get),
        |all, count| Height::new(count).map(|new| all.heights.ceiling_above_ground = Some(new));
    "aircraft" "speed_max_m_s", SPEED_LIMIT, Lower,
        |all| Some(all.aircraft.speed_max.get()),
        |all, count| SpeedLimit::new(count).map(|new| all.aircraft.speed_max = new);
    "aircraft" "climb_m_s", SPEED_LIMIT, Lower,
        |all| Some(all.aircraft.climb.get()), |all, count| SpeedLimit::new(count).map(|new| all.aircraft.climb = new);
    "aircraft" "descent_m_s", SPEED_LIMIT, Lower,
        |all| Some(all.aircraft.descent.get()),
        |all, count| SpeedLimit::new(count).map(|new| all.aircraft.descent = new);
    "return" "landing_max_m_s", SPEED_LIMIT, Lower,
        |all| Some(all.homeward.landing_max.get()),
        |all, count| SpeedLimit::new(count).map(|new| all.homeward.landing_max = new);
    "battery" "reserve_percent", RESERVE, Higher,
        |all| Some(all.battery.reserve.get()),
        |all, count| Reserve::new(count).map(|new| all.battery.reserve = new);
    "link" "range_m", LENGTH, Lower,
        |all| all.link.map(|link| link.range.get()),
        |all, count| Length::new(count).map(|range| {
            all.link = Some(Link { range, station: all.link.and_then(|link| link.station) });
        });
    "route" "longest_leg_m", LENGTH, Lower,
        |all| all.route.map(|route| route.longest_leg.get()),
        |all, count| Length::new(count).and_then(|longest_leg| {
            all.route = Some(RouteHabits { longest_leg, ..all.route.or_else(unbounded)? });
            Some(())
        });
    "route" "first_point_within_m", LENGTH, Lower,
        |all| all.route.map(|route| route.first_point_within.get()),
        |all, count| Length::new(count).and_then(|first_point_within| {
            all.route = Some(RouteHabits { first_point_within, ..all.route.or_else(unbounded)? });
            Some(())
        });
    "readings" "position_within_s", DURATION, Lower,
        |all| all.readings.position.map(Duration::get),
        |all, count| Duration::new(count).map(|new| all.readings.position = Some(new));
    "readings" "pack_within_s", DURATION, Lower,
        |all| all.readings.pack.map(Duration::get),
        |all, count| Duration::new(count).map(|new| all.readings.pack = Some(new));
    "readings" "flight_within_s", DURATION, Lower,
        |all| all.readings.flight.map(Duration::get),
        |all, count| Duration::new(count).map(|new| all.readings.flight = Some(new));
}

/// Habits that ask for nothing: no length is longer.
fn unbounded() -> Option<RouteHabits> {
    let longest = Length::new(Length::MAX)?;
    Some(RouteHabits { longest_leg: longest, first_point_within: longest })
}
