//! What is made of surveyed ground holds for all of it: random grids against a plain reckoning of their own.

use pinfold_core::model::ground::{GroundPlan, Relief};
use proptest::prelude::*;

use super::{
    cells::Lattice,
    span::{Span, Spot},
    survey::Survey,
};

/// A grid in units of 1e-9 degree, its values in millimetres, some of them gaps; and a span about it, in counts.
#[derive(Clone, Debug)]
struct Case {
    corner: (i64, i64),
    cell: i64,
    /// From the north.
    values: Vec<Vec<Option<i32>>>,
    span: Span,
}

fn case() -> impl Strategy<Value = Case> {
    let corner = (-179_000_000_000..179_000_000_000_i64, -60_000_000_000..60_000_000_000_i64);
    let (sides, cell) = ((2_usize..7, 2_usize..7), 50_i64..40_000);
    let span = ((-20..80_i64, 1..90_i64), (-20..80_i64, 1..90_i64));
    (corner, sides, cell, span).prop_flat_map(|(corner, (columns, rows), cell, span)| {
        let value = prop_oneof![24 => (-20_000..900_000_i32).prop_map(Some), 1 => Just(None)];
        let values = proptest::collection::vec(proptest::collection::vec(value, columns), rows);
        values.prop_map(move |values| {
            // In per cent of the grid's size from its corner, then per cent long.
            let place = |corner: i64, cells: usize, from: i64, long: i64| {
                let size = cell * i64::try_from(cells).unwrap();
                let low = (corner + size * from / 100).div_euclid(100);
                (low, low + (size * long / 10_000).max(1))
            };
            let (west, east) = place(corner.0, columns, span.0.0, span.0.1);
            let (south, north) = place(corner.1, rows, span.1.0, span.1.1);
            Case { corner, cell, values, span: Span { west, east, south, north } }
        })
    })
}

impl Case {
    fn survey(&self) -> Survey {
        let decimal = |nanos: i64| crate::text::decimal::written(nanos, 9);
        let value = |value: &Option<i32>| {
            value.map_or_else(|| "-9999".into(), |mm| crate::text::decimal::written(mm.into(), 3))
        };
        let values: Vec<String> = self.values.iter().flatten().map(value).collect();
        let text = format!(
            "ncols {} nrows {} xllcorner {} yllcorner {} cellsize {} {}",
            self.values[0].len(),
            self.values.len(),
            decimal(self.corner.0),
            decimal(self.corner.1),
            decimal(self.cell),
            values.join(" ")
        );
        let mut survey = Survey::default();
        survey.add(std::path::Path::new("ground.asc"), text.into_bytes(), self.span.grown(40, 40)).unwrap();
        survey
    }

    /// Where a value stands, in half units of 1e-9 degree.
    fn place(corner: i64, cell: i64, number: usize) -> i64 {
        2 * corner + cell * (2 * i64::try_from(number).unwrap() + 1)
    }

    /// The four values of every square that touches a span, in counts: nothing for a gap.
    fn squares(&self, span: Span) -> Vec<Option<i32>> {
        let rows = self.values.len();
        let mut values = Vec::new();
        for row in 0..rows - 1 {
            for column in 0..self.values[0].len() - 1 {
                let [west, east] = [column, column + 1].map(|number| Self::place(self.corner.0, self.cell, number));
                let [south, north] = [row, row + 1].map(|number| Self::place(self.corner.1, self.cell, number));
                let apart = west > span.east * 200
                    || east < span.west * 200
                    || south > span.north * 200
                    || north < span.south * 200;
                if !apart {
                    for (row, column) in [(row, column), (row, column + 1), (row + 1, column), (row + 1, column + 1)] {
                        values.push(self.values[rows - 1 - row][column]);
                    }
                }
            }
        }
        values
    }

    /// Whether a span lies between the outermost values.
    fn covers(&self, span: Span) -> bool {
        let (columns, rows) = (self.values[0].len() - 1, self.values.len() - 1);
        let place = |corner, number| Self::place(corner, self.cell, number);
        span.west * 200 >= place(self.corner.0, 0)
            && span.east * 200 <= place(self.corner.0, columns)
            && span.south * 200 >= place(self.corner.1, 0)
            && span.north * 200 <= place(self.corner.1, rows)
    }

