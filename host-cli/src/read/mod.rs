//! Reading what people and programs hand over: text or packed bytes.

mod datum;
pub(crate) mod field;
mod geoid;
pub(crate) mod ground;
pub(crate) mod json;
mod kml;
pub(crate) mod limits_toml;
mod line;
mod number;
pub(crate) mod packed;
pub(crate) mod quantity;
pub(crate) mod route_toml;
pub(crate) mod seen;
pub(crate) mod site;
mod take;
mod xml;

use std::{fs::File, io::Read as _, path::Path};

use pinfold_core::{
    model::{
        route::{Launch, Step},
        store::{self, LimitsStore},
    },
    wire::envelope::MAGIC,
};

pub(crate) use line::of_no_kind;

use line::Format;
pub(crate) use line::has_line;
use seen::{Content, Seen};

use crate::{
    arguments::route::AsRoute,
    problem::{Problem, Source},
};

/// A route, whatever it was read from.
#[derive(Debug)]
pub(crate) struct Route {
    pub(crate) launch: Launch,
    pub(crate) steps: Vec<Step>,
    /// What was made of heights above ground.
    pub(crate) notes: Vec<String>,
}

/// Sound limits, and what was rounded or passed over while reading them.
pub(crate) struct Limits {
    pub(crate) store: Box<LimitsStore>,
    pub(crate) notes: Vec<String>,
    /// The text that they were read from; none if that was packed.
    pub(crate) text: Option<Source>,
    /// Whether the fixed margin is [`limits_toml::ROUNDED`] more than what is written, for positions that were rounded.
    pub(crate) widened: bool,
    /// The ground that they were read with, where they were read from text.
    pub(crate) ground: Option<ground::Ground>,
}

impl Limits {
    /// The limits themselves. Reading them found them sound, or there would be none.
    pub(crate) fn sound(&self, path: &Path) -> Result<store::Limits<'_>, Problem> {
        self.store.limits().ok_or_else(|| Problem::file(path, "these limits aren't sound"))
    }
}

/// Largest file that is read: far above any route that fits, far below what would fill the memory.
const LARGEST: u64 = 64 << 20;

/// The bytes of a file.
pub(crate) fn bytes(path: &Path) -> Result<Vec<u8>, Problem> {
    let result = bytes_unnoted(path);
    Seen::note(path, || result.as_ref().map_or(Content::MISSING, |bytes| Content::of(bytes)));
    result
}

fn bytes_unnoted(path: &Path) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    let read = File::open(path).and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes));
    read.map_err(|error| Problem::file(path, format!("the file can't be read: {error}")))?;
    if bytes.len() as u64 > LARGEST {
        return Err(Problem::file(path, format!("the file has more than {LARGEST} bytes, which are the most")));
    }
    Ok(bytes)
}

/// Whether there is an ordinary file that begins as packed bytes do.
pub(crate) fn holds_packed(path: &Path) -> bool {
    let ordinary = std::fs::metadata(path).is_ok_and(|data| data.is_file());
    let mut begin = [0; MAGIC.len()];
    ordinary && File::open(path).and_then(|mut file| file.read_exact(&mut begin)).is_ok() && begin == MAGIC
}

/// Whether bytes are packed.
pub(crate) fn is_packed(bytes: &[u8]) -> bool {
    bytes.starts_with(&MAGIC)
}

/// A file as text.
pub(crate) fn text_file(path: &Path) -> Result<Source, Problem> {
    as_text(path, bytes(path)?)
}

/// Bytes as text.
pub(crate) fn as_text(path: &Path, bytes: Vec<u8>) -> Result<Source, Problem> {
    let text = String::from_utf8(bytes).map_err(|error| no_text(path, &error))?;
    // A byte order mark says nothing in UTF-8.
    let text = text.strip_prefix('\u{feff}').map_or_else(|| text.clone(), str::to_owned);
    Ok(Source { path: path.to_owned(), text })
}

/// What is wrong with bytes that are no text.
fn no_text(path: &Path, error: &std::string::FromUtf8Error) -> Problem {
    let (at, bytes) = (error.utf8_error().valid_up_to(), error.as_bytes());
    let problem = |why: &str| Problem::file(path, format!("this is neither text nor packed bytes: {why}"));
    match bytes {
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => problem("it seems to be UTF-16").help("save it as UTF-8"),
        [b'P', b'K', 3, 4, ..] | [0x1f, 0x8b, ..] => {
            problem("it is compressed").help("unpack it and give what is inside: in a KMZ file that is a KML file")
        }
        _ => {
            let before = bytes.get(..at).unwrap_or(&[]);
            let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
            problem(&format!("byte {at}, in line {line}, is no UTF-8"))
                .help("give a text file (UTF-8), or a file that `pinfold pack` wrote")
        }
    }
}

/// Reads a route from text or packed bytes; heights above ground need the limits that it is held to.
pub(crate) fn route(path: &Path, limits: Option<&Limits>, as_route: &AsRoute) -> Result<Route, Problem> {
    let bytes = bytes(path)?;
    if !is_packed(&bytes) {
        return route_text(&as_text(path, bytes)?, limits, as_route);
    }
    says_all(path, as_route)?;
    packed::route(path, &bytes)
}

/// Reads a route from text.
pub(crate) fn route_text(source: &Source, limits: Option<&Limits>, as_route: &AsRoute) -> Result<Route, Problem> {
    match Format::of(source) {
        Some(format) => line::read(source, format, limits, as_route),
        None => {
            let route = route_toml::read(source, limits).map_err(|problem| of_no_kind(source, problem))?;
            says_all(&source.path, as_route).map(|()| route)
        }
    }
}

/// Whether a text is neither TOML nor packed: a route that somebody else's program wrote.
pub(crate) fn is_line(source: &Source) -> bool {
    Format::of(source).is_some()
}

/// Our own files say everything: an option that would be passed over is a mistake.
fn says_all(path: &Path, as_route: &AsRoute) -> Result<(), Problem> {
    match as_route.given() {
        None => Ok(()),
        Some(option) => {
            let say = format!("{option} is for routes in GeoJSON, GPX, KML or CSV: this one says everything itself");
            Err(Problem::file(path, say).help("leave it out, or change the file"))
        }
    }
}

/// Reads limits from text or packed bytes.
pub(crate) fn limits(path: &Path) -> Result<Limits, Problem> {
    let bytes = bytes(path)?;
    if is_packed(&bytes) {
        return packed::limits(path, &bytes);
    }
    let source = as_text(path, bytes)?;
    Ok(Limits { text: Some(source.clone()), ..limits_toml::read(&source)? })
}
