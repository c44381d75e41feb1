//! The ground in limits as a table of cells. It can't be a survey again, since only the lowest and highest of each cell are left
//! of that; the table reads back as the very same cells.

use std::fmt::Write as _;

use pinfold_core::model::ground::{Ground, GroundCell, GroundPlan};

use super::{degrees, hundredths};

/// The text of the cells.
pub(crate) fn text(ground: Ground<'_>) -> String {
    let plan = ground.plan();
    let mut text = String::from(
        "# The ground in limits, cell by cell. The first cell's south-west corner, how far a cell reaches north and east in degrees,\n\
         # and row by row from the south the lowest and the highest ground of each cell in m above the sea; [] is unknown.\n[cells]\n",
    );
    let keys = [
        ("lat", degrees(plan.corner.latitude.get())),
        ("lon", degrees(plan.corner.longitude.get())),
        ("cell_lat", degrees(plan.cell_north.get())),
        ("cell_lon", degrees(plan.cell_east.get())),
        ("base_m", hundredths(plan.base.get())),
        ("count_m", hundredths(plan.count_height.get())),
    ];
    for (key, value) in keys {
        let _ = writeln!(text, "{key} = {value}");
    }
    text.push_str("rows = [\n");
    for row in ground.cells().chunks(usize::from(plan.columns.get())) {
        let cells: Vec<String> = row.iter().map(|one| cell(*one, plan)).collect();
        let _ = writeln!(text, "  [{}],", cells.join(", "));
    }
    text.push_str("]\n");
    text
}

fn cell(cell: GroundCell, plan: &GroundPlan) -> String {
    match cell.counts() {
        None => "[]".to_owned(),
        Some((lowest, highest)) => {
            format!("[{}, {}]", hundredths(plan.height(lowest)), hundredths(plan.height(highest)))
        }
    }
}
