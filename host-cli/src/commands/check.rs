//! `pinfold check`.

mod watch;

use std::{io::Write as _, path::Path};

use pinfold_core::{
    model::store,
    rules::{Aloft, PackReading, Readings},
    verdict::Outcome,
};

use super::{Done, Layout, exit_code, notes, printed};
use crate::{arguments::Check, judged::Held, problem::Problem};

/// Checks a route against limits and prints what was found.
pub(crate) fn run(asked: &Check) -> Done {
    if asked.watch {
        return watch::run(asked);
    }
    let (outcome, _) = once(asked, if asked.json { Layout::Object } else { Layout::People })?;
    Ok(exit_code(outcome))
}

/// The verdict, and whether somebody still reads.
fn once(asked: &Check, layout: Layout) -> Result<(Outcome, bool), Problem> {
    let held = Held::read(&asked.limits, asked.preset.as_deref())?;
    let readings = readings(asked);
    if readings.here.is_some() {
        tells_how_near(&asked.limits, held.sound(&asked.limits)?)?;
    }
    let judged = held.judge(&asked.route, &asked.as_route, &asked.limits, readings)?;
    notes(held.notes().iter().chain(&judged.route.notes));
    let report = held.report(&judged, &asked.limits)?;
    let read = printed(|out| match layout {
        Layout::People => report.write(out),
        Layout::Object => writeln!(out, "{:#}", report.json()),
        Layout::Line => writeln!(out, "{}", report.json()),
    })?;
    Ok((judged.verdict.outcome(), read))
}

/// What is known at the field.
fn readings(asked: &Check) -> Readings {
    let (here, rested) = (asked.here, asked.pack_rested_s);
    let pack = asked.pack_volts.map(|voltage| PackReading { voltage, rested });
    let aloft = asked.from.zip(asked.left_wh);
    let aloft = aloft.map(|((position, height), left)| Aloft { position, height, left });
    Readings { here, pack, aloft }
}

/// Where the aircraft stands says nothing while limits don't say how near to launch that must be.
fn tells_how_near(file: &Path, limits: store::Limits<'_>) -> Result<(), Problem> {
    limits.figures().launch.map(drop).ok_or_else(|| {
        let problem = Problem::file(file, "`--here` is held to `within_m` in [launch], which these limits don't have");
        problem.help("write [launch] and below it within_m = 10.0: how far from launch the aircraft may stand")
    })
}
