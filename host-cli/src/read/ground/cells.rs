//! From surveyed posts to the few cells that limits hold, or that a zone lies on.

use pinfold_core::{
    geometry::position::Position,
    model::{
        ground::{GroundCell, GroundPlan, Relief},
        store::{LimitsError, LimitsStore},
    },
    units::{CellCount, CellSide, CountHeight, Height},
};

use super::{
    span::{Span, TURN},
    survey::{Survey, both},
};

/// Cells in rows from the south and columns from the west, each with what is known of its ground.
#[derive(Debug)]
pub(super) struct Lattice {
    pub(super) all: Span,
    columns: i64,
    rows: i64,
    reliefs: Vec<Option<Relief>>,
}

/// The cells that limits hold.
#[derive(Debug)]
pub(crate) struct Cells {
    pub(crate) plan: GroundPlan,
    pub(crate) cells: Vec<GroundCell>,
}

impl Lattice {
    /// Lays cells over a span: at most 32 on a side, and none narrower than a quarter of the space between two posts, since that
    /// would tell little more. They reach at most 32 counts of 1e-7 degree beyond the span to the east and north.
    pub(super) fn over(span: Span, survey: &Survey) -> Self {
        let (east, north) = survey.spacing().unwrap_or((1, 1));
        let (columns, width) = divided(span.east - span.west, east);
        let (rows, height) = divided(span.north - span.south, north);
        let all = Span { east: span.west + columns * width, north: span.south + rows * height, ..span };
        let mut lattice = Self { all, columns, rows, reliefs: Vec::new() };
        lattice.reliefs = lattice.spans().map(|cell| survey.relief(cell)).collect();
        lattice
    }

    /// A single cell.
    pub(super) fn cell(&self) -> Span {
        let (width, height) = self.sides();
        Span { east: self.all.west + width, north: self.all.south + height, ..self.all }
    }

    /// The cells, row by row from the south-west, and what is known of each.
    pub(super) fn cells(&self) -> impl Iterator<Item = (Span, Option<Relief>)> {
        self.spans().zip(self.reliefs.iter().copied())
    }

    fn sides(&self) -> (i64, i64) {
        ((self.all.east - self.all.west) / self.columns, (self.all.north - self.all.south) / self.rows)
    }

    fn spans(&self) -> impl Iterator<Item = Span> + use<> {
        let (columns, rows, (width, height)) = (self.columns, self.rows, self.sides());
        let Span { west, south, .. } = self.all;
        (0..rows).flat_map(move |row| {
            (0..columns).map(move |column| {
                let (west, south) = (west + column * width, south + row * height);
                Span { west, east: west + width, south, north: south + height }
            })
        })
    }

    /// The cells as limits hold them: counts above the lowest ground, as fine as they can be, the lowest of a cell rounded down
    /// and the highest up. Nothing where no cell is known, or where the cells can't be held.
    pub(super) fn packed(&self) -> Option<Cells> {
        let all = self.reliefs.iter().flatten().copied().reduce(both)?;
        // A height of land spans at most 9,500 m, which are 65,535 counts of 0.15 m.
        let count = (all.highest - all.lowest).div_euclid(i32::from(u16::MAX)) + 1;
        let packed = |relief: &Option<Relief>| match relief {
            None => Some(GroundCell::UNKNOWN),
            Some(relief) => {
                let (low, high) = (relief.lowest - all.lowest, relief.highest - all.lowest);
                let high = high.div_euclid(count) + i32::from(high.rem_euclid(count) > 0);
                GroundCell::new(u16::try_from(low.div_euclid(count)).ok()?, u16::try_from(high).ok()?)
            }
        };
        Some(Cells {
            plan: self.plan(Height::new(all.lowest)?, CountHeight::new(count)?)?,
            cells: self.reliefs.iter().map(packed).collect::<Option<_>>()?,
        })
    }

