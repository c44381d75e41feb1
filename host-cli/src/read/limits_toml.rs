//! Limits written by hand: limits.toml, and the site file that it names.

use pinfold_core::{
    model::{
        limits::{
            Aircraft, Battery, Contradiction, Figures, Heights, Margins, POWER_POINTS, PowerPoint, PowerPoints,
            PowerTable, ReturnHabits, RouteHabits,
        },
        store::LimitsStore,
    },
    units::{Airspeed, Capacity, Cells, Duration, Health, Height, Length, Power, Reserve, Tilt, Voltage},
};
use toml::{Spanned, de::DeValue};

use super::{
    Limits, ground, quantity, site,
    take::{duration, height, length, name, speed_limit, take, take_if},
};
use crate::{
    problem::{Problem, Source},
    text::table::{
        Finer::{Down, Refuse, Up},
        Section, parse,
    },
};

/// Nominal voltages of a cell that there are, and room around them, 0.01 V: common practice, no source.
const CELL_VOLTS: (i32, i32) = (250, 450);

/// Sections of the file.
const KNOWN: [&str; 12] =
    ["name", "site", "margins", "heights", "aircraft", "wind", "return", "battery", "power", "link", "route", "launch"];

/// Reads limits and their site.
pub(crate) fn read(source: &Source) -> Result<Limits, Problem> {
    let document = parse(source)?;
    if document.get_ref().get("step").is_some() {
        let problem = Problem::file(&source.path, "this is a route, not limits");
        return Err(problem.help("give limits.toml with --limits, and this file before it"));
    }
    let root = Section::open(source, "", 0..0, document.get_ref(), &KNOWN)?;
    let mut notes = Vec::new();
    let file = root.section("site", &["file"])?;
    let (path, span) = file.text("file")?;
    let mut figures = figures(&root, &mut notes)?;
    refuse_unchecked(&root)?;
    figures.consistent().map_err(|why| contradiction(&root, &figures, why))?;
    let base = source.path.parent().unwrap_or_else(|| std::path::Path::new(""));
    let site_source = super::text_file(&base.join(&path)).map_err(|problem| {
        let say = format!("the site file can't be read: {}", problem.summary());
        source.problem(span.clone(), say).help("the path is taken from the folder of this file")
    })?;
    let mut site = site::read(&site_source, &mut notes)?;
    if site.rounded > 0 {
        widen(&mut figures, &site_source, site.rounded, &mut notes);
    }
    let ground = ground::read(&root, source, &site, &figures, &mut notes)?;
    if let Some(ground) = &ground {
        ground.settle(&mut site, &site_source, &mut notes)?;
    }
    let mut store = Box::new(LimitsStore::new());
    store.begin(figures);
    site.fill(&site_source, &mut store)?;
    ground.iter().try_for_each(|ground| ground.fill(&mut store)).map_err(|error| site.problem(&site_source, error))?;
    store.seal().map_err(|error| site.problem(&site_source, error))?;
    Ok(Limits { store, notes, ground })
}

/// Rounding corners to 1e-7 degree moves them, and the edges between them, by at most 8 mm: so much more margin is demanded.
fn widen(figures: &mut Figures, source: &Source, rounded: usize, notes: &mut Vec<String>) {
    let wider = Length::new(figures.margins.fixed.get().saturating_add(1));
    figures.margins.fixed = wider.unwrap_or(figures.margins.fixed);
    notes.push(format!(
        "{}: {rounded} positions are finer than 1e-7 degree; they are rounded, and 0.01 m is added to `fixed_m` for it",
        source.path.display()
    ));
}

