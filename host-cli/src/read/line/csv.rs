//! Points in the rows of a CSV file: columns are known by the names in its first row.

use csv::{ReaderBuilder, StringRecord, Trim};

use super::{Line, Number, Point, Reference};
use crate::{
    arguments::route::Heights,
    problem::{Problem, Source},
    text::table::suggestion,
};

const LATITUDE: &[&str] = &["lat", "latitude", "lat_deg", "latitude_deg"];
const LONGITUDE: &[&str] = &["lon", "lng", "long", "longitude", "lon_deg", "longitude_deg"];
const SPEED: &[&str] = &["speed_m_s"];
const HOLD: &[&str] = &["hold_s"];
/// Names of heights, and what each says that it is measured from.
const HEIGHTS: [(&[&str], Reference); 5] = [
    (&["height_above_launch_m"], Reference::Said(Heights::Launch)),
    (&["height_above_sea_m"], Reference::Said(Heights::Sea)),
    (&["height_above_ground_m"], Reference::Said(Heights::Ground)),
    (&["height_above_ellipsoid_m"], Reference::Said(Heights::Ellipsoid)),
    (
        &["height_m", "height", "altitude_m", "altitude", "alt_m", "alt", "elevation_m", "elevation", "ele"],
        Reference::Open,
    ),
];

/// Which column is what.
struct Columns {
    latitude: usize,
    longitude: usize,
    height: Option<usize>,
    reference: Reference,
    speed: Option<usize>,
    hold: Option<usize>,
}

/// The names in the first row.
struct Header<'s> {
    source: &'s Source,
    names: Vec<String>,
}

/// Whether the first line of a text names a latitude and a longitude.
pub(super) fn has_header(text: &str) -> bool {
    let names: Vec<String> =
        first_line(text).split([',', ';', '\t']).map(|name| plain(name.trim().trim_matches('"'))).collect();
    [LATITUDE, LONGITUDE].iter().all(|known| names.iter().any(|name| known.contains(&name.as_str())))
}

fn first_line(text: &str) -> &str {
    text.trim_start().lines().next().unwrap_or("")
}

/// The one line of a file.
pub(super) fn lines(source: &Source) -> Result<Vec<Line>, Problem> {
    let delimiter = crate::text::rows::delimiter(&source.text);
    let mut reader = ReaderBuilder::new().delimiter(delimiter).trim(Trim::All).from_reader(source.text.as_bytes());
    let broken = |error: csv::Error| {
        let at = error.position().map_or(0, |position| position.byte() as usize);
        source.problem(at..at + 1, format!("this is no CSV: {error}")).help("every row has as many cells as the first")
    };
    let names = reader.headers().map_err(broken)?.iter().map(plain).collect();
    let columns = Header { source, names }.columns()?;
    let rows = Rows { source, comma: delimiter != b',' };
    let mut points = Vec::new();
    for record in reader.records() {
        points.push(rows.point(&record.map_err(broken)?, &columns)?);
    }
    Ok(vec![Line { name: None, points, reference: columns.reference, span: 0..first_line(&source.text).len() }])
}

/// A name's words in small letters, joined by `_`.
fn plain(name: &str) -> String {
    let name = name.to_lowercase();
    let words = name.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("_")
}

