//! `pinfold board readings`: what is known at the field, said by a laptop.

use std::process::ExitCode;

use pinfold_core::{
    interlock::Flight,
    link::{Aged, Report},
    rules::PackReading,
};

use super::{Link, print_status, watch::each_change};
use crate::{
    arguments::board::{self as arguments, Readings},
    commands::Done,
};

/// Sends readings, once or again and again.
pub(super) fn run(asked: &Readings) -> Done {
    let report = report(asked);
    let mut link = Link::open(&asked.line)?;
    if let Some(every) = asked.every_s {
        return each_change(asked.line.json, every, || link.ask(|talk| talk.report(report)));
    }
    let status = link.ask(|talk| talk.report(report))?;
    print_status(&status, asked.line.json)?;
    Ok(ExitCode::SUCCESS)
}

/// What is said, as if it had just been read.
fn report(asked: &Readings) -> Report {
    let rested = asked.pack_rested_s;
    Report {
        flight: asked.flight.map(flight).map(Aged::now),
        position: asked.here.map(Aged::now),
        height: asked.height_m.map(Aged::now),
        pack: asked.pack_volts.map(|voltage| PackReading { voltage, rested }).map(Aged::now),
        left: asked.left_wh.map(Aged::now),
    }
}

const fn flight(flight: arguments::Flight) -> Flight {
    match flight {
        arguments::Flight::Ground => Flight::Ground,
        arguments::Flight::Flying => Flight::Flying,
    }
}
