//! `pinfold check`.

use std::{io::Write as _, path::Path, process::ExitCode};

use pinfold_core::{
    check::check,
    rules::Readings,
    verdict::{Outcome, Subject},
    wire::{
        limits::pack_limits,
        route::{TooManySteps, pack_route},
    },
};

use super::{Done, NO_GO, notes, print, too_many_steps};
use crate::{read, report::Report};

/// Checks a route against limits and prints what was found.
pub(crate) fn run(file: &Path, limits: &Path, json: bool) -> Done {
    let held = read::limits(limits)?;
    let route = read::route(file, Some(&held))?;
    notes(held.notes.iter().chain(&route.notes));
    let sound = held.sound(limits)?;
    let mut nowhere = |_: &[u8]| {};
    let subject = Subject {
        route: pack_route(&route.launch, route.steps.iter(), &mut nowhere)
            .map_err(|TooManySteps| too_many_steps(file))?,
        limits: pack_limits(sound, &mut nowhere),
    };
    let verdict = check(sound, route.launch.clone(), Readings::default(), route.steps.iter().copied(), subject);
    let report = Report { verdict: &verdict, limits: sound, launch: &route.launch };
    print(|out| if json { writeln!(out, "{:#}", report.json()) } else { report.write(out) })?;
    Ok(match verdict.outcome() {
        Outcome::Go => ExitCode::SUCCESS,
        Outcome::NoGo => ExitCode::from(NO_GO),
    })
}
