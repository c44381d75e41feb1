//! What each command does.

pub(crate) mod batch;
pub(crate) mod board;
pub(crate) mod brief;
pub(crate) mod check;
pub(crate) mod completions;
pub(crate) mod example;
pub(crate) mod learn;
pub(crate) mod man;
pub(crate) mod pack;
pub(crate) mod power;
pub(crate) mod presets;
pub(crate) mod rules;
pub(crate) mod unpack;

use std::{
    io::{self, IsTerminal as _, Write as _},
    path::Path,
    process::ExitCode,
};

use pinfold_core::verdict::Outcome;

use crate::problem::Problem;

/// How a command ends when nothing is wrong with its input.
pub(crate) type Done = Result<ExitCode, Problem>;

/// No-go.
pub(crate) const NO_GO: u8 = 1;
/// Input that can't be used.
pub(crate) const UNUSABLE: u8 = 2;

/// How an answer is laid out.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Layout {
    /// For people.
    People,
    /// One JSON object, indented.
    Object,
    /// One JSON object in one line.
    Line,
}

/// How a command ends that found a verdict.
pub(crate) fn exit_code(outcome: Outcome) -> ExitCode {
    match outcome {
        Outcome::Go => ExitCode::SUCCESS,
        Outcome::NoGo => ExitCode::from(NO_GO),
    }
}

/// Writes to standard output. A reader that went away is no error: what it read, it has. An answer that is lost is one.
pub(crate) fn print(write: impl FnOnce(&mut anstream::Stdout) -> io::Result<()>) -> Result<(), Problem> {
    printed(write).map(drop)
}

/// The same, and whether somebody still reads.
fn printed(write: impl FnOnce(&mut anstream::Stdout) -> io::Result<()>) -> Result<bool, Problem> {
    let mut out = anstream::stdout();
    match write(&mut out).and_then(|()| out.flush()) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(false),
        Err(error) => Err(Problem::file(Path::new("standard output"), format!("the answer can't be written: {error}"))),
    }
}

/// Says why input can't be used.
pub(crate) fn tell(problem: &Problem, layout: Layout) {
    // Where even that can't be written the exit code alone must tell.
    let _ = match layout {
        Layout::Object => print(|out| writeln!(out, "{:#}", problem.json())),
        Layout::Line => print(|out| writeln!(out, "{}", problem.json())),
        Layout::People => {
            let choice = anstream::AutoStream::choice(&io::stderr());
            let colour = io::stderr().is_terminal() && choice != anstream::ColorChoice::Never;
            note(&problem.render(colour));
            Ok(())
        }
    };
}

/// Says what was rounded, passed over or made of something while files were read.
pub(crate) fn notes<'n>(notes: impl IntoIterator<Item = &'n String>) {
    notes.into_iter().for_each(|text| note(&format!("note: {text}")));
}

/// Says something beside the answer. Nothing is lost if nobody hears it.
pub(crate) fn note(text: &str) {
    let _ = writeln!(anstream::stderr(), "{text}");
}
