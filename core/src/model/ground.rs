//! Ground data: between which heights the ground is, cell by cell.
//!
//! The cells make a grid that is straight in longitude and latitude. A cell's two heights hold for every point of it, edges
//! included, however the ground between the surveyed points is drawn: whoever fills a cell takes the lowest and the highest
//! of all surveyed points that an interpolation anywhere in it could use. A cell that nothing is known of is unknown, and so
//! is everything outside the grid.

use serde::{Deserialize, Serialize};

use crate::{
    geometry::position::Position,
    units::{CellCount, CellSide, CountHeight, Height},
};

/// Most rows and most columns.
pub const GROUND_SIDE: usize = CellCount::MAX as usize;
/// Most cells.
pub const GROUND_CELLS: usize = GROUND_SIDE * GROUND_SIDE;

/// How the cells lie, and what their counts mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GroundPlan {
    /// The south-west corner of the first cell.
    pub corner: Position,
    /// Cells from south to north.
    pub rows: CellCount,
    /// Cells from west to east.
    pub columns: CellCount,
    /// How far a cell reaches north.
    pub cell_north: CellSide,
    /// How far a cell reaches east.
    pub cell_east: CellSide,
    /// The height above mean sea level that counts begin at.
    pub base: Height,
    /// What one count stands for.
    pub count_height: CountHeight,
}

/// The ground in a cell: counts above the plan's base.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GroundCell {
    lowest: u16,
    highest: u16,
}

impl GroundCell {
    /// Nothing is known of this cell.
    pub const UNKNOWN: Self = Self { lowest: u16::MAX, highest: 0 };

    /// The ground is between these counts, or `None` where the lowest is above the highest.
    #[must_use]
    pub const fn new(lowest: u16, highest: u16) -> Option<Self> {
        if lowest <= highest { Some(Self { lowest, highest }) } else { None }
    }

    /// The two counts, or `None` where nothing is known.
    #[must_use]
    pub const fn counts(self) -> Option<(u16, u16)> {
        if self.lowest <= self.highest { Some((self.lowest, self.highest)) } else { None }
    }
}

/// Between which heights above mean sea level the ground is, 0.01 m.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Relief {
    /// No ground is below.
    pub lowest: i32,
    /// No ground is above.
    pub highest: i32,
}

/// Ground data that are complete: they can only be had from sound limits.
#[derive(Clone, Copy, Debug)]
pub struct Ground<'a> {
    plan: &'a GroundPlan,
    cells: &'a [GroundCell],
}

impl<'a> Ground<'a> {
    pub(super) const fn new(plan: &'a GroundPlan, cells: &'a [GroundCell]) -> Self {
        Self { plan, cells }
    }

    /// How the cells lie.
    #[must_use]
    pub const fn plan(self) -> &'a GroundPlan {
        self.plan
    }

    /// The cells, row by row from the south-west.
    #[must_use]
    pub const fn cells(self) -> &'a [GroundCell] {
        self.cells
    }

    /// The ground in a cell, from row and column; `None` outside the grid or where nothing is known.
    #[must_use]
    pub fn relief(self, row: u8, column: u8) -> Option<Relief> {
        if column >= self.plan.columns.get() {
            return None;
        }
        let before = usize::from(row).saturating_mul(usize::from(self.plan.columns.get()));
        let (lowest, highest) = self.cells.get(before.saturating_add(usize::from(column)))?.counts()?;
        Some(Relief { lowest: self.plan.height(lowest), highest: self.plan.height(highest) })
    }
}

impl GroundPlan {
    /// Number of cells.
    #[must_use]
    pub fn cells(&self) -> usize {
        usize::from(self.rows.get()).saturating_mul(usize::from(self.columns.get()))
    }

    /// A count as a height above mean sea level, 0.01 m. At most 10 km + 65,535 x 0.3 m.
    #[must_use]
    pub fn height(&self, count: u16) -> i32 {
        self.base.get().saturating_add(self.count_height.get().saturating_mul(i32::from(count)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lowest_of_a_cell_is_not_above_the_highest() {
        assert_eq!(GroundCell::new(5, 5).and_then(GroundCell::counts), Some((5, 5)));
        assert_eq!(GroundCell::new(6, 5), None);
        assert_eq!(GroundCell::UNKNOWN.counts(), None);
    }
}
