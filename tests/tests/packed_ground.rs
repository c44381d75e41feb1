//! Ground data in limits: one way to write each cell, as many cells as the plan says, and none that the figures ask for missing.

use pinfold_core::{
    model::{
        ground::{GROUND_CELLS, GroundCell, GroundPlan},
        limits::Figures,
        store::{LimitsError, LimitsStore},
        zone::ZoneKind,
    },
    units::{CellSide, Latitude},
    wire::{Fault, Reason},
};
use pinfold_tests::{
    packed::{
        golden::{cases, index_of},
        signed,
    },
    sample::{Site, figures, ground_plan, height},
};

/// Why the golden limits are refused with another number in a cell, and whether that is noticed at the cell's very end.
fn refusal_of_cell(meaning: &str, number: i64) -> Option<(Reason, bool)> {
    let [_, limits, _] = cases();
    let index = index_of(&limits.fields, meaning);
    let field = &limits.fields[index];
    let bytes = field.written(number).expect("a number that the form can say");
    let next = limits.fields[index..].iter().find(|field| field.form == "option").map_or(0, |next| next.offset);
    let end = next + bytes.len() - field.bytes.len() - 1;
    let fault = (limits.read)(&limits.with_field(index, &bytes)).err()?;
    Some((fault.reason, fault.offset as usize == end))
}

#[test]
fn a_cell_that_leaves_the_range_of_counts_is_refused() {
    let (here, later) = (Some((Reason::Value, true)), Some((Reason::Value, false)));
    // The lowest count before is 3, whatever unknown cells stand between, and no cell's highest count is more than 65,535.
    let lowest = |difference| refusal_of_cell("row 1, column 0: lowest 1, less the one before: -2", difference);
    for outside in [-4, 65_536 - 3, i32::MIN.into(), i32::MAX.into()] {
        assert_eq!(lowest(outside), here, "{outside}");
    }
    // From 1 the next cells go on to the last count and back to 0: there is no room to either side.
    assert_eq!([lowest(-3), lowest(-2), lowest(-1), lowest(65_535 - 3)], [later, None, later, later]);
    let span = |span| refusal_of_cell("row 1, column 1: highest 65535, less the lowest: 65495", span);
    assert_eq!([span(65_496), span(65_535)], [here; 2]);
    assert_eq!([span(0), span(65_494)], [None; 2]);
    let of_lowest = |span| refusal_of_cell("row 0, column 0: highest 9, less the lowest: 9", span);
    assert_eq!([of_lowest(0), of_lowest(65_535)], [None; 2]);
}

#[test]
fn more_or_fewer_cells_than_the_plan_says_are_refused() {
    let [_, limits, _] = cases();
    for (meaning, numbers) in [("rows: 2", [1, 3, 32]), ("columns: 3", [2, 4, 32])] {
        let index = index_of(&limits.fields, meaning);
        for number in numbers {
            let read = (limits.read)(&limits.with_field(index, &[number])).map_err(|fault| fault.reason);
            assert_eq!(read, Err(Reason::Length), "{number} instead of {meaning}");
        }
    }
    let known = index_of(&limits.fields, "row 1, column 2: known");
    let tail = known..known + 3;
    for (count, expected) in [(0, Err(Reason::Length)), (1, Ok(())), (2, Err(Reason::Length))] {
        let mut changed = limits.clone();
        let cells = vec![limits.fields[tail.clone()].to_vec(); count].concat();
        changed.fields.splice(tail.clone(), cells);
        let read = (limits.read)(&changed.enveloped()).map_err(|fault| fault.reason);
        assert_eq!(read, expected, "{count} times the last cell");
    }
}

#[test]
fn an_unknown_cell_may_stand_anywhere_and_is_written_in_one_way() {
    let [_, limits, _] = cases();
    // The last cell: nothing follows that is a difference from it.
    let last = index_of(&limits.fields, "row 1, column 2: known");
    let with_last = |bytes: &[u8]| {
        let mut changed = limits.clone();
        changed.fields.truncate(last + 1);
        changed.fields[last].bytes = bytes.to_vec();
        (limits.read)(&changed.enveloped()).map_err(|fault| fault.reason)
    };
    assert_eq!(with_last(&[0]), Ok(()));
    // A known cell without its numbers, and an unknown one with them.
    assert_eq!(with_last(&[1]), Err(Reason::Length));
    assert_eq!(with_last(&[0, 0, 0]), Err(Reason::Length));
    let unknown = index_of(&limits.fields, "row 0, column 2: unknown");
    assert_eq!((limits.read)(&limits.with_field(unknown, &[1, 0, 0])), Ok(()));
}

