//! `pinfold brief`.

use std::{io::Write as _, path::Path};

use pinfold_core::{rules::Readings, verdict::Outcome};

use super::{Done, exit_code, notes, print};
use crate::{
    arguments::brief::Brief as Asked,
    brief::{Brief, Kind},
    judged::Held,
    problem::Problem,
    report::people::printable,
};

/// Checks a route and writes what was found as a page, as a plan, or both.
pub(crate) fn run(asked: &Asked) -> Done {
    let targets = targets(asked)?;
    let held = Held::read(&asked.limits, asked.preset.as_deref())?;
    let judged = held.judge(&asked.route, &asked.as_route, &asked.limits, Readings::NONE)?;
    notes(held.notes().iter().chain(&judged.route.notes));
    let brief = Brief::new(held.report(&judged, &asked.limits)?, &judged, &asked.limits);
    // All of it is there before any of it is written.
    let made = targets.iter().map(|(kind, path)| Ok((*kind, *path, make(&brief, *kind, path)?)));
    for (kind, path, bytes) in made.collect::<Result<Vec<_>, Problem>>()? {
        kind.write(path, &bytes)?;
    }
    let outcome = judged.verdict.outcome();
    let word = if outcome == Outcome::Go { "GO" } else { "NO-GO" };
    let subject = judged.verdict.subject;
    print(|out| {
        writeln!(out, "{word}  \"{}\"", printable(&judged.route.launch.name))?;
        writeln!(out, "route {}   limits {}", subject.route, subject.limits)?;
        targets.iter().try_for_each(|(_, path)| writeln!(out, "written: {}", path.display()))
    })?;
    Ok(exit_code(outcome))
}

fn make(brief: &Brief<'_>, kind: Kind, path: &Path) -> Result<Vec<u8>, Problem> {
    match kind {
        Kind::Page => Ok(brief.html().into_bytes()),
        Kind::Svg => Ok(brief.svg().into_bytes()),
        Kind::Png => brief.png(path),
    }
}

/// What is written where. Nothing is begun that could not be ended.
fn targets(asked: &Asked) -> Result<Vec<(Kind, &Path)>, Problem> {
    let all = [(Kind::Page, &asked.output), (Kind::Svg, &asked.svg), (Kind::Png, &asked.png)];
    let targets: Vec<(Kind, &Path)> =
        all.into_iter().filter_map(|(kind, path)| Some((kind, path.as_deref()?))).collect();
    for (index, (kind, path)) in targets.iter().enumerate() {
        if targets.iter().take(index).any(|(_, other)| other == path) {
            return Err(Problem::file(path, "two files of this name are to be written").help("name two files"));
        }
        kind.may_write(path)?;
    }
    Ok(targets)
}
