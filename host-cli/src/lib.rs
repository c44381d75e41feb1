//! `pinfold`: the check that a multirotor's route must pass before the motors may start.

mod aircraft;
mod arguments;
mod board;
mod brief;
mod commands;
mod fields;
#[doc(hidden)]
pub mod fuzz;
mod judged;
mod learn;
mod preset;
mod problem;
mod read;
mod report;
mod rulebook;
mod text;
mod write;

use std::{path::Path, process::ExitCode};

use arguments::{Arguments, Command};
use clap::Parser as _;
use commands::{Layout, UNUSABLE};
use problem::Problem;

/// Does what the command line says.
#[must_use]
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return bad_command_line(&error),
    };
    let (result, json) = match arguments.command {
        Command::Check(check) => (commands::check::run(&check), check.json),
        Command::Batch(batch) => (commands::batch::run(&batch), batch.json),
        Command::Brief(brief) => (commands::brief::run(&brief), false),
        Command::Pack(pack) => (commands::pack::run(&pack), false),
        Command::Unpack(unpack) => (commands::unpack::run(&unpack), false),
        Command::Board(board) => (commands::board::run(&board), board.json()),
        Command::Example { folder } => (commands::example::run(&folder), false),
        Command::Presets => (commands::presets::run(), false),
        Command::Rules { name } => (commands::rules::run(name.as_deref()), false),
        Command::Power(power) => (commands::power::run(&power), power.json),
        Command::Learn(learn) => (commands::learn::run(&learn), false),
        Command::Completions { shell } => (commands::completions::run(shell), false),
        Command::Man { output } => (commands::man::run(output.as_deref()), false),
    };
    result.unwrap_or_else(|problem| fail(&problem, json))
}

/// The one place where errors end.
fn fail(problem: &Problem, json: bool) -> ExitCode {
    commands::tell(problem, if json { Layout::Object } else { Layout::People });
    ExitCode::from(UNUSABLE)
}

/// Help and version are no errors; anything else is unusable input, and with `--json` said in JSON.
fn bad_command_line(error: &clap::Error) -> ExitCode {
    if error.use_stderr() && std::env::args_os().any(|argument| argument == "--json") {
        let text = error.to_string();
        let lines = text.lines().map(str::trim).take_while(|line| !line.starts_with("Usage:"));
        let say = lines.filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ");
        let say = say.trim_start_matches("error: ").to_owned();
        return fail(&Problem::file(Path::new("command line"), say), true);
    }
    // Nothing is lost if nobody reads it.
    let _ = error.print();
    if error.use_stderr() { ExitCode::from(UNUSABLE) } else { ExitCode::SUCCESS }
}
