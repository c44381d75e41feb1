//! Esri ASCII grids in longitude and latitude: a header, then heights in metres, row by row from the north.
//!
//! A value stands for the centre of its cell: the ground between four neighbouring centres is a square of the survey, and
//! the outer half of the outermost cells is outside. Heights are above mean sea level. Values are read digit by digit and
//! kept in 0.01 m, rounded down and up.

mod header;
mod words;

#[cfg(test)]
mod tests;

use pinfold_core::model::ground::Relief;
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use super::{
    span::Span,
    tile::{Cut, LAND, NO_LAND, Post, Tile, cuts},
};
use crate::problem::{Problem, Source};
use header::{Gap, Header};
use words::{Word, words};

/// What of a grid touches a window.
pub(super) fn read(source: &Source, window: Span) -> Result<Vec<Tile>, Problem> {
    let mut words = words(source).peekable();
    if words.peek().is_none() {
        return Err(Problem::file(&source.path, "the file is empty").help("give an Esri ASCII grid or an SRTM tile"));
    }
    let plan = Header::read(source, &mut words)?.plan()?;
    let (rows, columns) = (plan.north.posts, plan.east.posts);
    let mut cuts = cuts(plan.east, plan.north, window);
    for row in 0..rows {
        for column in 0..columns {
            let word = words.next().ok_or_else(|| too_few(source, rows * columns, row * columns + column))?;
            let post = post(word, &plan.gap)?;
            cuts.iter_mut().for_each(|cut| cut.offer(row, column, post));
        }
    }
    match words.next() {
        None => Ok(cuts.into_iter().map(Cut::done).collect()),
        Some(more) => {
            let say = format!("more values than the {rows} rows of {columns} that the header tells of");
            Err(more.problem(say).help("correct NROWS and NCOLS, or get the file again"))
        }
    }
}

fn post(word: Word<'_>, gap: &Gap<'_>) -> Result<Post, Problem> {
    if gap.is(word) {
        return Ok(None);
    }
    let height = word.number("a height")?;
    let relief = relief(height).filter(|relief| relief.lowest >= LAND.0 && relief.highest <= LAND.1);
    relief.map(Some).ok_or_else(|| word.problem("this is no height of any land").help(NO_LAND))
}

/// Metres in 0.01 m, down and up.
fn relief(metres: Decimal) -> Option<Relief> {
    let height = metres.checked_mul(Decimal::ONE_HUNDRED)?;
    Some(Relief { lowest: height.floor().to_i32()?, highest: height.ceil().to_i32()? })
}

fn too_few(source: &Source, needed: usize, found: usize) -> Problem {
    let end = source.text.trim_end().len();
    let say = format!("the values end early: {found} of the {needed} that the header tells of");
    source.problem(end.saturating_sub(1)..end, say).help("correct NROWS and NCOLS, or get the file again")
}
