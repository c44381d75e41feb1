//! Limits as limits.toml.

use std::fmt::Write as _;

use pinfold_core::{
    model::limits::{Air, ChargePoint, ChargePoints, Figures, Freshness, Link, RouteHabits, Wind},
    units::Temperature,
};

use super::{degrees, hundredths, quoted};
use crate::text::decimal::written;

/// The text of limits whose site is in `site`, and whose ground, if they have any, in `ground`.
pub(crate) fn text(figures: &Figures, site: &str, ground: Option<&str>) -> String {
    let mut text = format!("name = {}\n\n[site]\nfile = {}\n", quoted(&figures.name), quoted(site));
    for (title, keys) in sections(figures, ground) {
        let _ = writeln!(text, "\n[{title}]");
        for (key, value) in keys {
            let _ = writeln!(text, "{key} = {value}");
        }
    }
    text
}

/// Keys and values of a section.
pub(crate) type Keys = Vec<(&'static str, String)>;

/// All figures, in the order of limits.toml.
pub(crate) fn sections(figures: &Figures, ground: Option<&str>) -> Vec<(&'static str, Keys)> {
    let mut sections = vec![("margins", margins(figures)), ("heights", heights(figures, ground))];
    sections.extend(figures.air.map(|air| ("air", self::air(air))));
    sections.extend([
        ("aircraft", aircraft(figures)),
        ("wind", wind(figures.wind)),
        ("return", homeward(figures)),
        ("battery", battery(figures)),
        ("power", power(figures)),
    ]);
    sections.extend(figures.link.map(|link| ("link", self::link(link))));
    sections.extend(figures.route.map(|route| ("route", self::route(route))));
    sections.extend(figures.launch.map(|spot| ("launch", vec![("within_m", hundredths(spot.within.get()))])));
    sections.extend(Some(("readings", readings(figures.readings))).filter(|(_, keys)| !keys.is_empty()));
    sections
}

fn wind(wind: Wind) -> Keys {
    let mut keys = vec![("up_to_m_s", hundredths(wind.up_to.get()))];
    if let Some(from) = wind.from {
        keys.push(("from_deg", from.direction.get().to_string()));
        keys.push(("spread_deg", from.spread.get().to_string()));
    }
    keys
}

fn air(air: Air) -> Keys {
    let tenths = |temperature: Temperature| written(i64::from(temperature.get()), 1);
    vec![("coldest_c", tenths(air.coldest)), ("warmest_c", tenths(air.warmest))]
}

fn link(link: Link) -> Keys {
    let mut keys = vec![("range_m", hundredths(link.range.get()))];
    if let Some(station) = link.station {
        keys.push(("lat", degrees(station.latitude.get())));
        keys.push(("lon", degrees(station.longitude.get())));
    }
    keys
}

fn route(route: RouteHabits) -> Keys {
    vec![
        ("longest_leg_m", hundredths(route.longest_leg.get())),
        ("first_point_within_m", hundredths(route.first_point_within.get())),
    ]
}

fn readings(readings: Freshness) -> Keys {
    let kinds = [
        ("position_within_s", readings.position),
        ("pack_within_s", readings.pack),
        ("flight_within_s", readings.flight),
    ];
    kinds.into_iter().filter_map(|(key, within)| Some((key, hundredths(within?.get())))).collect()
}

fn margins(figures: &Figures) -> Keys {
    let margins = &figures.margins;
    let mut keys = vec![
        ("fixed_m", hundredths(margins.fixed.get())),
        ("reaction_s", hundredths(margins.reaction.get())),
        ("brake_tilt_deg", margins.brake_tilt.get().to_string()),
        ("up_fixed_m", hundredths(margins.up_fixed.get())),
    ];
    keys.extend(margins.people.map(|people| ("people_m", hundredths(people.get()))));
    keys
}

fn heights(figures: &Figures, ground: Option<&str>) -> Keys {
    let heights = &figures.heights;
    let mut keys = vec![("ceiling_m", hundredths(heights.ceiling.get())), ("floor_m", hundredths(heights.floor.get()))];
    keys.extend(heights.ceiling_above_sea.map(|height| ("ceiling_above_sea_m", hundredths(height.get()))));
    keys.extend(heights.ceiling_above_ground.map(|height| ("ceiling_above_ground_m", hundredths(height.get()))));
    keys.extend(heights.ground_clearance.map(|height| ("ground_clearance_m", hundredths(height.get()))));
    keys.extend(ground.map(|file| ("ground", quoted(file))));
    keys
}

fn aircraft(figures: &Figures) -> Keys {
    let aircraft = &figures.aircraft;
    vec![
        ("size_m", hundredths(aircraft.size.get())),
        ("airspeed_max_m_s", hundredths(aircraft.airspeed_max.get())),
        ("speed_max_m_s", hundredths(aircraft.speed_max.get())),
        ("climb_m_s", hundredths(aircraft.climb.get())),
        ("descent_m_s", hundredths(aircraft.descent.get())),
    ]
}

fn homeward(figures: &Figures) -> Keys {
    let homeward = &figures.homeward;
    let mut keys = vec![
        ("height_m", hundredths(homeward.height.get())),
        ("speed_m_s", hundredths(homeward.speed.get())),
        ("hold_s", hundredths(homeward.hold.get())),
        ("landing_m_s", hundredths(homeward.landing.get())),
        ("landing_max_m_s", hundredths(homeward.landing_max.get())),
    ];
    keys.extend(homeward.disarm.map(|delay| ("disarm_s", hundredths(delay.get()))));
    keys
}

fn battery(figures: &Figures) -> Keys {
    let battery = &figures.battery;
    let mut keys = vec![
        ("capacity_mah", battery.capacity.get().to_string()),
        ("cells", battery.cells.get().to_string()),
        ("nominal_volts", hundredths(battery.nominal.get())),
        ("health_percent", battery.health.get().to_string()),
        ("reserve_percent", battery.reserve.get().to_string()),
    ];
    keys.extend(battery.rest.map(|rest| ("rest_s", hundredths(rest.get()))));
    let point = |point: &ChargePoint| format!("[{}, {}]", written(i64::from(point.cell.get()), 3), point.charge.get());
    let list = |points: &ChargePoints| points.iter().map(point).collect::<Vec<_>>().join(", ");
    keys.extend(figures.charge.as_ref().map(|points| ("charge_table", format!("[{}]", list(points)))));
    keys
}

fn power(figures: &Figures) -> Keys {
    let point = |point: &pinfold_core::model::limits::PowerPoint| {
        format!("[{}, {}.0]", hundredths(i32::from(point.airspeed.get())), point.power.get())
    };
    let points: Vec<String> = figures.power.points.iter().map(point).collect();
    vec![("table", format!("[{}]", points.join(", "))), ("climb_w", format!("{}.0", figures.power.climb.get()))]
}