/// Every figure that a rule of this version needs.
fn figures(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Figures, Problem> {
    Ok(Figures {
        name: name(root, "name")?,
        margins: margins(root, notes)?,
        heights: heights(root, notes)?,
        air: None,
        aircraft: aircraft(root, notes)?,
        homeward: homeward(root, notes)?,
        battery: battery(root, notes)?,
        power: power(root, notes)?,
        link: None,
        route: route(root, notes)?,
        launch: None,
    })
}

fn margins(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Margins, Problem> {
    let section = root.section("margins", &["fixed_m", "reaction_s", "brake_tilt_deg", "up_fixed_m"])?;
    Ok(Margins {
        fixed: length(&section, "fixed_m", Up, notes)?,
        reaction: duration(&section, "reaction_s", Up, notes)?,
        brake_tilt: take(&section, "brake_tilt_deg", quantity::TILT, Down, notes, Tilt::new)?,
        up_fixed: length(&section, "up_fixed_m", Up, notes)?,
    })
}

fn heights(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Heights, Problem> {
    let known =
        ["ceiling_m", "floor_m", "ceiling_above_sea_m", "ceiling_above_ground_m", "ground_clearance_m", "ground"];
    let section = root.section("heights", &known)?;
    for key in &known[3..5] {
        unchecked(&section, key, "the rule `ground` and ground data")?;
    }
    Ok(Heights {
        ceiling: height(&section, "ceiling_m", Down, notes)?,
        floor: height(&section, "floor_m", Up, notes)?,
        ceiling_above_sea: take_if(&section, "ceiling_above_sea_m", quantity::HEIGHT, Down, notes, Height::new)?,
        ceiling_above_ground: None,
        ground_clearance: None,
    })
}

fn aircraft(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Aircraft, Problem> {
    let known = ["size_m", "airspeed_max_m_s", "speed_max_m_s", "climb_m_s", "descent_m_s"];
    let section = root.section("aircraft", &known)?;
    Ok(Aircraft {
        size: length(&section, "size_m", Down, notes)?,
        airspeed_max: speed_limit(&section, "airspeed_max_m_s", Down, notes)?,
        speed_max: speed_limit(&section, "speed_max_m_s", Down, notes)?,
        climb: speed_limit(&section, "climb_m_s", Down, notes)?,
        descent: speed_limit(&section, "descent_m_s", Down, notes)?,
    })
}

/// The return's habits are facts: neither way of rounding is against the route.
fn homeward(root: &Section<'_>, notes: &mut Vec<String>) -> Result<ReturnHabits, Problem> {
    let known = ["height_m", "speed_m_s", "hold_s", "landing_m_s", "landing_max_m_s", "disarm_s"];
    let section = root.section("return", &known)?;
    Ok(ReturnHabits {
        height: height(&section, "height_m", Refuse, notes)?,
        speed: speed_limit(&section, "speed_m_s", Refuse, notes)?,
        hold: duration(&section, "hold_s", Up, notes)?,
        landing: speed_limit(&section, "landing_m_s", Refuse, notes)?,
        landing_max: speed_limit(&section, "landing_max_m_s", Down, notes)?,
        disarm: take_if(&section, "disarm_s", quantity::DURATION, Up, notes, Duration::new)?,
    })
}

fn battery(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Battery, Problem> {
    let known = ["capacity_mah", "cells", "nominal_volts", "health_percent", "reserve_percent"];
    let section = root.section("battery", &known)?;
    let battery = Battery {
        capacity: take(&section, "capacity_mah", quantity::CAPACITY, Down, notes, Capacity::new)?,
        cells: take(&section, "cells", quantity::CELLS, Refuse, notes, Cells::new)?,
        nominal: take(&section, "nominal_volts", quantity::VOLTAGE, Down, notes, Voltage::new)?,
        health: take(&section, "health_percent", quantity::HEALTH, Down, notes, Health::new)?,
        reserve: take(&section, "reserve_percent", quantity::RESERVE, Up, notes, Reserve::new)?,
    };
    let per_cell = battery.nominal.get() / battery.cells.get().max(1);
    if (CELL_VOLTS.0..=CELL_VOLTS.1).contains(&per_cell) {
        return Ok(battery);
    }
    let say = format!("{} cells don't make this voltage", battery.cells.get());
    Err(section
        .problem_at("nominal_volts", say)
        .help("`nominal_volts` is the pack's: 3.2 to 3.8 V for each cell, by its kind"))
}

fn power(root: &Section<'_>, notes: &mut Vec<String>) -> Result<PowerTable, Problem> {
    let section = root.section("power", &["table", "climb_w"])?;
    let shape = || {
        section
            .problem_at("table", "`table` is to be a list of [airspeed in m/s, power in W]")
            .help("write table = [[0.0, 190.0], [5.0, 175.0]]")
    };
    let Some(DeValue::Array(rows)) = section.value("table").map(Spanned::get_ref) else { return Err(shape()) };
    if rows.len() > POWER_POINTS {
        return Err(section.problem_at("table", format!("{} points; {POWER_POINTS} are the most", rows.len())));
    }
    let mut points = PowerPoints::new();
    for row in rows {
        let DeValue::Array(pair) = row.get_ref() else { return Err(shape()) };
        let [airspeed, watts] = &pair[..] else { return Err(shape()) };
        let airspeed = section.number("table", airspeed, quantity::AIRSPEED, Refuse, notes)?;
        let watts = section.number("table", watts, quantity::POWER, Up, notes)?;
        let power = i32::try_from(watts).ok().and_then(Power::new).ok_or_else(shape)?;
        let airspeed = u16::try_from(airspeed).ok().and_then(Airspeed::new).ok_or_else(shape)?;
        let point = PowerPoint { airspeed, power };
        points.push(point).map_err(|_| shape())?;
    }
    Ok(PowerTable { points, climb: take(&section, "climb_w", quantity::POWER, Up, notes, Power::new)? })
}

fn route(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Option<RouteHabits>, Problem> {
    let Some(section) = root.section_if("route", &["longest_leg_m", "first_point_within_m"])? else { return Ok(None) };
    Ok(Some(RouteHabits {
        longest_leg: length(&section, "longest_leg_m", Down, notes)?,
        first_point_within: length(&section, "first_point_within_m", Down, notes)?,
    }))
}

/// Limits that ask for a rule that this version doesn't have are refused by name: none is ever passed over.
fn refuse_unchecked(root: &Section<'_>) -> Result<(), Problem> {
    let wind = root.section("wind", &["up_to_m_s", "from_deg", "spread_deg"])?;
    let up_to = wind.count("up_to_m_s", quantity::AIRSPEED, Up, &mut Vec::new())?;
    if up_to > 0 {
        return Err(wind
            .problem_at("up_to_m_s", "this version checks energy and airspeed in still air only")
            .help("write up_to_m_s = 0.0, and judge by yourself what wind the aircraft and its pack can stand"));
    }
    unchecked(&wind, "from_deg", "the rules `wind` and `reserve` in moving air")?;
    unchecked(&wind, "spread_deg", "the rules `wind` and `reserve` in moving air")?;
    unchecked(root, "link", "the rule `link`")?;
    unchecked(root, "launch", "the rule `launch`")
}

fn unchecked(section: &Section<'_>, key: &str, needs: &str) -> Result<(), Problem> {
    if !section.has(key) {
        return Ok(());
    }
    let say = format!("`{key}` needs {needs}, which this version doesn't have");
    Err(section
        .problem_at(key, say)
        .help("leave it out, and check it by yourself: a limit is never silently passed over"))
}

/// Figures that contradict themselves, shown at one of the two.
fn contradiction(root: &Section<'_>, figures: &Figures, why: Contradiction) -> Problem {
    let metres = |height: Height| crate::text::decimal::written(i64::from(height.get()), 2);
    let ceiling = metres(figures.heights.ceiling);
    let (section, key, say) = match why {
        Contradiction::Name => {
            return root.problem_at("name", "a name has at least one letter, and no control characters");
        }
        Contradiction::FloorAboveCeiling => {
            ("heights", "floor_m", format!("the floor is above the ceiling of {ceiling} m"))
        }
        Contradiction::ReturnAboveCeiling => {
            ("return", "height_m", format!("the return height is above the ceiling of {ceiling} m"))
        }
        Contradiction::ReturnNotAboveLaunch => ("return", "height_m", "the return height is not above launch".into()),
        Contradiction::ReturnTooFast => ("return", "speed_m_s", "the return is faster than `speed_max_m_s`".into()),
        Contradiction::ColdestAboveWarmest => ("air", "coldest_c", "the coldest air is warmer than the warmest".into()),
        Contradiction::PowerTableShort => ("power", "table", "the power table has fewer than two points".into()),
        Contradiction::PowerTableStart => ("power", "table", "the power table doesn't start at 0 m/s".into()),
        Contradiction::PowerTableOrder => ("power", "table", "the airspeeds of the power table don't rise".into()),
    };
    root.problem_in(section, key, say).help("these limits contradict themselves: change one of the two")
}
