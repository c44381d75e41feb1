//! All tiles of a survey, and what they say of a rectangle and of a place.

use std::path::Path;

use pinfold_core::model::ground::Relief;

use super::{
    esri, hgt,
    span::{Span, Spot},
    tile::Tile,
};
use crate::{problem::Problem, read};

/// Surveyed ground, cut to a window.
#[derive(Debug, Default)]
pub(crate) struct Survey {
    tiles: Vec<Tile>,
}

impl Survey {
    /// Adds a file: an SRTM tile by its name, else an Esri ASCII grid.
    pub(super) fn add(&mut self, path: &Path, bytes: Vec<u8>, window: Span) -> Result<(), Problem> {
        let tile = path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("hgt"));
        if tile {
            self.tiles.extend(hgt::read(path, &bytes, window)?);
            return Ok(());
        }
        if !bytes.is_ascii() {
            return Err(Problem::file(path, "this is no Esri ASCII grid: it isn't plain text")
                .help("give an Esri ASCII grid, or name an SRTM tile after its corner: N51E010.hgt"));
        }
        self.tiles.extend(esri::read(&read::as_text(path, bytes)?, window)?);
        Ok(())
    }

    /// Between which heights the ground in a closed rectangle is, however it is drawn between the posts: lowest and highest of
    /// all corners of all squares that touch it, in every tile. Nothing where one of them is a gap, or where tiles don't cover
    /// all of it.
    pub(super) fn relief(&self, of: Span) -> Option<Relief> {
        if !self.covers(of) {
            return None;
        }
        let mut posts = self.tiles.iter().flat_map(|tile| tile.touching(of));
        let first = posts.next()??;
        posts.try_fold(first, |so_far, post| post.map(|post| both(so_far, post)))
    }

    /// Whether all of a rectangle lies between posts of one tile or another. Edges that tiles share are covered.
    fn covers(&self, all: Span) -> bool {
        let rest = self.tiles.iter().fold(vec![all], |rest, tile| {
            let extent = tile.extent();
            rest.into_iter().flat_map(|part| part.without(extent)).collect()
        });
        rest.is_empty()
    }

    /// The ground at a place, 0.01 m above mean sea level.
    pub(super) fn height_at(&self, spot: Spot) -> Option<i32> {
        self.tiles.iter().find_map(|tile| tile.height_at(spot))
    }

    /// The smallest space between two posts, east and north; nothing where there are no tiles.
    pub(super) fn spacing(&self) -> Option<(i64, i64)> {
        let spacings = self.tiles.iter().map(Tile::spacing);
        spacings.reduce(|one, other| (one.0.min(other.0), one.1.min(other.1)))
    }
}

/// From the lower of two lowest heights to the higher of two highest.
pub(super) fn both(one: Relief, other: Relief) -> Relief {
    Relief { lowest: one.lowest.min(other.lowest), highest: one.highest.max(other.highest) }
}
