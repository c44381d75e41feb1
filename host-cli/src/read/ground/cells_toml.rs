//! Cells of ground as a table, as `pinfold unpack` writes them: they read back as the very same cells.

use pinfold_core::{
    model::ground::{GroundCell, GroundPlan},
    units::{CellCount, CellSide, CountHeight, Height},
};
use toml::{Spanned, de::DeValue};

use super::cells::Cells;
use crate::{
    problem::{Problem, Source},
    read::{
        quantity::{CELL_SIDE, COUNT_HEIGHT},
        take::{height, position, take},
    },
    text::table::{COARSE, Finer::Refuse, Quantity, Section, parse},
};

/// All heights that counts can stand for.
const METRES: Quantity = Quantity {
    unit: "m",
    digits: 2,
    range: (Height::MIN as i64, Height::MAX as i64 + CountHeight::MAX as i64 * u16::MAX as i64),
    coarse: COARSE,
};

/// Reads cells.
pub(super) fn read(source: &Source) -> Result<Cells, Problem> {
    let document = parse(source)?;
    let root = Section::open(source, "", 0..0, document.get_ref(), &["cells"])?;
    let known = ["lat", "lon", "cell_lat", "cell_lon", "base_m", "count_m", "rows"];
    let section = root.section("cells", &known)?;
    let none = &mut Vec::new();
    let rows = list(&section, section.value("rows"))?;
    let columns = rows.first().map_or(Ok(0), |row| list(&section, Some(row)).map(<[_]>::len))?;
    let count = |count: usize| u8::try_from(count).ok().and_then(CellCount::new);
    let sides = count(rows.len()).zip(count(columns));
    let (rows_count, columns_count) = sides.ok_or_else(|| shape(&section))?;
    let plan = GroundPlan {
        corner: position(&section)?,
        rows: rows_count,
        columns: columns_count,
        cell_north: take(&section, "cell_lat", CELL_SIDE, Refuse, none, CellSide::new)?,
        cell_east: take(&section, "cell_lon", CELL_SIDE, Refuse, none, CellSide::new)?,
        base: height(&section, "base_m", Refuse, none)?,
        count_height: take(&section, "count_m", COUNT_HEIGHT, Refuse, none, CountHeight::new)?,
    };
    let mut cells = Vec::new();
    for row in rows {
        let row = list(&section, Some(row))?;
        if row.len() != columns {
            return Err(shape(&section));
        }
        for value in row {
            cells.push(cell(source, &section, value, &plan)?);
        }
    }
    Ok(Cells { plan, cells })
}

/// A cell: lowest and highest ground in metres, or nothing.
fn cell(
    source: &Source, section: &Section<'_>, value: &Spanned<DeValue<'_>>, plan: &GroundPlan,
) -> Result<GroundCell, Problem> {
    let [lowest, highest] = list(section, Some(value))? else {
        let unknown = list(section, Some(value))?.is_empty();
        return if unknown { Ok(GroundCell::UNKNOWN) } else { Err(shape(section)) };
    };
    let counts = |value| -> Result<Option<u16>, Problem> {
        let metres = section.number("rows", value, METRES, Refuse, &mut Vec::new())?;
        let above = metres - i64::from(plan.base.get());
        let one = i64::from(plan.count_height.get());
        Ok(if above % one == 0 { u16::try_from(above / one).ok() } else { None })
    };
    let both = counts(lowest)?.zip(counts(highest)?);
    both.and_then(|(lowest, highest)| GroundCell::new(lowest, highest)).ok_or_else(|| {
        let say = "a cell's heights are to be whole counts of `count_m` above `base_m`, the lowest first";
        source.problem(value.span(), say).help("let `pinfold unpack` write the file again")
    })
}

fn list<'v, 's>(
    section: &Section<'_>, value: Option<&'v Spanned<DeValue<'s>>>,
) -> Result<&'v [Spanned<DeValue<'s>>], Problem> {
    match value.map(Spanned::get_ref) {
        Some(DeValue::Array(items)) => Ok(items),
        Some(_) | None => Err(shape(section)),
    }
}

fn shape(section: &Section<'_>) -> Problem {
    let most = CellCount::MAX;
    section
        .problem_at("rows", format!("`rows` is to be a list of up to {most} rows, each of the same up to {most} cells"))
        .help("write a cell as [lowest in m, highest in m], or [] where nothing is known; rows from the south")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(rows: &str) -> Result<Cells, String> {
        let plan = "[cells]\nlat = 1.0\nlon = 2.0\ncell_lat = 0.001\ncell_lon = 0.002\nbase_m = 10.0\ncount_m = 0.15\n";
        let source = Source { path: "ground.toml".into(), text: format!("{plan}rows = {rows}\n") };
        read(&source).map_err(|problem| problem.summary().to_owned())
    }

    #[test]
    fn heights_are_whole_counts_above_the_base() {
        let read = cells("[[[10.0, 10.3], []], [[10.15, 10.15], [9840.25, 9840.25]]]").unwrap();
        let counts: Vec<_> = read.cells.iter().map(|cell| cell.counts()).collect();
        assert_eq!(counts, [Some((0, 2)), None, Some((1, 1)), Some((u16::MAX, u16::MAX))]);
        assert_eq!((read.plan.rows.get(), read.plan.columns.get()), (2, 2));
        for rows in ["[[[10.0, 10.2]]]", "[[[9.85, 10.0]]]", "[[[10.15, 10.0]]]", "[[[10.0, 9840.4]]]"] {
            assert!(cells(rows).unwrap_err().contains("whole counts"), "{rows}");
        }
    }

    #[test]
    fn rows_are_a_rectangle_of_at_most_32_by_32() {
        let row = |columns: usize| format!("[{}]", vec!["[]"; columns].join(", "));
        let rows = |rows: usize, columns: usize| format!("[{}]", vec![row(columns); rows].join(", "));
        assert_eq!(cells(&rows(32, 32)).unwrap().cells.len(), 1024);
        for wrong in [rows(33, 1), rows(1, 33), rows(0, 0), rows(1, 0), format!("[{}, {}]", row(2), row(1)), "7".into()]
        {
            assert!(cells(&wrong).unwrap_err().contains("list of up to 32 rows"), "{wrong}");
        }
    }
}