impl Header<'_> {
    fn columns(&self) -> Result<Columns, Problem> {
        let needed = |what: &str, known: &[&str]| {
            self.column(what, known)?.ok_or_else(|| {
                let problem = self.problem(format!("no column is the {what}"));
                problem.help(format!("call it `{}`; the columns are {}", known[0], self.names.join(", ")))
            })
        };
        let (latitude, longitude) = (needed("latitude", LATITUDE)?, needed("longitude", LONGITUDE)?);
        let (height, reference) = self.height()?;
        let columns = Columns {
            latitude,
            longitude,
            height,
            reference,
            speed: self.column("speed", SPEED)?,
            hold: self.column("hold", HOLD)?,
        };
        self.nothing_else(&columns)?;
        Ok(columns)
    }

    /// The only column that has one of these names.
    fn column(&self, what: &str, known: &[&str]) -> Result<Option<usize>, Problem> {
        let all = self.names.iter().enumerate().filter(|(_, name)| known.contains(&name.as_str()));
        let found: Vec<usize> = all.map(|(index, _)| index).collect();
        match found[..] {
            [] => Ok(None),
            [index] => Ok(Some(index)),
            [..] => {
                let names: Vec<&str> = found.iter().map(|index| self.names[*index].as_str()).collect();
                let problem = self.problem(format!("several columns may be the {what}: {}", names.join(", ")));
                Err(problem.help("leave one of them"))
            }
        }
    }

    fn height(&self) -> Result<(Option<usize>, Reference), Problem> {
        let all: Vec<&str> = HEIGHTS.iter().flat_map(|(names, _)| names.iter().copied()).collect();
        let Some(index) = self.column("height", &all)? else { return Ok((None, Reference::Open)) };
        let says = HEIGHTS.iter().find(|(names, _)| names.contains(&self.names[index].as_str()));
        Ok((Some(index), says.map_or(Reference::Open, |(_, reference)| *reference)))
    }

    /// A column that nobody knows may be a slip, or a height or a speed in another unit: it isn't passed over.
    fn nothing_else(&self, columns: &Columns) -> Result<(), Problem> {
        let used = [Some(columns.latitude), Some(columns.longitude), columns.height, columns.speed, columns.hold];
        let passed_over = ["name", "note", "notes", "comment", "n", "no", "number", "index", "id", "point", "step"];
        let unknown = self.names.iter().enumerate().find(|(index, name)| {
            !used.contains(&Some(*index)) && !passed_over.contains(&name.as_str()) && !name.is_empty()
        });
        match unknown {
            None => Ok(()),
            Some((_, name)) => {
                let known: Vec<&str> = [LATITUDE, LONGITUDE, SPEED, HOLD]
                    .into_iter()
                    .chain(HEIGHTS.map(|(names, _)| names))
                    .flatten()
                    .copied()
                    .collect();
                Err(self.problem(format!("nobody knows what the column `{name}` is")).help(suggestion(name, &known)))
            }
        }
    }

    fn problem(&self, say: String) -> Problem {
        let begin = self.source.text.len() - self.source.text.trim_start().len();
        self.source.problem(begin..begin + first_line(&self.source.text).len(), say)
    }
}

/// How cells are written.
struct Rows<'s> {
    source: &'s Source,
    /// Whether a comma is a decimal one.
    comma: bool,
}

impl Rows<'_> {
    fn point(&self, record: &StringRecord, columns: &Columns) -> Result<Point, Problem> {
        let begin = record.position().map_or(0, |position| position.byte() as usize);
        let cell = |index: usize| self.number(record, begin, index);
        let needed = |index: usize, what: &str| {
            cell(index).ok_or_else(|| self.source.problem(begin..begin + 1, format!("this row has no {what}")))
        };
        Ok(Point {
            latitude: needed(columns.latitude, "latitude")?,
            longitude: needed(columns.longitude, "longitude")?,
            height: columns.height.and_then(cell),
            speed: columns.speed.and_then(cell),
            hold: columns.hold.and_then(cell),
            span: begin..begin + 1,
        })
    }

    /// The number in a cell; nothing where it is empty.
    fn number(&self, record: &StringRecord, begin: usize, index: usize) -> Option<Number> {
        let cell = record.get(index).filter(|cell| !cell.is_empty())?;
        // Where the cell begins: behind those before it, which may be quoted, so it is looked for.
        let rest = self.source.text.get(begin..).unwrap_or("");
        let before: usize = record.iter().take(index).map(|cell| cell.len() + 1).sum();
        let at = begin + rest.get(before..).and_then(|rest| rest.find(cell)).map_or(0, |found| before + found);
        let text = if self.comma { cell.replace(',', ".") } else { cell.to_owned() };
        Some(Number { text, span: at..at + cell.len() })
    }
}