    fn plan(&self, base: Height, count_height: CountHeight) -> Option<GroundPlan> {
        let (width, height) = self.sides();
        let west = (self.all.west + TURN / 2).rem_euclid(TURN) - TURN / 2;
        Some(GroundPlan {
            corner: Position::new(i32::try_from(self.all.south).ok()?, i32::try_from(west).ok()?)?,
            rows: CellCount::new(u8::try_from(self.rows).ok()?)?,
            columns: CellCount::new(u8::try_from(self.columns).ok()?)?,
            cell_north: CellSide::new(i32::try_from(height).ok()?)?,
            cell_east: CellSide::new(i32::try_from(width).ok()?)?,
            base,
            count_height,
        })
    }
}

/// Into how many cells a length is divided, and how long they are: together at least the length.
fn divided(length: i64, spacing: i64) -> (i64, i64) {
    let length = length.max(1);
    let count = (length * 4 / spacing.max(1)).clamp(1, i64::from(CellCount::MAX));
    (count, (length + count - 1) / count)
}

impl Cells {
    /// Puts the cells into a store.
    pub(super) fn fill(&self, store: &mut LimitsStore) -> Result<(), LimitsError> {
        store.ground(self.plan);
        self.cells.iter().try_for_each(|cell| store.cell(*cell))
    }

    /// How many cells nothing is known of.
    pub(super) fn unknown(&self) -> usize {
        self.cells.iter().filter(|cell| cell.counts().is_none()).count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_together_as_long_as_the_span_and_hardly_longer() {
        for (length, spacing) in [(0, 5), (1, 1), (31, 1), (32, 1), (33, 1), (1000, 7), (1000, 100), (99, 1000)] {
            let (count, side) = divided(length, spacing);
            assert!((1..=32).contains(&count) && side > 0);
            assert!((length..length.max(1) + count).contains(&(count * side)), "{length} {spacing}: {count} x {side}");
        }
        assert_eq!(divided(3200, 100), (32, 100));
        assert_eq!(divided(3200, 1600), (8, 400), "four to the space between two posts");
    }

    /// One row of cells with these heights.
    fn lattice(reliefs: &[Option<(i32, i32)>]) -> Lattice {
        let columns = i64::try_from(reliefs.len()).unwrap();
        let all = Span { west: 1_799_999_999, east: 1_799_999_999 + 10 * columns, south: 0, north: 5 };
        let reliefs = reliefs.iter().map(|relief| relief.map(|(lowest, highest)| Relief { lowest, highest }));
        Lattice { all, columns, rows: 1, reliefs: reliefs.collect() }
    }

    #[test]
    fn counts_are_as_fine_as_they_can_be_and_rounded_outwards() {
        let cells = lattice(&[Some((-500, 65_035)), None]).packed().unwrap();
        assert_eq!((cells.plan.base.get(), cells.plan.count_height.get(), cells.unknown()), (-500, 2, 1));
        let cells = lattice(&[Some((-500, 65_034)), Some((7, 7))]).packed().unwrap();
        assert_eq!(cells.plan.count_height.get(), 1);
        assert_eq!(cells.cells[0].counts(), Some((0, 65_534)));
        let cells = lattice(&[Some((0, 131_070)), Some((7, 8))]).packed().unwrap();
        assert_eq!((cells.plan.count_height.get(), cells.cells[1].counts()), (3, Some((2, 3))));
        let cells = lattice(&[Some((-50_000, 900_000))]).packed().unwrap();
        assert_eq!(cells.plan.count_height.get(), 15);
        assert!(lattice(&[None, None]).packed().is_none());
    }

    #[test]
    fn a_corner_past_the_antimeridian_has_its_own_name() {
        let mut beyond = lattice(&[Some((0, 1))]);
        assert_eq!(beyond.packed().unwrap().plan.corner.longitude.get(), 1_799_999_999);
        beyond.all.west += 5;
        beyond.all.east += 5;
        assert_eq!(beyond.packed().unwrap().plan.corner.longitude.get(), -1_799_999_996);
    }
}
