//! The header of an Esri ASCII grid: how its values lie.

use std::iter::Peekable;

use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use super::words::Word;
use crate::{
    problem::{Problem, Source},
    read::ground::axis::Axis,
    text::table::suggestion,
};

/// Keys as they are written here; case doesn't matter.
const KEYS: [&str; 8] =
    ["ncols", "nrows", "xllcorner", "yllcorner", "xllcenter", "yllcenter", "cellsize", "nodata_value"];
/// Most rows or columns: far above any file that is read.
const MOST: u32 = 10_000_000;
/// The widest cells that are taken for degrees, in degrees: 11 km, which is coarser than any use here. Our own choice.
const WIDEST: Decimal = Decimal::from_parts(1, 0, 0, false, 1);
/// Units of 1e-18 degree in a count of 1e-7 degree.
const FINE: i128 = 100_000_000_000;

/// What a header says.
pub(super) struct Header<'s> {
    source: &'s Source,
    words: [Option<Word<'s>>; 8],
}

/// How the values lie, and what marks a gap.
pub(super) struct Plan<'s> {
    pub(super) east: Axis,
    pub(super) north: Axis,
    pub(super) gap: Gap<'s>,
}

/// The value that stands where nothing is known.
pub(super) struct Gap<'s> {
    text: &'s str,
    number: Option<Decimal>,
}

impl Gap<'_> {
    /// Whether a word is that value: by its letters, or as a number. Some writers mark a gap with a number that is far too large
    /// for any height; it is known by its letters alone.
    pub(super) fn is(&self, word: Word<'_>) -> bool {
        word.text == self.text || (self.number.is_some() && word.decimal() == self.number)
    }
}

impl<'s> Header<'s> {
    /// Takes pairs of key and value as long as there are any.
    pub(super) fn read(
        source: &'s Source, words: &mut Peekable<impl Iterator<Item = Word<'s>>>,
    ) -> Result<Self, Problem> {
        let mut header = Self { source, words: [None; 8] };
        while let Some(key) = words.next_if(Word::is_key) {
            let known = KEYS.iter().position(|known| known.eq_ignore_ascii_case(key.text)).ok_or_else(|| {
                let say = format!("`{}` is no key of an Esri ASCII grid", key.shown());
                key.problem(say).help(suggestion(&key.text.to_lowercase(), &KEYS))
            })?;
            let value = words.next().ok_or_else(|| key.problem("the file ends after this key"))?;
            if header.words[known].replace(value).is_some() {
                return Err(key.problem(format!("`{}` stands here twice", key.text)).help("take one out"));
            }
        }
        Ok(header)
    }

    pub(super) fn plan(&self) -> Result<Plan<'s>, Problem> {
        let (columns, rows) = (self.count("ncols")?, self.count("nrows")?);
        let size = self.needed("cellsize")?;
        let cell = size.number("CELLSIZE")?;
        if cell <= Decimal::ZERO || cell > WIDEST {
            return Err(not_degrees(size, "CELLSIZE is to be above 0 and at most 0.1 degree"));
        }
        let x = self.corner(["xllcorner", "xllcenter"], 360)?;
        let y = self.corner(["yllcorner", "yllcenter"], 90)?;
        if x.1 != y.1 {
            let say = "the corner is given one way for x and another for y";
            return Err(y.2.problem(say).help("write XLLCORNER and YLLCORNER, or XLLCENTER and YLLCENTER"));
        }
        let (east, north) = (axis(x, cell, columns), axis(y, cell, rows));
        // Half a cell may reach beyond: a grid of the whole globe has its outermost values at or inside the poles.
        let (south, top) = north.extent();
        if south < -900_000_000 || top > 900_000_000 {
            return Err(not_degrees(size, "the rows reach beyond a pole"));
        }
        Ok(Plan { east, north, gap: self.gap()? })
    }

    fn needed(&self, key: &str) -> Result<Word<'s>, Problem> {
        self.find(key).ok_or_else(|| {
            let key = key.to_uppercase();
            self.source.problem(0..0, format!("the header has no {key}")).help(format!(
                "an Esri ASCII grid begins with NCOLS, NROWS, XLLCORNER, YLLCORNER, CELLSIZE; an SRTM tile is named *.hgt; add {key}"
            ))
        })
    }

    fn find(&self, key: &str) -> Option<Word<'s>> {
        KEYS.iter().position(|known| *known == key).and_then(|place| self.words[place])
    }

    fn count(&self, key: &str) -> Result<usize, Problem> {
        let word = self.needed(key)?;
        let count = word.text.parse::<u32>().ok().filter(|count| (2..=MOST).contains(count));
        let count = count.and_then(|count| usize::try_from(count).ok());
        count.ok_or_else(|| {
            let say = format!("{} is to be a whole number from 2 to {MOST}", key.to_uppercase());
            word.problem(say).help("ground lies between values, so two rows and two columns are the least")
        })
    }

    /// The first corner of one direction: its degrees, whether that is a cell's centre, and where it is written.
    fn corner(&self, keys: [&str; 2], most: i64) -> Result<(Decimal, bool, Word<'s>), Problem> {
        let (word, center) = match (self.find(keys[0]), self.find(keys[1])) {
            (Some(_), Some(word)) => {
                let say = format!("both {} and {} are given", keys[0].to_uppercase(), keys[1].to_uppercase());
                return Err(word.problem(say).help("take one of them out"));
            }
            (None, Some(word)) => (word, true),
            (_, None) => (self.needed(keys[0])?, false),
        };
        let degrees = word.number(keys[usize::from(center)])?;
        if degrees.abs() > Decimal::from(most) {
            return Err(not_degrees(word, &format!("the corner is to be within {most} degrees of 0")));
        }
        Ok((degrees, center, word))
    }

    fn gap(&self) -> Result<Gap<'s>, Problem> {
        let Some(word) = self.find("nodata_value") else {
            return Ok(Gap { text: "-9999", number: Some(Decimal::from(-9999)) });
        };
        if word.text.parse::<f64>().is_ok_and(f64::is_finite) {
            return Ok(Gap { text: word.text, number: word.decimal() });
        }
        Err(word.problem("NODATA_VALUE is to be a finite number").help("write another value for gaps: -9999"))
    }
}

/// Cells in metres are told from cells in degrees by their numbers.
fn not_degrees(word: Word<'_>, say: &str) -> Problem {
    let problem = word.problem(format!("this grid isn't in degrees of WGS 84: {say}"));
    problem.help("it is in metres, perhaps: have it converted to WGS 84 longitude and latitude (EPSG:4326) by a GIS")
}

/// A value stands for the centre of its cell.
fn axis((degrees, center, _): (Decimal, bool, Word<'_>), cell: Decimal, posts: usize) -> Axis {
    let (from, step) = (fine(degrees), fine(cell));
    let half = if center { 0 } else { step };
    Axis { first: 2 * from + half, step: (2 * step).max(1), parts: 2 * FINE, posts }
}

/// Degrees in 1e-18 degree, to the nearest.
fn fine(degrees: Decimal) -> i128 {
    let units = degrees.checked_mul(Decimal::from(10_i64.pow(18)));
    units.and_then(|units| units.round().to_i128()).unwrap_or(0)
}