    /// What is known of a span, in 0.01 m, by looking at everything.
    fn relief(&self, span: Span) -> Option<Relief> {
        let values = self.squares(span.grown(1, 1)).into_iter().collect::<Option<Vec<i32>>>()?;
        let (lowest, highest) = (values.iter().min()?, values.iter().max()?);
        let relief = Relief { lowest: lowest.div_euclid(10), highest: -(-highest).div_euclid(10) };
        // The extent is rounded inwards to whole counts, so what is on the very edge may be unknown, too.
        self.covers(span).then_some(relief)
    }
}

/// Where a cell of packed ground lies, by the plan alone: row by row from the south-west corner.
fn packed_span(plan: &GroundPlan, number: usize) -> Span {
    let columns = usize::from(plan.columns.get());
    let line =
        |begin: i32, side: i32, number: usize| i64::from(begin) + i64::from(side) * i64::try_from(number).unwrap();
    let (row, column) = (number / columns, number % columns);
    let west = |column| line(plan.corner.longitude.get(), plan.cell_east.get(), column);
    let south = |row| line(plan.corner.latitude.get(), plan.cell_north.get(), row);
    Span { west: west(column), east: west(column + 1), south: south(row), north: south(row + 1) }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Every cell is as low and as high as the values that a look at all squares finds, and unknown where one is a gap.
    #[test]
    fn a_cell_is_what_all_squares_that_touch_it_make_it(case in case()) {
        let survey = case.survey();
        for (cell, relief) in Lattice::over(case.span, &survey).cells() {
            prop_assert_eq!(relief, case.relief(cell), "{:?}", cell);
        }
    }

    /// The ground at any place, and all four values about it, lie between the heights of every packed cell that has the place.
    #[test]
    fn the_ground_at_a_place_lies_within_every_packed_cell_that_has_it(
        case in case(), across in 0..=1000_i64, up in 0..=1000_i64, on_edge in any::<bool>(),
    ) {
        let survey = case.survey();
        let lattice = Lattice::over(case.span, &survey);
        let Some(packed) = lattice.packed() else { return Ok(()) };
        let all = lattice.all;
        let mut spot =
            Spot { x: all.west + (all.east - all.west) * across / 1000, y: all.south + (all.north - all.south) * up / 1000 };
        if on_edge {
            let width = lattice.cell().east - all.west;
            spot.x -= (spot.x - all.west) % width;
        }
        let ground = survey.height_at(spot);
        let mut cells = 0;
        for (number, cell) in packed.cells.iter().enumerate() {
            let span = packed_span(&packed.plan, number);
            let has = (span.west..=span.east).contains(&spot.x) && (span.south..=span.north).contains(&spot.y);
            let Some((lowest, highest)) = cell.counts().filter(|_| has) else { continue };
            cells += 1;
            let (lowest, highest) = (packed.plan.height(lowest), packed.plan.height(highest));
            let ground = ground.expect("ground that is known");
            prop_assert!((lowest..=highest).contains(&ground), "{} not in {}..{}", ground, lowest, highest);
            let values = case.squares(Span::dot(spot));
            prop_assert!(values.len() >= 4);
            for value in values {
                let value = value.expect("no gap");
                prop_assert!(lowest * 10 <= value && value <= highest * 10, "{} not in {}..{}", value, lowest, highest);
            }
        }
        prop_assert!(cells <= 4);
    }
}

#[test]
fn tiles_that_share_an_edge_cover_what_lies_across_it() {
    let tile = |survey: &mut Survey, name: &str, window: Span| {
        survey.add(std::path::Path::new(name), vec![0; 1201 * 1201 * 2], window).unwrap();
    };
    let across = |x: i64| Span { west: x - 50, east: x + 50, south: 30_000, north: 40_000 };
    // At 10 degrees east, and at the antimeridian from either side.
    let cases = [
        (100_000_000, ["N00E009.hgt", "N00E010.hgt"]),
        (1_800_000_000, ["N00E179.hgt", "N00W180.hgt"]),
        (-1_800_000_000, ["N00E179.hgt", "N00W180.hgt"]),
    ];
    for (x, names) in cases {
        let window = across(x);
        let mut survey = Survey::default();
        tile(&mut survey, names[0], window);
        assert_eq!(survey.relief(window), None, "the other tile is missing");
        tile(&mut survey, names[1], window);
        assert_eq!(survey.relief(window), Some(Relief { lowest: 0, highest: 0 }), "{names:?}");
        assert_eq!(survey.height_at(Spot { x, y: 35_000 }), Some(0));
    }
}
