//! Packed bytes: what they hold, or where and why they are damaged.

use std::path::Path;

use pinfold_core::{
    model::store::LimitsStore,
    wire::{
        Fault, Kind, Reason, VERSION,
        limits::LimitsReader,
        route::{RouteEvent, RouteReader},
    },
};

use super::{Limits, Route};
use crate::problem::Problem;

/// Reads a packed route.
pub(crate) fn route(path: &Path, bytes: &[u8]) -> Result<Route, Problem> {
    let mut reader = RouteReader::default();
    let (mut launch, mut steps) = (None, Vec::new());
    for byte in bytes {
        match reader.take(*byte).map_err(|fault| problem(path, bytes, fault, Kind::Route))? {
            Some(RouteEvent::Launch(from)) => launch = Some(from),
            Some(RouteEvent::Step(step)) => steps.push(step),
            Some(RouteEvent::End(_)) | None => {}
        }
    }
    reader.end().map_err(|fault| problem(path, bytes, fault, Kind::Route))?;
    let launch = launch.ok_or_else(|| Problem::file(path, "this packed route has no launch point"))?;
    Ok(Route { launch, steps, notes: Vec::new() })
}

/// Reads packed limits.
pub(crate) fn limits(path: &Path, bytes: &[u8]) -> Result<Limits, Problem> {
    let mut reader = LimitsReader::default();
    let mut store = Box::new(LimitsStore::new());
    for byte in bytes {
        reader.take(*byte, &mut store).map_err(|fault| problem(path, bytes, fault, Kind::Limits))?;
    }
    reader.end().map_err(|fault| problem(path, bytes, fault, Kind::Limits))?;
    Ok(Limits { store, notes: Vec::new(), text: None, widened: false, ground: None })
}

/// Which kind of packed bytes these say they are.
pub(crate) fn kind(bytes: &[u8]) -> Option<Kind> {
    bytes.get(4).copied().and_then(Kind::of_number)
}

pub(crate) fn called(kind: Kind) -> &'static str {
    match kind {
        Kind::Route => "a packed route",
        Kind::Limits => "packed limits",
        Kind::Verdict => "a packed verdict",
    }
}

/// What is wrong with packed bytes, for people.
pub(crate) fn problem(path: &Path, bytes: &[u8], fault: Fault, expected: Kind) -> Problem {
    let at = format!("byte {} of {}", fault.offset, bytes.len());
    let again = "get or pack the file again; it can't be mended";
    let (say, help) = match fault.reason {
        Reason::Magic => (format!("these are no packed bytes ({at})"), again.to_owned()),
        Reason::Kind(number) => {
            let found = Kind::of_number(number).map_or("of an unknown kind", called);
            (format!("this is {found}, not {}", called(expected)), "give the other file".to_owned())
        }
        Reason::Version(version) => (
            format!("the format is version {version}; this program knows {VERSION}"),
            "pack it again from its text".to_owned(),
        ),
        Reason::Short => (format!("the bytes end early, after {}", bytes.len()), again.to_owned()),
        Reason::Trailing => (format!("something follows the end ({at})"), again.to_owned()),
        Reason::Length => (format!("the length doesn't fit what is inside ({at})"), again.to_owned()),
        Reason::Checksum => (format!("damaged: the checksum is wrong ({at})"), again.to_owned()),
        Reason::Value => (format!("damaged: a value that can't be ({at})"), again.to_owned()),
        Reason::NotCanonical => (format!("damaged: a value not written in the one right way ({at})"), again.to_owned()),
        Reason::Limits(error) => {
            let say = super::site::describe(error);
            (format!("the limits inside make no sense: {say}"), "correct their text and pack them again".to_owned())
        }
    };
    Problem::file(path, say).help(help)
}
