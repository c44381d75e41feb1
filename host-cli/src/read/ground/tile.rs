//! Surveyed posts in rows and columns, cut to what a site needs.

use std::ops::RangeInclusive;

use pinfold_core::model::ground::Relief;

use super::{
    axis::{Axis, FRACTION},
    span::{Span, Spot, TURN},
};

/// The height of a post, 0.01 m, rounded down and up; nothing where the survey has a gap.
pub(super) type Post = Option<Relief>;

/// Land that there is, 0.01 m: the shore of the Dead Sea is some 430 m below the sea, the highest peak 8,849 m above (both from
/// memory). What is beyond is a mark for a gap, or the bottom of a sea, which is no ground that an aircraft meets first.
pub(super) const LAND: (i32, i32) = (-50_000, 900_000);

/// What to write where a height is none of any land.
pub(super) const NO_LAND: &str = "heights are from -500 to 9000 m; where nothing is known the value is NODATA_VALUE";

/// Posts in rows and columns, the ground between four of them a square.
#[derive(Clone, Debug)]
pub(super) struct Tile {
    east: Axis,
    north: Axis,
    /// Row by row from the north, as all formats have them.
    posts: Vec<Post>,
}

impl Tile {
    /// Where the posts surround the ground.
    pub(super) fn extent(&self) -> Span {
        let ((west, east), (south, north)) = (self.east.extent(), self.north.extent());
        Span { west, east, south, north }
    }

    /// The corners of every square that touches a span.
    pub(super) fn touching(&self, span: Span) -> impl Iterator<Item = Post> {
        let rows = self.north.touching(span.south, span.north);
        let columns = self.east.touching(span.west, span.east);
        let both = rows.zip(columns).into_iter();
        both.flat_map(move |(rows, columns)| rows.flat_map(move |row| columns.clone().map(move |column| (row, column))))
            .map(|(row, column)| self.post(row, column))
    }

    /// The ground between the four posts around a place, bilinear; nothing outside, or at a gap. Posts that were written finer
    /// than 0.01 m are taken in the middle of that, and the place between the posts is off by at most 2^-30 of their distance:
    /// less than 0.01 m in all.
    pub(super) fn height_at(&self, spot: Spot) -> Option<i32> {
        let ((row, up), (column, across)) = (self.north.place(spot.y)?, self.east.place(spot.x)?);
        let twice = |row, column| self.post(row, column).map(|post| i128::from(post.lowest) + i128::from(post.highest));
        let along = |row| Some(twice(row, column)? * (FRACTION - across) + twice(row, column + 1)? * across);
        let sum = along(row)? * (FRACTION - up) + along(row + 1)? * up;
        // The nearest: half of the divisor is added before it divides.
        i32::try_from((sum + FRACTION * FRACTION).div_euclid(2 * FRACTION * FRACTION)).ok()
    }

    /// The smaller space between two posts.
    pub(super) fn spacing(&self) -> (i64, i64) {
        (self.east.spacing(), self.north.spacing())
    }

    fn post(&self, row: usize, column: usize) -> Post {
        let from_north = self.north.posts - 1 - row;
        self.posts.get(from_north * self.east.posts + column).copied().flatten()
    }
}

/// A tile that is being filled, post by post, with those that a site needs.
pub(super) struct Cut {
    tile: Tile,
    rows: RangeInclusive<usize>,
    columns: RangeInclusive<usize>,
}

/// What of a tile touches a window: nothing, or a part, or two where the tile goes round the globe.
pub(super) fn cuts(east: Axis, north: Axis, window: Span) -> Vec<Cut> {
    let turned = [-TURN, 0, TURN].map(|turn| east.shifted(turn)).into_iter();
    turned.filter_map(|east| Cut::new(east, north, window)).collect()
}

impl Cut {
    fn new(east: Axis, north: Axis, window: Span) -> Option<Self> {
        let columns = east.touching(window.west, window.east)?;
        let from_south = north.touching(window.south, window.north)?;
        let tile = Tile { east: east.cut(&columns), north: north.cut(&from_south), posts: Vec::new() };
        let last = north.posts - 1;
        Some(Self { tile, rows: last - from_south.end()..=last - from_south.start(), columns })
    }

    /// Takes a post, rows counted from the north, if it is one of those that are kept. They come row by row.
    pub(super) fn offer(&mut self, row: usize, column: usize, post: Post) {
        if self.rows.contains(&row) && self.columns.contains(&column) {
            self.tile.posts.push(post);
        }
    }

    /// Takes all posts that are kept from where they can be had one by one.
    pub(super) fn filled<E>(mut self, take: impl Fn(usize, usize) -> Result<Post, E>) -> Result<Tile, E> {
        for row in self.rows.clone() {
            for column in self.columns.clone() {
                self.tile.posts.push(take(row, column)?);
            }
        }
        Ok(self.tile)
    }

    pub(super) fn done(self) -> Tile {
        self.tile
    }
}
