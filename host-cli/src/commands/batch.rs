//! `pinfold batch`.

mod files;
mod workers;

use std::{io::Write as _, path::Path, process::ExitCode, sync::OnceLock};

use pinfold_core::rules::Readings;

use super::{Done, NO_GO, UNUSABLE, notes, print};
use crate::{
    arguments::batch::Batch,
    judged::Held,
    problem::Problem,
    report::many::{Counts, Entry},
};

/// Checks many routes against the same limits, each by itself, and prints what was found in the order of their names.
pub(crate) fn run(asked: &Batch) -> Done {
    let held = Held::read(&asked.limits, asked.preset.as_deref())?;
    let found = files::find(asked)?;
    notes(held.notes());
    notes(&found.passed_over());
    // Under every verdict stands what wasn't looked at; of one set of limits that is the same for all.
    let end = OnceLock::new();
    let entries = workers::each(&found.routes, asked.jobs, |route| {
        entry(asked, &held, route, &end).unwrap_or_else(unusable(route))
    });
    entries.iter().for_each(|entry| notes(&entry.notes));
    let counts = Counts::of(&entries);
    print(|out| {
        if asked.json {
            return entries.iter().try_for_each(|entry| writeln!(out, "{}", entry.json));
        }
        counts.write(out, &entries)?;
        end.get().map_or(Ok(()), |end: &String| write!(out, "{end}"))
    })?;
    Ok(exit_code(&counts))
}

/// What is found about one route.
fn entry(asked: &Batch, held: &Held, route: &Path, end: &OnceLock<String>) -> Result<Entry, Problem> {
    let judged = held.judge(route, &asked.as_route, &asked.limits, Readings::default())?;
    let report = held.report(&judged, &asked.limits)?;
    let _ = end.get_or_init(|| report.end());
    let mut entry = Entry::judged(route, &report);
    entry.notes.clone_from(&judged.route.notes);
    Ok(entry)
}

fn unusable(route: &Path) -> impl FnOnce(Problem) -> Entry {
    |problem| Entry::unusable(route, &problem)
}

/// That of the worst of them.
fn exit_code(counts: &Counts) -> ExitCode {
    match counts {
        Counts { unusable: 1.., .. } => ExitCode::from(UNUSABLE),
        Counts { no_go: 1.., .. } => ExitCode::from(NO_GO),
        Counts { .. } => ExitCode::SUCCESS,
    }
}
