//! Routes written by hand: route.toml.

use std::ops::Range;

use pinfold_core::{
    geometry::position::Position,
    model::route::{Launch, STEPS, Step},
    units::{Duration, Height, Speed},
};
use toml::de::DeTable;

use super::{
    Limits, Route,
    datum::{Converted, Datum},
    ground::Unknown,
    quantity,
    take::{duration, name, position, speed_if, take_if},
};
use crate::{
    problem::{Problem, Source},
    text::table::{Finer, Section, parse, suggestion},
};

/// What the words for a height's reference are.
const REFERENCES: [&str; 3] = ["above-launch", "above-sea", "above-ground"];
/// What a step may do.
const DOINGS: [&str; 5] = ["climb", "fly", "hold", "land", "return"];

/// What a height is measured from.
#[derive(Clone, Copy)]
enum Reference {
    Launch,
    Sea,
    Ground,
}

/// What steps take over where they don't say it themselves.
struct Defaults<'g> {
    reference: Option<Reference>,
    speed: Option<Speed>,
    datum: Datum<'g>,
}

/// What is written down while steps are read.
struct Progress {
    /// Where the aircraft is.
    at: Position,
    notes: Vec<String>,
}

/// Reads a route; heights above ground need the limits that it is held to.
pub(crate) fn read(source: &Source, limits: Option<&Limits>) -> Result<Route, Problem> {
    let document = parse(source)?;
    let known = ["name", "launch", "defaults", "step"];
    if document.get_ref().get("site").is_some() {
        let problem = Problem::file(&source.path, "these are limits, not a route");
        return Err(problem.help("give a route first, and this file with --limits"));
    }
    let root = Section::open(source, "", 0..0, document.get_ref(), &known)?;
    let name = name(&root, "name")?;
    let at = root.section("launch", &["lat", "lon", "elevation_m"])?;
    let elevation = take_if(&at, "elevation_m", quantity::HEIGHT, Finer::Refuse, &mut Vec::new(), Height::new)?;
    let launch = Launch { name, position: position(&at)?, elevation };
    let defaults = defaults(&root, &launch, limits)?;
    let list = root.list("step")?;
    if list.len() > STEPS {
        return Err(root
            .problem_at("step", format!("{} steps; {STEPS} are the most", list.len()))
            .help("split the route"));
    }
    let mut progress = Progress { at: launch.position, notes: Vec::new() };
    let steps = list
        .into_iter()
        .enumerate()
        .map(|(index, (span, table))| step(source, index + 1, span, table, &defaults, &mut progress));
    let steps = steps.collect::<Result<_, _>>()?;
    Ok(Route { launch, steps, notes: progress.notes })
}

fn defaults<'g>(root: &Section<'_>, launch: &Launch, limits: Option<&'g Limits>) -> Result<Defaults<'g>, Problem> {
    let section = root.section_if("defaults", &["heights", "speed_m_s"])?;
    let (reference, speed) = match section {
        Some(section) => (reference(&section)?, speed_if(&section, "speed_m_s")?),
        None => (None, None),
    };
    Ok(Defaults { reference, speed, datum: Datum::new(launch.position, launch.elevation, limits) })
}

/// The word for a height's reference in a section, if it is there.
fn reference(section: &Section<'_>) -> Result<Option<Reference>, Problem> {
    let Some((word, _)) = section.text_if("heights")? else { return Ok(None) };
    match word.as_str() {
        "above-launch" => Ok(Some(Reference::Launch)),
        "above-sea" => Ok(Some(Reference::Sea)),
        "above-ground" => Ok(Some(Reference::Ground)),
        _ => Err(section
            .problem_at("heights", format!("`{word}` is no reference of heights"))
            .help(suggestion(&word, &REFERENCES))),
    }
}

