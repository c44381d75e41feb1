//! Sections that may be left out: what they would limit is then not looked at.

use pinfold_core::{
    model::limits::{Air, Freshness, LaunchSpot, Link, RouteHabits},
    units::{Duration, Temperature},
};

use crate::{
    problem::Problem,
    read::{
        quantity,
        take::{length, position, take, take_if},
    },
    text::table::{
        Finer::{Down, Up},
        Section,
    },
};

/// How cold and how warm the air may be: rounding makes the range wider.
pub(super) fn air(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Option<Air>, Problem> {
    let Some(section) = root.section_if("air", &["coldest_c", "warmest_c"])? else { return Ok(None) };
    Ok(Some(Air {
        coldest: take(&section, "coldest_c", quantity::TEMPERATURE, Down, notes, Temperature::new)?,
        warmest: take(&section, "warmest_c", quantity::TEMPERATURE, Up, notes, Temperature::new)?,
    }))
}

/// The radio's range, and where the ground station is, if not at launch.
pub(super) fn link(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Option<Link>, Problem> {
    let Some(section) = root.section_if("link", &["range_m", "lat", "lon"])? else { return Ok(None) };
    let range = length(&section, "range_m", Down, notes)?;
    let station = match (section.has("lat"), section.has("lon")) {
        (false, false) => None,
        (true, true) => Some(position(&section)?),
        (latitude, _) => {
            let (there, missing) = if latitude { ("lat", "lon") } else { ("lon", "lat") };
            let problem = section.problem_at(there, format!("the ground station has `{there}` and no `{missing}`"));
            return Err(problem.help("give both, or leave both out where it stands at the launch point"));
        }
    };
    Ok(Some(Link { range, station }))
}

/// What a route of this kind is expected to look like.
pub(super) fn route(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Option<RouteHabits>, Problem> {
    let Some(section) = root.section_if("route", &["longest_leg_m", "first_point_within_m"])? else { return Ok(None) };
    Ok(Some(RouteHabits {
        longest_leg: length(&section, "longest_leg_m", Down, notes)?,
        first_point_within: length(&section, "first_point_within_m", Down, notes)?,
    }))
}

/// How near to the planned launch point the aircraft must stand.
pub(super) fn launch(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Option<LaunchSpot>, Problem> {
    let Some(section) = root.section_if("launch", &["within_m"])? else { return Ok(None) };
    Ok(Some(LaunchSpot { within: length(&section, "within_m", Down, notes)? }))
}

/// How old what a board is told may be when it gives a permit.
pub(super) fn readings(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Freshness, Problem> {
    let known = ["position_within_s", "pack_within_s", "flight_within_s"];
    let Some(section) = root.section_if("readings", &known)? else { return Ok(Freshness::default()) };
    let mut within = |key| take_if(&section, key, quantity::DURATION, Down, notes, Duration::new);
    Ok(Freshness {
        position: within("position_within_s")?,
        pack: within("pack_within_s")?,
        flight: within("flight_within_s")?,
    })
}
