//! `pinfold pack`.

use std::{io::Write as _, path::Path, process::ExitCode};

use super::{Done, notes, print};
use crate::{
    arguments::{Pack, route::AsRoute},
    problem::{Problem, Source},
    read::{self, limits_toml},
    text::table,
    write::{
        file::replace_packed,
        packed::{self, Packed},
    },
};

/// Packs a text file; a route with heights above ground needs limits.
pub(crate) fn run(asked: &Pack) -> Done {
    let (file, held_to) = (asked.file.as_path(), asked.limits.as_deref());
    let bytes = read::bytes(file)?;
    if read::is_packed(&bytes) {
        return Err(Problem::file(file, "this is packed already").help("give its text"));
    }
    let source = read::as_text(file, bytes)?;
    let (packed, what) = match (is_limits(&source)?, held_to) {
        (true, None) => (limits(&source)?, "limits"),
        (true, Some(_)) => {
            let problem = Problem::file(file, "these are limits, and --limits is for a route");
            return Err(problem.help("leave --limits out"));
        }
        (false, _) => (route(&source, held_to, &asked.as_route)?, "route"),
    };
    let Packed { bytes, fingerprint } = packed;
    replace_packed(&asked.output, &bytes)?;
    print(|out| writeln!(out, "{what} {fingerprint}, {} bytes: {}", bytes.len(), asked.output.display()))?;
    Ok(ExitCode::SUCCESS)
}

/// Whether a text is meant as limits: it has a table that only limits have, and no step.
pub(super) fn is_limits(source: &Source) -> Result<bool, Problem> {
    if read::is_line(source) {
        return Ok(false);
    }
    let document = table::parse(source).map_err(|problem| read::of_no_kind(source, problem))?;
    let has = |key: &str| document.get_ref().get(key).is_some();
    let of_limits = ["site", "margins", "heights", "aircraft", "battery", "power"];
    Ok(of_limits.iter().any(|key| has(key)) && !has("step"))
}

fn route(source: &Source, held_to: Option<&Path>, as_route: &AsRoute) -> Result<Packed, Problem> {
    let held = held_to.map(read::limits).transpose()?;
    let route = read::route_text(source, held.as_ref(), as_route)?;
    notes(held.iter().flat_map(|held| &held.notes).chain(&route.notes));
    packed::route(&route, &source.path)
}

fn limits(source: &Source) -> Result<Packed, Problem> {
    let limits = limits_toml::read(source)?;
    notes(&limits.notes);
    Ok(packed::limits(limits.sound(&source.path)?))
}
