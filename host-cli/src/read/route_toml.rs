//! Routes written by hand: route.toml.

use std::ops::Range;

use pinfold_core::{
    model::route::{Launch, STEPS, Step},
    units::{Duration, Height, Speed},
};
use toml::de::DeTable;

use super::{
    Route, quantity,
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
    AboveLaunch,
    AboveSea,
}

/// What steps take over where they don't say it themselves.
struct Defaults {
    reference: Option<Reference>,
    speed: Option<Speed>,
    elevation: Option<Height>,
}

/// Reads a route.
pub(crate) fn read(source: &Source) -> Result<Route, Problem> {
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
    let defaults = defaults(&root, elevation)?;
    let list = root.list("step")?;
    if list.len() > STEPS {
        return Err(root
            .problem_at("step", format!("{} steps; {STEPS} are the most", list.len()))
            .help("split the route"));
    }
    let steps =
        list.into_iter().enumerate().map(|(index, (span, table))| step(source, index + 1, span, table, &defaults));
    Ok(Route { launch, steps: steps.collect::<Result<_, _>>()? })
}

fn defaults(root: &Section<'_>, elevation: Option<Height>) -> Result<Defaults, Problem> {
    let Some(section) = root.section_if("defaults", &["heights", "speed_m_s"])? else {
        return Ok(Defaults { reference: None, speed: None, elevation });
    };
    Ok(Defaults { reference: reference(&section)?, speed: speed_if(&section, "speed_m_s")?, elevation })
}

/// The word for a height's reference in a section, if it is there.
fn reference(section: &Section<'_>) -> Result<Option<Reference>, Problem> {
    let Some((word, _)) = section.text_if("heights")? else { return Ok(None) };
    match word.as_str() {
        "above-launch" => Ok(Some(Reference::AboveLaunch)),
        "above-sea" => Ok(Some(Reference::AboveSea)),
        "above-ground" => Err(section
            .problem_at("heights", "heights above ground need ground data, which this version doesn't read")
            .help("give the heights above launch or above the sea")),
        _ => Err(section
            .problem_at("heights", format!("`{word}` is no reference of heights"))
            .help(suggestion(&word, &REFERENCES))),
    }
}

fn step(
    source: &Source, number: usize, span: Range<usize>, table: &DeTable<'_>, defaults: &Defaults,
) -> Result<Step, Problem> {
    let all = ["do", "lat", "lon", "height_m", "heights", "speed_m_s", "hold_s", "seconds"];
    let any = Section::open(source, "step", span.clone(), table, &all)?;
    let (doing, _) = any.text("do")?;
    let open = |keys: &[&str]| Section::open(source, &format!("step {number}: {doing}"), span.clone(), table, keys);
    match doing.as_str() {
        "climb" => Ok(Step::Climb { height: height(&open(&["do", "height_m", "heights"])?, defaults)? }),
        "fly" => fly(&open(&["do", "lat", "lon", "height_m", "heights", "speed_m_s", "hold_s"])?, defaults),
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

fn fly(section: &Section<'_>, defaults: &Defaults) -> Result<Step, Problem> {
    let speed = speed_if(section, "speed_m_s")?.or(defaults.speed).ok_or_else(|| {
        section.problem_at("do", "this step has no speed").help("write speed_m_s = … here or in [defaults]")
    })?;
    let hold = take_if(section, "hold_s", quantity::DURATION, Finer::Refuse, &mut Vec::new(), Duration::new)?;
    Ok(Step::Fly {
        to: position(section)?,
        height: height(section, defaults)?,
        speed,
        hold: hold.unwrap_or(Duration::NONE),
    })
}

/// A step's height above launch.
fn height(section: &Section<'_>, defaults: &Defaults) -> Result<Height, Problem> {
    let written = super::take::height(section, "height_m", Finer::Refuse, &mut Vec::new())?;
    let reference = reference(section)?.or(defaults.reference).ok_or_else(|| {
        section
            .problem_at("height_m", "this height doesn't say what it is measured from")
            .help("write heights = \"above-launch\" or \"above-sea\" in [defaults] or in the step")
    })?;
    match reference {
        Reference::AboveLaunch => Ok(written),
        Reference::AboveSea => {
            let elevation = defaults.elevation.ok_or_else(|| {
                section
                    .problem_at("height_m", "a height above the sea means nothing while launch's own isn't known")
                    .help("write elevation_m = … in [launch]: the height of the launch point above the sea")
            })?;
            let above = written.get().checked_sub(elevation.get()).and_then(Height::new);
            above.ok_or_else(|| section.problem_at("height_m", "this height above launch is out of range"))
        }
    }
}