fn step(
    source: &Source, number: usize, span: Range<usize>, table: &DeTable<'_>, defaults: &Defaults<'_>,
    progress: &mut Progress,
) -> Result<Step, Problem> {
    let all = ["do", "lat", "lon", "height_m", "heights", "speed_m_s", "hold_s", "seconds"];
    let any = Section::open(source, "step", span.clone(), table, &all)?;
    let (doing, _) = any.text("do")?;
    let open = |keys: &[&str]| Section::open(source, &format!("step {number}: {doing}"), span.clone(), table, keys);
    match doing.as_str() {
        "climb" => {
            let section = open(&["do", "height_m", "heights"])?;
            Ok(Step::Climb { height: height(&section, defaults, progress)? })
        }
        "fly" => fly(&open(&["do", "lat", "lon", "height_m", "heights", "speed_m_s", "hold_s"])?, defaults, progress),
        "hold" => {
            let section = open(&["do", "seconds"])?;
            Ok(Step::Hold { time: duration(&section, "seconds", Finer::Refuse, &mut Vec::new())? })
        }
        "land" => open(&["do"]).map(|_| Step::Land),
        "return" => open(&["do"]).map(|_| Step::Return),
        _ => Err(any
            .problem_at("do", format!("`{doing}` is nothing that a step can do"))
            .help(suggestion(&doing, &DOINGS))),
    }
}

fn fly(section: &Section<'_>, defaults: &Defaults<'_>, progress: &mut Progress) -> Result<Step, Problem> {
    let speed = speed_if(section, "speed_m_s")?.or(defaults.speed).ok_or_else(|| {
        section.problem_at("do", "this step has no speed").help("write speed_m_s = … here or in [defaults]")
    })?;
    let hold = take_if(section, "hold_s", quantity::DURATION, Finer::Refuse, &mut Vec::new(), Duration::new)?;
    progress.at = position(section)?;
    let height = height(section, defaults, progress)?;
    Ok(Step::Fly { to: progress.at, height, speed, hold: hold.unwrap_or(Duration::NONE) })
}

/// A step's height above launch.
fn height(section: &Section<'_>, defaults: &Defaults<'_>, progress: &mut Progress) -> Result<Height, Problem> {
    let written = super::take::height(section, "height_m", Finer::Refuse, &mut Vec::new())?;
    let reference = reference(section)?.or(defaults.reference).ok_or_else(|| {
        section
            .problem_at("height_m", "this height doesn't say what it is measured from")
            .help("write heights = \"above-launch\", \"above-sea\" or \"above-ground\" in [defaults] or in the step")
    })?;
    match reference {
        Reference::Launch => Ok(written),
        Reference::Sea => {
            let unknown = || {
                section
                    .problem_at("height_m", "a height above the sea means nothing while launch's own isn't known")
                    .help("write elevation_m = … in [launch]: the height of the launch point above the sea")
            };
            defaults.datum.elevation.ok_or_else(unknown)?;
            above(section, from(section, defaults.datum.of_sea(written.get()))?.height)
        }
        Reference::Ground => above_ground(section, written, defaults, progress),
    }
}

/// What a height became, or why there is no telling.
fn from(section: &Section<'_>, converted: Result<Converted, Unknown>) -> Result<Converted, Problem> {
    converted.map_err(|why| section.problem_at("height_m", why.say).help(why.help))
}

fn above(section: &Section<'_>, height: i32) -> Result<Height, Problem> {
    let out = || section.problem_at("height_m", "this height above launch is out of range");
    Height::new(height).ok_or_else(out)
}

/// A height above the ground below, as one above launch. The ground is the surveyed one, launch's own where it isn't given.
fn above_ground(
    section: &Section<'_>, written: Height, defaults: &Defaults<'_>, progress: &mut Progress,
) -> Result<Height, Problem> {
    let converted = from(section, defaults.datum.of_ground(written.get(), progress.at))?;
    let height = above(section, converted.height)?;
    let launch = converted.base + written.get() - converted.height;
    let [above_ground, height_m, below, launch] = [written.get(), height.get(), converted.base, launch]
        .map(|metres| crate::text::decimal::written(i64::from(metres), 2));
    progress.notes.push(format!(
        "{}: {above_ground} m above ground is taken as {height_m} m above launch: the ground is at {below} m above the sea, launch at {launch} m",
        section.place()
    ));
    Ok(height)
}
