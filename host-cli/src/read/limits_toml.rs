//! Limits written by hand: limits.toml, and the site file that it names.

mod energy;
mod optional;
mod wrong;

use pinfold_core::{
    model::{
        limits::{Aircraft, Figures, Heights, Margins, ReturnHabits},
        store::{LimitsError, LimitsStore},
    },
    units::{Duration, Length, Tilt},
};

use super::{
    Limits, ground, quantity, site,
    take::{duration, height, height_if, length, name, speed_limit, take, take_if},
};
use crate::{
    problem::{Problem, Source},
    text::table::{
        Finer::{Down, Refuse, Up},
        Section, parse,
    },
};
pub(crate) use wrong::{contradicted, problem_in};

/// Rounding corners to 1e-7 degree moves them, and the edges between them, by at most 8 mm: so much more margin is demanded,
/// 0.01 m.
pub(crate) const ROUNDED: i32 = 1;

/// Sections of the file.
const KNOWN: [&str; 14] = [
    "name", "site", "margins", "heights", "air", "aircraft", "wind", "return", "battery", "power", "link", "route",
    "launch", "readings",
];

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
    figures.consistent().map_err(|why| wrong::contradiction(&root, &figures, why))?;
    let base = source.path.parent().unwrap_or_else(|| std::path::Path::new(""));
    let site_source = super::text_file(&base.join(&path)).map_err(|problem| {
        let say = format!("the site file can't be read: {}", problem.summary());
        source.problem(span.clone(), say).help("the path is taken from the folder of this file")
    })?;
    let mut site = site::read(&site_source, &mut notes)?;
    let widened = site.rounded > 0;
    if widened {
        widen(&mut figures, ROUNDED);
        notes.push(format!(
            "{}: {} positions are finer than 1e-7 degree; they are rounded, and 0.01 m is added to `fixed_m` for it",
            site_source.path.display(),
            site.rounded
        ));
    }
    let ground = ground::read(&root, source, &site, &mut notes)?;
    if let Some(ground) = &ground {
        ground.settle(&mut site, &site_source, &mut notes)?;
    }
    let mut store = Box::new(LimitsStore::new());
    store.begin(figures);
    site.fill(&site_source, &mut store)?;
    ground.iter().try_for_each(|ground| ground.fill(&mut store)).map_err(|error| site.problem(&site_source, error))?;
    store.seal().map_err(|error| match error {
        LimitsError::NoGround => wrong::no_ground(&root),
        _ => site.problem(&site_source, error),
    })?;
    Ok(Limits { store, notes, text: None, widened, ground })
}

/// Changes the fixed margin by so many counts of 0.01 m.
pub(crate) fn widen(figures: &mut Figures, by: i32) {
    let wider = Length::new(figures.margins.fixed.get().saturating_add(by));
    figures.margins.fixed = wider.unwrap_or(figures.margins.fixed);
}

/// Every figure that a rule of this version needs.
fn figures(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Figures, Problem> {
    Ok(Figures {
        name: name(root, "name")?,
        margins: margins(root, notes)?,
        heights: heights(root, notes)?,
        air: optional::air(root, notes)?,
        aircraft: aircraft(root, notes)?,
        wind: energy::wind(root, notes)?,
        homeward: homeward(root, notes)?,
        battery: energy::battery(root, notes)?,
        charge: energy::charge(root, notes)?,
        power: energy::power(root, notes)?,
        link: optional::link(root, notes)?,
        route: optional::route(root, notes)?,
        launch: optional::launch(root, notes)?,
        readings: optional::readings(root, notes)?,
    })
}

fn margins(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Margins, Problem> {
    let section = root.section("margins", &["fixed_m", "reaction_s", "brake_tilt_deg", "up_fixed_m", "people_m"])?;
    Ok(Margins {
        fixed: length(&section, "fixed_m", Up, notes)?,
        reaction: duration(&section, "reaction_s", Up, notes)?,
        brake_tilt: take(&section, "brake_tilt_deg", quantity::TILT, Down, notes, Tilt::new)?,
        up_fixed: length(&section, "up_fixed_m", Up, notes)?,
        people: take_if(&section, "people_m", quantity::LENGTH, Up, notes, Length::new)?,
    })
}

fn heights(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Heights, Problem> {
    let known =
        ["ceiling_m", "floor_m", "ceiling_above_sea_m", "ceiling_above_ground_m", "ground_clearance_m", "ground"];
    let section = root.section("heights", &known)?;
    Ok(Heights {
        ceiling: height(&section, "ceiling_m", Down, notes)?,
        floor: height(&section, "floor_m", Up, notes)?,
        ceiling_above_sea: height_if(&section, "ceiling_above_sea_m", Down, notes)?,
        ceiling_above_ground: height_if(&section, "ceiling_above_ground_m", Down, notes)?,
        ground_clearance: height_if(&section, "ground_clearance_m", Up, notes)?,
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