/// A small keep-in zone.
fn site(figures: Figures) -> Site {
    Site::new(figures).polygon("within", ZoneKind::KeepIn, None, &[vec![(0, 0), (0, 9), (9, 0)]]).expect("room")
}

/// A plan of three rows of two cells, the south edge at this latitude.
fn plan(south: i32) -> GroundPlan {
    ground_plan((south, 0), (3, 2), (CellSide::MAX, 1), (0, 1))
}

/// A cell beyond the last of its row is none, and not the first of the next.
#[test]
fn a_cell_has_its_own_heights() {
    let cells: Vec<GroundCell> = (1..=6).map(|count| GroundCell::new(count, count + 10).expect("in order")).collect();
    let store = site(figures()).ground(plan(0), &cells).seal().expect("sound");
    let ground = store.limits().and_then(|limits| limits.ground()).expect("ground data");
    let relief = |row, column| ground.relief(row, column).map(|relief| (relief.lowest, relief.highest));
    assert_eq!([relief(0, 0), relief(0, 1), relief(0, 2)], [Some((1, 11)), Some((2, 12)), None]);
    assert_eq!([relief(2, 1), relief(3, 0)], [Some((6, 16)), None]);
}

/// What is wrong with limits that have so many cells, all unknown.
fn fault_of_ground(plan: GroundPlan, cells: usize) -> Option<LimitsError> {
    site(figures()).ground(plan, &vec![GroundCell::UNKNOWN; cells]).seal().err()
}

#[test]
fn ground_data_that_are_not_whole_are_refused() {
    for cells in [0, 5, 7, GROUND_CELLS] {
        assert_eq!(fault_of_ground(plan(0), cells), Some(LimitsError::GroundCells), "{cells}");
    }
    assert_eq!(fault_of_ground(plan(0), 6), None);
    let mut store = LimitsStore::new();
    store.ground(plan(0));
    let cells = (0..=GROUND_CELLS).map(|_| store.cell(GroundCell::UNKNOWN));
    let refused: Vec<_> = cells.map(|added| added.is_err()).collect();
    assert_eq!(refused.iter().position(|refused| *refused), Some(GROUND_CELLS));
}

#[test]
fn ground_beyond_a_pole_is_refused() {
    let southernmost = Latitude::MAX - 3 * CellSide::MAX;
    assert_eq!(fault_of_ground(plan(southernmost + 1), 6), Some(LimitsError::GroundWide));
    assert_eq!(fault_of_ground(plan(Latitude::MAX), 6), Some(LimitsError::GroundWide));
    assert_eq!(fault_of_ground(plan(southernmost), 6), None);
    assert_eq!(fault_of_ground(plan(Latitude::MIN), 6), None);
}

#[test]
fn figures_that_ask_for_ground_data_need_them() {
    let ceiling = |figures: &mut Figures| figures.heights.ceiling_above_ground = Some(height(5000));
    let clearance = |figures: &mut Figures| figures.heights.ground_clearance = Some(height(0));
    let changed = |change: fn(&mut Figures)| {
        let mut figures = figures();
        change(&mut figures);
        site(figures)
    };
    let without = |change| changed(change).seal().err();
    assert_eq!(
        [without(ceiling), without(clearance), without(|_| {})],
        [Some(LimitsError::NoGround), Some(LimitsError::NoGround), None]
    );
    let with_ground = |change| changed(change).ground(plan(0), &[GroundCell::UNKNOWN; 6]).seal().err();
    assert_eq!([with_ground(ceiling), with_ground(clearance), with_ground(|_| {})], [None; 3]);
}

#[test]
fn unsound_ground_data_are_refused_in_bytes_too() {
    let [_, limits, _] = cases();
    // Two rows of 40,000 counts end at the pole, or one count beyond it.
    let corner = index_of(&limits.fields, "corner's latitude in 1e-7 degree: -175040000");
    let with_corner = |beyond: i32| {
        let latitude = signed(i64::from(Latitude::MAX - 80_000 + beyond));
        (limits.read)(&limits.with_field(corner, &latitude)).map_err(|fault| fault.reason)
    };
    assert_eq!([with_corner(0), with_corner(1)], [Ok(()), Err(Reason::Limits(LimitsError::GroundWide))]);
    let mut without = limits.clone();
    let ground = index_of(&limits.fields, "ground data: said");
    without.fields.truncate(ground + 1);
    without.fields[ground].bytes = vec![0];
    let whole = without.enveloped();
    // What only the whole can show is noticed at its last byte.
    let refused = Fault { offset: whole.len() as u32 - 1, reason: Reason::Limits(LimitsError::NoGround) };
    assert_eq!((limits.read)(&whole), Err(refused));
}
