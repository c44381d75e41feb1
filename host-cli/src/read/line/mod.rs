//! Routes from files that hold a line of points: GeoJSON, GPX, KML and CSV.
//!
//! Each format's reader gives lines as they are written; [`flight`] makes a route of one of them, with what the options add.

mod csv;
mod flight;
mod geoid;
mod geojson;
mod gpx;
mod heights;
mod kml;
mod number;
pub(crate) mod xml;

use std::{ops::Range, path::Path};

use super::{Limits, Route};
use crate::{
    arguments::route::{AsRoute, Heights},
    problem::{Problem, Source},
};
use number::Number;

/// A line of points, as it is written.
pub(super) struct Line {
    name: Option<String>,
    points: Vec<Point>,
    reference: Reference,
    span: Range<usize>,
}

/// A point of a line.
struct Point {
    latitude: Number,
    longitude: Number,
    height: Option<Number>,
    speed: Option<Number>,
    hold: Option<Number>,
    span: Range<usize>,
}

/// What a file says of what its heights are measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reference {
    /// It says it.
    Said(Heights),
    /// Its format says it, which not everybody who writes such files knows.
    ByFormat(Heights),
    /// It doesn't say it.
    Open,
    /// It says that its heights mean nothing.
    NoHeights,
}

/// A format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Format {
    Geojson,
    /// GPX or KML.
    Xml,
    Csv,
}

impl Format {
    /// The format of a text, by what it begins with, or else by its file's name; nothing for what may be TOML.
    pub(super) fn of(source: &Source) -> Option<Self> {
        let text = source.text.trim_start();
        match text.chars().next() {
            Some('{') => Some(Self::Geojson),
            Some('<') => Some(Self::Xml),
            _ if is_named(&source.path, "csv") || csv::has_header(text) => Some(Self::Csv),
            _ => None,
        }
    }
}

fn is_named(path: &Path, extension: &str) -> bool {
    path.extension().is_some_and(|there| there.eq_ignore_ascii_case(extension))
}

/// Reads a route.
pub(super) fn read(
    source: &Source, format: Format, limits: Option<&Limits>, as_route: &AsRoute,
) -> Result<Route, Problem> {
    let mut notes = Vec::new();
    let lines = match format {
        Format::Geojson => geojson::lines(source, &mut notes)?,
        Format::Xml => xml_lines(source, &mut notes)?,
        Format::Csv => csv::lines(source)?,
    };
    let line = chosen(source, &lines, as_route)?;
    flight::route(source, line, limits, as_route, notes)
}

fn xml_lines(source: &Source, notes: &mut Vec<String>) -> Result<Vec<Line>, Problem> {
    let document = xml::parse(source)?;
    let root = document.root_element();
    match root.tag_name().name() {
        "gpx" => gpx::lines(source, root, notes),
        "kml" => kml::lines(source, root, notes),
        other => {
            let problem = source.problem(xml::begin(root), format!("XML with the root `{other}` is no route"));
            Err(problem.help("give GPX 1.1, KML, GeoJSON, CSV or a route.toml"))
        }
    }
}

/// The line that is asked for, or the only one.
fn chosen<'l>(source: &Source, lines: &'l [Line], as_route: &AsRoute) -> Result<&'l Line, Problem> {
    match (lines, as_route.line) {
        ([], _) => Err(source.problem(0..0, "there is no line of points in this file").help(
            "a route is a LineString in GeoJSON and KML, a rte or trk in GPX, rows with latitude and longitude in CSV",
        )),
        ([line], None) => Ok(line),
        (several, None) => {
            let names: Vec<String> = several.iter().zip(1..).map(|(line, number)| listed(line, number)).collect();
            let problem = source.problem(several[1].span.clone(), format!("{} lines may be the route", several.len()));
            Err(problem.help(format!("say which with --line N: {}", names.join(", "))))
        }
        (some, Some(number)) => number.checked_sub(1).and_then(|index| some.get(index)).ok_or_else(|| {
            let say = format!("--line {number} names none: lines count from 1 to {}", some.len());
            Problem::file(&source.path, say)
        }),
    }
}

fn listed(line: &Line, number: usize) -> String {
    let points = line.points.len();
    match &line.name {
        Some(name) => format!("{number} \"{name}\" ({points} points)"),
        None => format!("{number} ({points} points)"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn format(name: &str, text: &str) -> Option<Format> {
        Format::of(&Source { path: name.into(), text: text.into() })
    }

    #[test]
    fn a_format_is_told_by_its_first_letter_before_its_name() {
        assert_eq!(format("x.toml", " {\"type\": 1}"), Some(Format::Geojson));
        assert_eq!(format("x.csv", "\n<gpx>"), Some(Format::Xml));
        assert_eq!(format("x.csv", "a;b"), Some(Format::Csv));
        assert_eq!(format("x.txt", "\"Latitude\";Longitude;h\n1;2;3"), Some(Format::Csv));
        assert_eq!(format("x", "lat = 1.0\nlon = 2.0"), None);
        assert_eq!(format("x", "# lat, lon of the reeds\nname = \"x\""), None);
        assert_eq!(format("x", ""), None);
    }
}
