//! `pinfold check`.

use std::{io::Write as _, path::Path, process::ExitCode};

use pinfold_core::{
    check::check,
    model::store,
    rules::{Aloft, PackReading, Readings},
    verdict::{Outcome, Subject},
};

use super::{Done, NO_GO, notes, print};
use crate::{
    arguments::Check,
    preset::{self, Laid},
    problem::Problem,
    read::{self, Limits},
    report::Report,
    write::packed,
};

/// Checks a route against limits and prints what was found.
pub(crate) fn run(asked: &Check) -> Done {
    let file = &asked.route;
    let written = read::limits(&asked.limits)?;
    let route = read::route(file, Some(&written))?;
    notes(written.notes.iter().chain(&route.notes));
    let (held, laid) = tightened(asked, written)?;
    let sound = held.sound(&asked.limits)?;
    let readings = readings(asked);
    if readings.here.is_some() {
        tells_how_near(&asked.limits, sound)?;
    }
    let subject =
        Subject { route: packed::route(&route, file)?.fingerprint, limits: packed::limits(sound).fingerprint };
    let verdict = check(sound, route.launch.clone(), readings, route.steps.iter().copied(), subject);
    let report = Report { verdict: &verdict, limits: sound, launch: &route.launch, readings, preset: laid.as_ref() };
    print(|out| if asked.json { writeln!(out, "{:#}", report.json()) } else { report.write(out) })?;
    Ok(match verdict.outcome() {
        Outcome::Go => ExitCode::SUCCESS,
        Outcome::NoGo => ExitCode::from(NO_GO),
    })
}

/// What is known at the field.
fn readings(asked: &Check) -> Readings {
    let (here, rested) = (asked.here, asked.pack_rested_s);
    let pack = asked.pack_volts.map(|voltage| PackReading { voltage, rested });
    let aloft = asked.from.zip(asked.left_wh);
    let aloft = aloft.map(|((position, height), left)| Aloft { position, height, left });
    Readings { here, pack, aloft }
}

/// The limits, tightened by the preset that is asked for.
fn tightened(asked: &Check, written: Limits) -> Result<(Limits, Option<Laid>), Problem> {
    let Some(name) = &asked.preset else { return Ok((written, None)) };
    let (tightened, laid) = preset::lay(preset::named(name)?, &asked.limits, &written)?;
    Ok((tightened, Some(laid)))
}

/// Where the aircraft stands says nothing while limits don't say how near to launch that must be.
fn tells_how_near(file: &Path, limits: store::Limits<'_>) -> Result<(), Problem> {
    limits.figures().launch.map(drop).ok_or_else(|| {
        let problem = Problem::file(file, "`--here` is held to `within_m` in [launch], which these limits don't have");
        problem.help("write [launch] and below it within_m = 10.0: how far from launch the aircraft may stand")
    })
}
