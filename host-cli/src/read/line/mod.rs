//! Routes from files that hold a line of points: GeoJSON, GPX, KML and CSV.
//!
//! Each format's reader gives lines as they are written; [`flight`] makes a route of one of them, with what the options add.

mod csv;
mod flight;
mod geojson;
mod gpx;
mod heights;
mod kml;
mod told;

#[cfg(test)]
mod any_bytes;

use std::{ops::Range, path::Path};

use super::{Limits, Route, number::Number, xml};
use crate::{
    arguments::route::{AsRoute, Heights},
    problem::{Problem, Source},
    report::people::printable,
};

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
    /// The format of a text, by what it begins with, or else by its file's name or header; nothing for what may be TOML.
    pub(super) fn of(source: &Source) -> Option<Self> {
        let text = source.text.trim_start();
        match text.chars().next() {
            Some('{') => Some(Self::Geojson),
            Some('<') => Some(Self::Xml),
            _ if is_named(&source.path, &["toml"]) => None,
            _ if is_named(&source.path, &["csv"]) || csv::has_header(text) => Some(Self::Csv),
            _ => None,
        }
    }
}

/// Whether a text in one of these formats speaks of a line of points at all: a site doesn't, nor do other tables.
pub(crate) fn has_line(source: &Source) -> bool {
    match Format::of(source) {
        Some(Format::Geojson) => source.text.contains("LineString"),
        Some(Format::Xml) => source.text.contains("LineString") || source.text.contains("<gpx"),
        Some(Format::Csv) => csv::has_header(&source.text),
        None => false,
    }
}

/// What to say of a file that was taken for TOML and is none, where its name doesn't promise it.
pub(crate) fn of_no_kind(source: &Source, problem: Problem) -> Problem {
    if is_named(&source.path, &["toml"]) || !problem.summary().starts_with("this is not TOML") {
        return problem;
    }
    let say = if is_named(&source.path, &["gpx", "kml", "xml"]) {
        "this is no XML, though its name says so: it doesn't begin with `<`"
    } else if is_named(&source.path, &["geojson", "json"]) {
        "this is no GeoJSON, though its name says so: it doesn't begin with `{`"
    } else {
        "this is neither TOML, GeoJSON, GPX, KML nor packed bytes, and its first line has no names of CSV columns"
    };
    source.problem(0..1, say).help("give a route in one of these formats; CSV has `lat` and `lon` in its first line")
}

fn is_named(path: &Path, extensions: &[&str]) -> bool {
    path.extension().is_some_and(|there| extensions.iter().any(|extension| there.eq_ignore_ascii_case(extension)))
}

/// Reads a route.
pub(super) fn read(
    source: &Source, format: Format, limits: Option<&Limits>, as_route: &AsRoute,
) -> Result<Route, Problem> {
    let mut notes = Vec::new();
    let lines = match format {
        Format::Geojson => geojson::lines(source, &mut notes)?,
        Format::Xml => xml_lines(source, &mut notes)?,
        Format::Csv => csv::lines(source, &mut notes)?,
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
            Err(problem.help("give GPX 1.1 (<gpx>), KML (<kml>), GeoJSON, CSV or a route.toml"))
        }
    }
}

/// The line that is asked for, or the only one. Empty ones don't count where others have points.
fn chosen<'l>(source: &Source, lines: &'l [Line], as_route: &AsRoute) -> Result<&'l Line, Problem> {
    let any = lines.iter().any(|line| !line.points.is_empty());
    let lines: Vec<&Line> = lines.iter().filter(|line| !any || !line.points.is_empty()).collect();
    if lines.is_empty() {
        return Err(source.problem(0..1, "there is no line of points in this file").help(
            "a route is a LineString in GeoJSON and KML, a rte or trk in GPX, rows with latitude and longitude in CSV",
        ));
    }
    let asked = as_route.line.as_deref();
    let fits = |number: usize, line: &Line| {
        asked.is_none_or(|asked| asked == number.to_string() || line.name.as_deref() == Some(asked))
    };
    let fitting: Vec<&Line> =
        lines.iter().zip(1..).filter(|(line, number)| fits(*number, line)).map(|(line, _)| *line).collect();
    match (&fitting[..], asked) {
        ([line], _) => Ok(line),
        ([], _) => {
            let say = format!("--line {} names none of the lines", printable(asked.unwrap_or("")));
            Err(Problem::file(&source.path, say).help(listed(&lines)))
        }
        ([_, second, ..], None) => {
            let problem = source.problem(second.span.clone(), format!("{} lines may be the route", lines.len()));
            Err(problem.help(listed(&lines)))
        }
        ([_, second, ..], Some(asked)) => {
            let say = format!("--line {} may be any of {} lines", printable(asked), fitting.len());
            Err(source.problem(second.span.clone(), say).help(listed(&lines)))
        }
    }
}

/// The lines that may be chosen.
fn listed(lines: &[&Line]) -> String {
    const SHOWN: usize = 12;
    let one = |(line, number): (&&Line, usize)| {
        let points = line.points.len();
        let name = line.name.as_ref().map_or_else(String::new, |name| format!(" \"{}\"", printable(name)));
        format!("{number}{name} ({points} points)")
    };
    let shown: Vec<String> = lines.iter().zip(1..).take(SHOWN).map(one).collect();
    let more = lines.len().saturating_sub(SHOWN);
    let more = if more > 0 { format!(", and {more} more") } else { String::new() };
    format!("say which with --line, by its number or name: {}{more}", shown.join(", "))
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
        assert_eq!(format("x", "# lat, lon\nname = \"x\""), None);
        assert_eq!(format("x.toml", "lat,lon\n1,2"), None);
        assert_eq!(format("x", ""), None);
    }
}
