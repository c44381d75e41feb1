//! Points in the rows of a CSV file: columns are known by the names in its first row.

use csv::{ReaderBuilder, StringRecord, Trim};

use super::{Line, Number, Point, Reference};
use crate::{
    arguments::route::Heights,
    problem::{Problem, Source, nearest},
    report::people::printable,
    text::rows::{delimiter, plain},
};

const LATITUDE: &[&str] = &["lat", "latitude", "lat_deg", "latitude_deg"];
const LONGITUDE: &[&str] = &["lon", "lng", "long", "longitude", "lon_deg", "longitude_deg"];
const SPEED: &[&str] = &["speed_m_s"];
const HOLD: &[&str] = &["hold_s"];
/// Names of heights, and what each says that it is measured from.
const HEIGHTS: [(&[&str], Reference); 5] = [
    (&["height_above_launch_m", "altitude_above_launch_m"], Reference::Said(Heights::Launch)),
    (&["height_above_sea_m", "altitude_above_sea_m"], Reference::Said(Heights::Sea)),
    (&["height_above_ground_m", "altitude_above_ground_m"], Reference::Said(Heights::Ground)),
    (&["height_above_ellipsoid_m", "altitude_above_ellipsoid_m"], Reference::Said(Heights::Ellipsoid)),
    (
        &["height_m", "height", "altitude_m", "altitude", "alt_m", "alt", "elevation_m", "elevation", "ele_m", "ele"],
        Reference::Open,
    ),
];
/// What a column's name begins with that may mean something here.
const SUSPECT: [&str; 10] = ["lat", "lon", "lng", "height", "alt", "ele", "speed", "velocity", "hold", "stay"];

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

/// Whether the first line of a text names a latitude and a longitude, and is no comment of TOML.
pub(super) fn has_header(text: &str) -> bool {
    if text.starts_with('#') {
        return false;
    }
    let names: Vec<String> =
        first_line(text).split([',', ';', '\t']).map(|name| plain(name.trim().trim_matches('"'))).collect();
    [LATITUDE, LONGITUDE].iter().all(|known| names.iter().any(|name| known.contains(&name.as_str())))
}

fn first_line(text: &str) -> &str {
    text.trim_start().lines().next().unwrap_or("")
}

/// The one line of a file.
pub(super) fn lines(source: &Source, notes: &mut Vec<String>) -> Result<Vec<Line>, Problem> {
    let delimiter = delimiter(&source.text);
    let mut reader = ReaderBuilder::new().delimiter(delimiter).trim(Trim::All).from_reader(source.text.as_bytes());
    let broken = |error: csv::Error| {
        let at = begin(source, error.position());
        source
            .problem(at..at + 1, format!("this is no CSV: {}", why(&error)))
            .help("every row has as many cells as the first")
    };
    let names = reader.headers().map_err(broken)?.iter().map(plain).collect();
    let columns = Header { source, names }.columns(notes)?;
    let mut rows = Rows { source, separator: None };
    let mut points = Vec::new();
    for record in reader.records() {
        points.push(rows.point(&record.map_err(broken)?, &columns)?);
    }
    Ok(vec![Line { name: None, points, reference: columns.reference, span: 0..first_line(&source.text).len() }])
}

/// Where a row begins: behind empty lines.
fn begin(source: &Source, position: Option<&csv::Position>) -> usize {
    let at = position.map_or(0, |position| position.byte() as usize);
    let rest = source.text.get(at..).unwrap_or("");
    at + rest.len() - rest.trim_start_matches(['\r', '\n']).len()
}

/// What is wrong with rows, without a place of its own.
fn why(error: &csv::Error) -> String {
    match error.kind() {
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            format!("this row has {len} cells, the first has {expected_len}")
        }
        _ => error.to_string(),
    }
}

