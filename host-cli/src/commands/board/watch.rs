//! `pinfold board watch`: a line for each change.

use std::{
    io::Write as _,
    process::ExitCode,
    thread,
    time::{Duration, Instant},
};

use pinfold_core::link::Status;
use serde_json::json;

use super::{Link, standing};
use crate::{
    arguments::board::Line,
    board::conversation::Conversation,
    commands::{Done, printed},
    problem::Problem,
};

/// Time between two looks.
const LOOK: Duration = Duration::from_millis(250);

/// Watches until it is ended, or nobody reads any more.
pub(super) fn run(line: &Line) -> Done {
    let mut link = Link::open(line)?;
    each_change(line.json, LOOK, || link.ask(Conversation::status))
}

/// Looks again and again, and prints what has changed.
pub(super) fn each_change(json: bool, every: Duration, mut look: impl FnMut() -> Result<Status, Problem>) -> Done {
    let begin = Instant::now();
    let mut last = None;
    loop {
        let status = look()?;
        if last != Some(status) && !print_line(&status, begin.elapsed(), json)? {
            return Ok(ExitCode::SUCCESS);
        }
        last = Some(status);
        thread::sleep(every);
    }
}

/// Prints a line; whether somebody reads it.
fn print_line(status: &Status, after: Duration, json: bool) -> Result<bool, Problem> {
    let seconds = after.as_secs_f64();
    printed(|out| {
        if json {
            let mut object = standing::object(status);
            object["after_s"] = json!((seconds * 10.0).round() / 10.0);
            writeln!(out, "{object}")
        } else {
            writeln!(out, "{seconds:8.1} s  {}", standing::line(status))
        }
    })
}
