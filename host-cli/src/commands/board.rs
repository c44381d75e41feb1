//! `pinfold board`.

mod compare;
mod limits;
mod readings;
mod route;
mod standing;
mod watch;

use std::{
    io::{self, Write},
    path::Path,
    process::ExitCode,
    time::SystemTime,
};

use pinfold_core::{fingerprint::Fingerprint, model::store};
use serde_json::json;

use super::{Done, notes, print};
use crate::{
    arguments::board::{Board, Files, Line},
    board::{
        conversation::Conversation,
        ports,
        transport::{Transport, open},
        trouble::Trouble,
    },
    problem::Problem,
    read::{self, Limits, Route},
    report::people::folded,
    write::packed::{self, Packed},
};

/// Does what is asked of a board.
pub(crate) fn run(asked: &Board) -> Done {
    match asked {
        Board::Ports { json } => list(*json),
        Board::Limits { limits, line } => limits::run(limits, line),
        Board::Route { files, line } => route::run(files, line),
        Board::Status { line } => status(line),
        Board::Watch { line } => watch::run(line),
        Board::Readings(readings) => readings::run(readings),
        Board::Compare { files, line } => compare::run(files, line),
    }
}

/// A board that answers, and the port that it is at.
struct Link<'a> {
    port: &'a str,
    talk: Conversation<Box<dyn Transport>>,
}

impl<'a> Link<'a> {
    /// Opens the line and says hello.
    fn open(line: &'a Line) -> Result<Self, Problem> {
        let port = named(line)?;
        let talk = Conversation::begin(open(port, line.baud)?, a_number()).map_err(|trouble| trouble.problem(port))?;
        Ok(Self { port, talk })
    }

    /// Asks the board; what goes wrong is a problem of its port.
    fn ask<R>(
        &mut self, ask: impl FnOnce(&mut Conversation<Box<dyn Transport>>) -> Result<R, Trouble>,
    ) -> Result<R, Problem> {
        ask(&mut self.talk).map_err(|trouble| trouble.problem(self.port))
    }

    /// Something about the board.
    fn problem(&self, say: impl Into<String>) -> Problem {
        Problem::file(Path::new(self.port), say)
    }
}

/// The port that was named.
fn named(line: &Line) -> Result<&str, Problem> {
    match &line.port {
        Some(port) => Ok(port),
        None => Err(ports::missing(&ports::all()?)),
    }
}

/// A number to begin a conversation with: hardly the one that the last conversation ended with, whose answers may still be under way.
fn a_number() -> u16 {
    let now = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH);
    now.map_or(0, |now| (now.as_millis() & 0xFFFF) as u16)
}

fn list(json: bool) -> Done {
    let ports = ports::all()?;
    print(|out| {
        if json {
            let ports: Vec<_> = ports.iter().map(ports::object).collect();
            return writeln!(out, "{:#}", json!({ "ports": ports }));
        }
        if ports.is_empty() {
            return folded(out, "No serial port: plug the board in; an emulated one is at --port HOST:PORT.", 0);
        }
        ports.iter().try_for_each(|port| folded(out, &format!("{}: {}", port.port_name, ports::described(port)), 4))
    })?;
    Ok(ExitCode::SUCCESS)
}

fn status(line: &Line) -> Done {
    let status = Link::open(line)?.ask(Conversation::status)?;
    print_status(&status, line.json)?;
    Ok(ExitCode::SUCCESS)
}

fn print_status(status: &pinfold_core::link::Status, json: bool) -> Result<(), Problem> {
    print(|out| if json { writeln!(out, "{:#}", standing::object(status)) } else { standing::write(out, status) })
}

/// Limits as a board takes them.
struct PackedLimits {
    held: Limits,
    bytes: Vec<u8>,
    fingerprint: Fingerprint,
}

impl PackedLimits {
    fn read(path: &Path) -> Result<Self, Problem> {
        let held = read::limits(path)?;
        notes(&held.notes);
        let Packed { bytes, fingerprint } = packed::limits(held.sound(path)?);
        Ok(Self { held, bytes, fingerprint })
    }

    fn sound(&self, path: &Path) -> Result<store::Limits<'_>, Problem> {
        self.held.sound(path)
    }
}

/// A route as a board takes it.
struct PackedRoute {
    route: Route,
    bytes: Vec<u8>,
    fingerprint: Fingerprint,
}

impl PackedRoute {
    fn read(files: &Files, limits: &Limits) -> Result<Self, Problem> {
        let path = &files.route;
        let route = read::route(path, Some(limits), &files.as_route)?;
        notes(&route.notes);
        let Packed { bytes, fingerprint } = packed::route(&route, path)?;
        Ok(Self { route, bytes, fingerprint })
    }
}

/// Rows of a table with a name before them.
fn row(out: &mut impl Write, name: &str, cells: &[String]) -> io::Result<()> {
    let cells: String = cells.iter().map(|cell| format!("{cell:<11}")).collect();
    writeln!(out, "{}", format!("{name:<9}{cells}").trim_end())
}
