//! `pinfold`: the check that a multirotor's route must pass before the motors may start.

mod aircraft;
mod arguments;
mod board;
mod brief;
mod commands;
mod judged;
mod learn;
mod preset;
mod problem;
mod read;
mod report;
mod text;
mod write;

use std::{
    io::{IsTerminal as _, Write as _},
    path::Path,
    process::ExitCode,
};

use arguments::{Arguments, Command};
use clap::Parser as _;
use commands::UNUSABLE;
use problem::Problem;

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return bad_command_line(&error),
    };
    let (result, json) = match arguments.command {
        Command::Check(check) => (commands::check::run(&check), check.json),
        Command::Brief(brief) => (commands::brief::run(&brief), false),
        Command::Pack(pack) => (commands::pack::run(&pack), false),
        Command::Unpack { file, output } => (commands::unpack::run(&file, output.as_deref()), false),
        Command::Board(board) => (commands::board::run(&board), board.json()),
        Command::Example { folder } => (commands::example::run(&folder), false),
        Command::Presets => (commands::presets::run(), false),
        Command::Power(power) => (commands::power::run(&power), power.json),
        Command::Learn(learn) => (commands::learn::run(&learn), false),
    };
    result.unwrap_or_else(|problem| fail(&problem, json))
}

/// The one place where errors end.
fn fail(problem: &Problem, json: bool) -> ExitCode {
    if json {
        // Where even that can't be written the exit code alone must tell.
        let _ = commands::print(|out| writeln!(out, "{:#}", problem.json()));
    } else {
        let choice = anstream::AutoStream::choice(&std::io::stderr());
        let colour = std::io::stderr().is_terminal() && choice != anstream::ColorChoice::Never;
        commands::note(&problem.render(colour));
    }
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
