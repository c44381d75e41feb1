//! Random ground data: any grid that ends at a pole at most, its cells near each other or as far apart as they can be.

use pinfold_core::{
    model::ground::{GroundCell, GroundPlan},
    units::{CellCount, CellSide, CountHeight, Latitude},
};
use proptest::{collection, prelude::*};

use super::{height, number, position};
use crate::sample;

/// How many rows or columns: few mostly, all that there can be sometimes.
fn cell_count() -> impl Strategy<Value = CellCount> {
    let counts = prop_oneof![6 => 1..=4_u8, 1 => CellCount::MIN..=CellCount::MAX, 1 => Just(CellCount::MAX)];
    counts.prop_map(|count| CellCount::new(count).expect("in range"))
}

fn cell_side() -> impl Strategy<Value = CellSide> {
    number(CellSide::MIN, CellSide::MAX).prop_map(|side| CellSide::new(side).expect("in range"))
}

fn count_height() -> impl Strategy<Value = CountHeight> {
    number(CountHeight::MIN, CountHeight::MAX).prop_map(|height| CountHeight::new(height).expect("in range"))
}

prop_compose! {
    /// How the cells lie: a grid that would reach beyond the pole is moved south, to end there.
    fn plan()(
        corner in position(), rows in cell_count(), columns in cell_count(), cell_north in cell_side(),
        cell_east in cell_side(), base in height(), count_height in count_height(),
    ) -> GroundPlan {
        let southernmost = Latitude::MAX - i32::from(rows.get()) * cell_north.get();
        let corner = sample::position(corner.latitude.get().min(southernmost), corner.longitude.get());
        GroundPlan { corner, rows, columns, cell_north, cell_east, base, count_height }
    }
}

fn cell() -> impl Strategy<Value = GroundCell> {
    let count = || prop_oneof![1 => Just(0), 1 => Just(u16::MAX), 3 => 0..200_u16, 3 => any::<u16>()];
    let known = (count(), count()).prop_map(|(one, other)| GroundCell::new(one.min(other), one.max(other)));
    prop_oneof![4 => known.prop_map(|cell| cell.expect("in order")), 1 => Just(GroundCell::UNKNOWN)]
}

/// Any whole ground data.
pub fn ground() -> impl Strategy<Value = (GroundPlan, Vec<GroundCell>)> {
    plan().prop_flat_map(|plan| (Just(plan), collection::vec(cell(), plan.cells())))
}