impl Header<'_> {
    fn columns(&self, notes: &mut Vec<String>) -> Result<Columns, Problem> {
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
        self.rest(&columns, notes)?;
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

    /// What is passed over is said. What may be a slip, or a height or a speed in another unit, isn't passed over.
    fn rest(&self, columns: &Columns, notes: &mut Vec<String>) -> Result<(), Problem> {
        let used = [Some(columns.latitude), Some(columns.longitude), columns.height, columns.speed, columns.hold];
        let rest = self.names.iter().enumerate().filter(|(index, _)| !used.contains(&Some(*index)));
        let rest: Vec<&str> = rest.map(|(_, name)| name.as_str()).filter(|name| !name.is_empty()).collect();
        let known = known();
        let long: Vec<&str> = known.iter().copied().filter(|name| name.len() > 5).collect();
        let suspect =
            |name: &&str| SUSPECT.iter().any(|begin| name.starts_with(begin)) || nearest(name, &long).is_some();
        if let Some(name) = rest.iter().copied().find(suspect) {
            let problem = self.problem(format!("nobody knows what the column `{}` is", printable(name)));
            let help = nearest(name, &known).map_or_else(
                || "heights are in m, `speed_m_s` and `hold_s` in the units of their names: name it so, or call it something else".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            return Err(problem.help(help));
        }
        if !rest.is_empty() {
            notes.push(format!("columns that mean nothing here are passed over: {}", printable(&rest.join(", "))));
        }
        if let Some(name) = columns.height.map(|index| &self.names[index]).filter(|name| !name.ends_with("_m")) {
            notes.push(format!("the column `{name}` names no unit: metres are taken"));
        }
        Ok(())
    }

    fn problem(&self, say: String) -> Problem {
        let begin = self.source.text.len() - self.source.text.trim_start().len();
        self.source.problem(begin..begin + first_line(&self.source.text).len(), say)
    }
}

/// All names that mean something.
fn known() -> Vec<&'static str> {
    let heights = HEIGHTS.iter().flat_map(|(names, _)| names.iter());
    [LATITUDE, LONGITUDE, SPEED, HOLD].into_iter().flatten().chain(heights).copied().collect()
}

/// The reading of rows.
struct Rows<'s> {
    source: &'s Source,
    /// What stands before the decimals, once that is seen.
    separator: Option<char>,
}

impl Rows<'_> {
    fn point(&mut self, record: &StringRecord, columns: &Columns) -> Result<Point, Problem> {
        let begin = begin(self.source, record.position());
        let mut cell = |index: Option<usize>| index.map_or(Ok(None), |index| self.number(record, begin, index));
        let (latitude, longitude) = (cell(Some(columns.latitude))?, cell(Some(columns.longitude))?);
        let (height, speed, hold) = (cell(columns.height)?, cell(columns.speed)?, cell(columns.hold)?);
        let missing = |what: &str| self.source.problem(begin..begin + 1, format!("this row has no {what}"));
        Ok(Point {
            latitude: latitude.ok_or_else(|| missing("latitude"))?,
            longitude: longitude.ok_or_else(|| missing("longitude"))?,
            height,
            speed,
            hold,
            span: begin..begin + 1,
        })
    }

    /// The number in a cell; nothing where it is empty.
    fn number(&mut self, record: &StringRecord, begin: usize, index: usize) -> Result<Option<Number>, Problem> {
        let Some(cell) = record.get(index).filter(|cell| !cell.is_empty()) else { return Ok(None) };
        // Where the cell begins: behind those before it, which may be quoted, so it is looked for.
        let rest = self.source.text.get(begin..).unwrap_or("");
        let row: usize = record.iter().map(|cell| 2 * cell.len() + 3).sum();
        let rest = &rest[..rest.floor_char_boundary(row)];
        let before: usize = record.iter().take(index).map(|cell| cell.len() + 1).sum();
        let at = begin + rest.get(before..).and_then(|rest| rest.find(cell)).map_or(0, |found| before + found);
        let span = at..at + cell.len();
        for separator in cell.chars().filter(|letter| ",.".contains(*letter)) {
            // 1,234 beside 46.2 may be a thousand and more.
            if *self.separator.get_or_insert(separator) != separator {
                let problem =
                    self.source.problem(span, "decimals stand behind a comma here and behind a point elsewhere");
                return Err(problem.help("use one of the two in the whole file, and nothing between thousands"));
            }
        }
        Ok(Some(Number { text: cell.replace(',', "."), span }))
    }
}
