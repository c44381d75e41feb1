//! A flight log: CSV, read row by row.

use csv::{ByteRecord, ReaderBuilder};

use super::columns::{Column, Columns, Header, Motion, Rise};
use crate::{
    arguments::learn::Learn,
    problem::{Problem, Source},
    text::rows,
};

/// One row, in s, m/s or degrees, m/s or m, W.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    pub(crate) time: f64,
    /// Ground speed; or latitude and longitude.
    pub(crate) motion: [f64; 2],
    /// Climb rate, or height.
    pub(crate) rise: f64,
    pub(crate) watts: f64,
}

/// Rows that aren't used.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Skipped {
    /// A cell is empty, missing or no finite number.
    pub(crate) incomplete: usize,
    /// A number can't be meant.
    pub(crate) implausible: usize,
}

/// A log.
#[derive(Debug)]
pub(crate) struct Log {
    pub(crate) columns: Columns,
    pub(crate) rows: Vec<Row>,
    pub(crate) skipped: Skipped,
}

/// Reads a log.
pub(crate) fn read(source: &Source, asked: &Learn) -> Result<Log, Problem> {
    let delimiter = rows::delimiter(&source.text);
    let mut reader = ReaderBuilder::new().delimiter(delimiter).flexible(true).from_reader(source.text.as_bytes());
    let broken = |error: csv::Error| Problem::file(&source.path, format!("this is no CSV: {error}"));
    let names = reader.headers().map_err(broken)?.iter().map(|name| name.trim().to_owned()).collect();
    let header = Header { source, names };
    let columns = Columns::find(&header, asked)?;
    let cells = Cells { source, comma: delimiter != b',' };
    let mut log = Log { columns, rows: Vec::new(), skipped: Skipped::default() };
    for record in reader.byte_records() {
        match cells.row(&record.map_err(broken)?, &log.columns)? {
            None => log.skipped.incomplete += 1,
            Some(row) if !plausible(&row, &log.columns) => log.skipped.implausible += 1,
            Some(row) => log.rows.push(row),
        }
    }
    log.usable(source)?;
    Ok(log)
}

/// How cells are written.
struct Cells<'s> {
    source: &'s Source,
    /// Whether a comma may be a decimal one.
    comma: bool,
}

impl Cells<'_> {
    /// A row; none where a cell that is needed has no number.
    fn row(&self, record: &ByteRecord, columns: &Columns) -> Result<Option<Row>, Problem> {
        let number = |column: &Column| self.number(record, column);
        let time = number(&columns.time)?;
        let motion = match &columns.motion {
            Motion::Speed(speed) => [number(speed)?, Some(0.0)],
            Motion::Position { lat, lon } => [number(lat)?, number(lon)?],
        };
        let (Rise::Rate(rise) | Rise::Height(rise)) = &columns.rise;
        let all = [time, motion[0], motion[1], number(rise)?, number(&columns.volts)?, number(&columns.amperes)?];
        let [Some(time), Some(first), Some(second), Some(rise), Some(volts), Some(amperes)] = all else {
            return Ok(None);
        };
        // A pack that isn't there, or that is charged, gives no power: `plausible` sees that.
        let watts = if volts > 0.0 { volts * amperes } else { f64::NEG_INFINITY };
        Ok(Some(Row { time, motion: [first, second], rise, watts }))
    }

    /// The number in a cell; none where there is none.
    fn number(&self, record: &ByteRecord, column: &Column) -> Result<Option<f64>, Problem> {
        let Some(cell) = record.get(column.index) else { return Ok(None) };
        let cell = String::from_utf8_lossy(cell);
        let text = cell.trim();
        let point = if self.comma { text.replace(',', ".") } else { text.to_owned() };
        match point.parse::<f64>() {
            Ok(number) => Ok(Some(number * column.factor).filter(|number| number.is_finite())),
            Err(_) if ["", "null", "none", "na", "n/a", "-"].contains(&text.to_lowercase().as_str()) => Ok(None),
            Err(_) => Err(self.no_number(record, column, &cell)),
        }
    }

    fn no_number(&self, record: &ByteRecord, column: &Column, cell: &str) -> Problem {
        let begin = record.position().map_or(0, |position| position.byte() as usize);
        let rest = self.source.text.get(begin..).unwrap_or("");
        let at = begin + rest.find(cell).unwrap_or(0);
        let say = format!("`{}` in column `{}` is no number", cell.trim(), column.name);
        let help = "write a decimal number (with a comma only where cells are separated by semicolons or tabs), or leave the \
            cell empty; a row of units is to go, and a time is a number of s, ms or us";
        self.source.problem(at..at + cell.len(), say).help(help)
    }
}

/// Whether the numbers of a row can be meant. Current that flows back a little is a sensor's noise.
fn plausible(row: &Row, columns: &Columns) -> bool {
    let [first, second] = row.motion;
    let motion = match columns.motion {
        Motion::Speed(_) => (0.0..=100.0).contains(&first),
        // A receiver that has no position yet often says 0, 0.
        Motion::Position { .. } => first.abs() <= 90.0 && second.abs() <= 180.0 && row.motion != [0.0, 0.0],
    };
    let rise = match columns.rise {
        Rise::Rate(_) => row.rise.abs() <= 50.0,
        Rise::Height(_) => (-1000.0..=20_000.0).contains(&row.rise),
    };
    motion && rise && (-20.0..=1_000_000.0).contains(&row.watts)
}

impl Log {
    /// Demands that there are rows, and that most of them can be meant.
    fn usable(&self, source: &Source) -> Result<(), Problem> {
        let Skipped { incomplete, implausible } = self.skipped;
        let used = self.rows.len();
        if used > implausible && used > 2 {
            return Ok(());
        }
        let say = format!(
            "too few rows can be used: {used}; {incomplete} have an empty cell, {implausible} numbers that can't be meant"
        );
        Err(Problem::file(&source.path, say).help(
            "every row is to have every column: fill gaps with the last value; speeds are 0 to 100 m/s, positions are in degrees, \
             volts and amperes above 0 while the pack is discharged",
        ))
    }
}
