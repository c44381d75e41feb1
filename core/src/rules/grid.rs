//! The grid of ground data in the launch point's coordinates, and which of its cells a shape may come near to.
//!
//! # Which cells are looked at
//! The box around the path, widened by the margin at the fewest metres that a degree can have, has all cells in question. Row
//! by row the part of the path within the widened row is taken, so a long slanted leg looks at a band of cells, not at the box.
//! Each cell is cut to the box first: what of it is outside can't be within the margin.

use crate::{
    arithmetic::{bounded_product, clamp_i32},
    geometry::{
        frame::{FINE, Frame},
        predicate::Point,
        shape::{Approach, Corner, Relation, Shape},
    },
    model::ground::{Ground, Relief},
};

/// An upright rectangle in the launch point's coordinates, both ends included, on whole counts of 1e-7 degree.
#[derive(Clone, Copy)]
pub(super) struct Rectangle {
    west: i32,
    east: i32,
    south: i32,
    north: i32,
    /// Row and column of the cell that it is part of.
    pub(super) cell: Option<(u8, u8)>,
}

impl Rectangle {
    pub(super) fn cut(self, to: Self) -> Self {
        Self {
            west: self.west.max(to.west),
            east: self.east.min(to.east),
            south: self.south.max(to.south),
            north: self.north.min(to.north),
            ..self
        }
    }

    const fn is_empty(self) -> bool {
        self.west > self.east || self.south > self.north
    }

    fn corners(self, frame: &Frame) -> [Corner; 4] {
        let corner = |x: i32, y: i32| {
            let point = Point { x: x.saturating_mul(FINE), y: y.saturating_mul(FINE) };
            Corner { position: frame.position(point), plane: frame.plane(point) }
        };
        [
            corner(self.west, self.south),
            corner(self.east, self.south),
            corner(self.east, self.north),
            corner(self.west, self.north),
        ]
    }

    /// How a shape lies to it, as far as that is within `limit`, mm.
    fn relation(self, frame: &Frame, shape: &Shape, limit: i64) -> Relation {
        let corners = self.corners(frame);
        let [a, b, c, _] = corners;
        let longest = b.plane.minus(a.plane).length_squared().max(c.plane.minus(b.plane).length_squared());
        // Its north side may be the longer one: by less than a fiftieth in half a degree below 80 degrees.
        let bow = frame.bow_ceil(longest.saturating_add(longest / 8));
        shape.relate(frame, core::iter::once(corners.iter().copied()), bow, limit)
    }

    pub(super) fn is_within(self, frame: &Frame, shape: &Shape, margin: i64) -> bool {
        if self.is_empty() {
            return false;
        }
        let relation = self.relation(frame, shape, margin);
        relation.inside || relation.touches || relation.nearest.distance < margin
    }

    pub(super) fn nearest(self, frame: &Frame, shape: &Shape) -> Approach {
        self.relation(frame, shape, i64::MAX).nearest
    }
}

/// What may be within the margin of a shape, in counts of 1e-7 degree.
pub(super) struct Reach {
    pub(super) all: Rectangle,
    east: i32,
    north: i32,
}

impl Reach {
    pub(super) fn new(frame: &Frame, shape: &Shape, margin: i32) -> Self {
        let [east, north] = frame.counts_ceil(i64::from(margin).saturating_mul(10));
        let ends = || shape.sides().flat_map(|side| [side.from, side.to]);
        let (west, far_east) = span(ends().map(|end| end.x));
        let (south, far_north) = span(ends().map(|end| end.y));
        let all = Rectangle {
            west: west.saturating_sub(east),
            east: far_east.saturating_add(east),
            south: south.saturating_sub(north),
            north: far_north.saturating_add(north),
            cell: None,
        };
        Self { all, east, north }
    }

    /// What of the shape is within reach of a row, widened: nothing where none of it is.
    pub(super) fn within(&self, shape: &Shape, row: Rectangle) -> Option<Rectangle> {
        let (south, north) = (row.south.saturating_sub(self.north), row.north.saturating_add(self.north));
        let parts = shape.sides().filter_map(|side| crossing(side.from, side.to, south, north));
        let (west, east) = parts.reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)))?;
        Some(Rectangle { west: west.saturating_sub(self.east), east: east.saturating_add(self.east), ..row })
    }
}

/// The least and the greatest of some sixteenths, as counts, rounded outwards.
fn span(values: impl Iterator<Item = i32>) -> (i32, i32) {
    let (low, high) = values.fold((i32::MAX, i32::MIN), |(low, high), value| (low.min(value), high.max(value)));
    (low.div_euclid(FINE), high.saturating_add(FINE - 1).div_euclid(FINE))
}

/// Between which x, in counts rounded outwards, a line has a y between two counts.
fn crossing(from: Point, to: Point, south: i32, north: i32) -> Option<(i32, i32)> {
    let (south, north) = (south.saturating_mul(FINE), north.saturating_mul(FINE));
    let (low, high) = if from.y <= to.y { (from, to) } else { (to, from) };
    if high.y < south || low.y > north {
        return None;
    }
    let at = |y: i32| {
        let rise = i64::from(high.y.saturating_sub(low.y)).max(1);
        let run = bounded_product(i64::from(high.x.saturating_sub(low.x)), y.saturating_sub(low.y));
        clamp_i32(i64::from(low.x).saturating_add(run.checked_div(rise).unwrap_or(0)))
    };
    let ends = [if low.y >= south { low.x } else { at(south) }, if high.y <= north { high.x } else { at(north) }];
    // A division cut a sixteenth short.
    let (west, east) = span(ends.into_iter());
    Some((west.saturating_sub(1), east.saturating_add(1)))
}

/// The grid in the launch point's coordinates, in counts of 1e-7 degree.
pub(super) struct Grid {
    west: i64,
    south: i64,
    cell_east: i64,
    cell_north: i64,
    rows: u8,
    columns: u8,
}

impl Grid {
    pub(super) fn new(frame: &Frame, ground: Ground<'_>) -> Self {
        let plan = ground.plan();
        Self {
            west: i64::from(plan.corner.east_of(frame.launch())),
            south: i64::from(plan.corner.north_of(frame.launch())),
            cell_east: i64::from(plan.cell_east.get()),
            cell_north: i64::from(plan.cell_north.get()),
            rows: plan.rows.get(),
            columns: plan.columns.get(),
        }
    }

    /// First and last row and column of the cells that a point, in sixteenths, belongs to: more than one of each on an edge.
    /// Nothing outside the grid.
    fn cells_at(&self, point: Point) -> Option<((u8, u8), (u8, u8))> {
        let dot = |value: i32| (value.div_euclid(FINE), value.saturating_add(FINE - 1).div_euclid(FINE));
        let ((west, east), (south, north)) = (dot(point.x), dot(point.y));
        let here = Rectangle { west, east, south, north, cell: None };
        let inside = self.outside(here).next().is_none();
        inside.then(|| (self.rows(here), self.columns(here)))
    }

    /// First and last row that a rectangle touches, as far as there are any; the first is above the last where there are none.
    pub(super) fn rows(&self, of: Rectangle) -> (u8, u8) {
        cells(
            i64::from(of.south).saturating_sub(self.south),
            i64::from(of.north).saturating_sub(self.south),
            self.cell_north,
            self.rows,
        )
    }

    pub(super) fn columns(&self, of: Rectangle) -> (u8, u8) {
        cells(
            i64::from(of.west).saturating_sub(self.west),
            i64::from(of.east).saturating_sub(self.west),
            self.cell_east,
            self.columns,
        )
    }

    fn line(begin: i64, size: i64, number: u8) -> i32 {
        clamp_i32(begin.saturating_add(bounded_product(size, i32::from(number))))
    }

    pub(super) fn row(&self, row: u8) -> Rectangle {
        self.cell(row, 0)
    }

    pub(super) fn cell(&self, row: u8, column: u8) -> Rectangle {
        Rectangle {
            west: Self::line(self.west, self.cell_east, column),
            east: Self::line(self.west, self.cell_east, column.saturating_add(1)),
            south: Self::line(self.south, self.cell_north, row),
            north: Self::line(self.south, self.cell_north, row.saturating_add(1)),
            cell: Some((row, column)),
        }
    }

    /// What of a rectangle reaches beyond the grid, as four rectangles from the grid's edge on, some of them empty.
    pub(super) fn outside(&self, all: Rectangle) -> impl Iterator<Item = Rectangle> {
        let (first, end) = (self.cell(0, 0), self.cell(self.rows, self.columns));
        let strips = [
            (all.west < first.west, Rectangle { east: first.west, ..all }),
            (all.east > end.west, Rectangle { west: end.west, ..all }),
            (all.south < first.south, Rectangle { north: first.south, ..all }),
            (all.north > end.south, Rectangle { south: end.south, ..all }),
        ];
        strips.into_iter().filter(|(reaches, _)| *reaches).map(|(_, strip)| strip)
    }
}

/// The first and the last of `count` cells of `size` that the span from `low` to `high` touches, cells being closed.
fn cells(low: i64, high: i64, size: i64, count: u8) -> (u8, u8) {
    let last = i64::from(count).saturating_sub(1);
    let number = |value: i64| value.checked_div_euclid(size).unwrap_or(0);
    let (first, end) = (number(low.saturating_sub(1)), number(high));
    let cell = |number: i64| u8::try_from(number.max(0).min(last)).unwrap_or(0);
    if end < 0 || first > last { (1, 0) } else { (cell(first), cell(end)) }
}

/// The ground at a place: lowest and highest of all cells that it belongs to; `None` where any of them is unknown.
pub(crate) fn relief_at(frame: &Frame, ground: Ground<'_>, point: Point) -> Option<Relief> {
    let (rows, columns) = Grid::new(frame, ground).cells_at(point)?;
    let mut all: Option<Relief> = None;
    for row in rows.0..=rows.1 {
        for column in columns.0..=columns.1 {
            let relief = ground.relief(row, column)?;
            let so_far = all.unwrap_or(relief);
            all =
                Some(Relief { lowest: so_far.lowest.min(relief.lowest), highest: so_far.highest.max(relief.highest) });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{position::Position, shape::Place};

    fn rectangle((west, east): (i32, i32), (south, north): (i32, i32)) -> Rectangle {
        Rectangle { west, east, south, north, cell: None }
    }

    fn sides(of: Rectangle) -> ((i32, i32), (i32, i32)) {
        ((of.west, of.east), (of.south, of.north))
    }

    fn frame(latitude: i32) -> Frame {
        Frame::new(Position::new(latitude, 0).unwrap()).unwrap()
    }

    /// A place in counts.
    fn place(frame: &Frame, (x, y): (i32, i32)) -> Place {
        Place::new(frame, Point { x: x.saturating_mul(FINE), y: y.saturating_mul(FINE) })
    }

    fn dot(frame: &Frame, at: (i32, i32)) -> Shape {
        Shape::of_line(place(frame, at).line_to(frame, place(frame, at)))
    }

    /// Three rows and five columns of 20 by 10 counts from (-30, 100) on.
    const GRID: Grid = Grid { west: -30, south: 100, cell_east: 10, cell_north: 20, rows: 3, columns: 5 };

    #[test]
    fn a_cut_has_what_both_have() {
        let (one, other) = (rectangle((0, 10), (0, 10)), rectangle((4, 20), (-5, 7)));
        assert_eq!(sides(one.cut(other)), ((4, 10), (0, 7)));
        assert_eq!(sides(other.cut(one)), ((4, 10), (0, 7)));
        assert!(one.cut(rectangle((11, 12), (0, 5))).is_empty() && one.cut(rectangle((0, 5), (-9, -1))).is_empty());
        assert!(!one.cut(rectangle((10, 12), (10, 12))).is_empty(), "a corner is in both");
    }

    #[test]
    fn an_edge_belongs_to_the_cells_on_both_sides_of_it() {
        let counts = |x: i32, y: i32| GRID.cells_at(Point { x: x * FINE, y: y * FINE });
        assert_eq!(counts(-29, 101), Some(((0, 0), (0, 0))));
        assert_eq!(counts(-21, 119), Some(((0, 0), (0, 0))));
        assert_eq!(counts(-20, 120), Some(((0, 1), (0, 1))));
        assert_eq!(counts(-30, 100), Some(((0, 0), (0, 0))), "the grid's own corner");
        assert_eq!(counts(20, 160), Some(((2, 2), (4, 4))), "and the other one");
        assert_eq!(
            GRID.cells_at(Point { x: -20 * FINE - 1, y: 120 * FINE - 1 }),
            Some(((0, 1), (0, 1))),
            "rounded outwards"
        );
        assert!([(-31, 100), (21, 100), (0, 99), (0, 161)].iter().all(|(x, y)| counts(*x, *y).is_none()));
    }

    #[test]
    fn a_span_touches_the_cells_that_it_reaches() {
        assert_eq!(cells(1, 9, 10, 5), (0, 0));
        assert_eq!(cells(10, 10, 10, 5), (0, 1));
        assert_eq!(cells(11, 39, 10, 5), (1, 3));
        assert_eq!(cells(-100, 100, 10, 5), (0, 4));
        assert_eq!(cells(50, 60, 10, 5), (4, 4), "the last edge");
        assert!([(-20, -1), (51, 60)].into_iter().map(|(low, high)| cells(low, high, 10, 5)).all(|(a, b)| a > b));
    }

    #[test]
    fn what_is_outside_a_grid_is_on_the_side_where_it_reaches_beyond() {
        let strips = |of: Rectangle| GRID.outside(of).map(sides).collect::<std::vec::Vec<_>>();
        assert_eq!(strips(rectangle((-30, 20), (100, 160))), [], "all of the grid");
        assert_eq!(strips(rectangle((-31, 0), (110, 120))), [((-31, -30), (110, 120))]);
        assert_eq!(strips(rectangle((0, 21), (110, 120))), [((20, 21), (110, 120))]);
        assert_eq!(strips(rectangle((0, 9), (99, 120))), [((0, 9), (99, 100))]);
        assert_eq!(strips(rectangle((0, 9), (110, 161))), [((0, 9), (160, 161))]);
        assert_eq!(strips(rectangle((-99, 99), (0, 999))).len(), 4);
    }

    #[test]
    fn a_line_is_where_it_is_between_two_parallels() {
        let point = |(x, y): (i32, i32)| Point { x, y };
        for (a, b) in [
            ((0, 0), (33, 32)),
            ((-33, 0), (0, -32)),
            ((-800, 163), (1100, 490)),
            ((5, -300), (7, 900)),
            ((90, 48), (-90, 48)),
        ] {
            for (from, to) in [(a, b), (b, a)] {
                for (south, north) in (-20..30).flat_map(|south| [0, 1, 7].map(|size| (south, south + size))) {
                    let found = crossing(point(from), point(to), south, north);
                    let (least, most) = (f64::from(south * FINE), f64::from(north * FINE));
                    let at = |number: i32| {
                        let share = f64::from(number) / 9600.0;
                        let along = |from: i32, to: i32| f64::from(from) + f64::from(to - from) * share;
                        (along(from.0, to.0), along(from.1, to.1))
                    };
                    let within =
                        (0..=9600).map(at).filter(|(_, y)| *y >= least && *y <= most).map(|(x, _)| x / f64::from(FINE));
                    let (low, high) = within.fold((f64::MAX, f64::MIN), |(low, high), x| (low.min(x), high.max(x)));
                    let Some((west, east)) = found else {
                        assert!(low > high, "{from:?} to {to:?} is between {south} and {north}");
                        continue;
                    };
                    let (west, east) = (f64::from(west), f64::from(east));
                    let apart = from.1.max(to.1) < south * FINE || from.1.min(to.1) > north * FINE;
                    assert!(!apart && west <= low && east >= high, "{west} to {east}, not {low} to {high}");
                    assert!(
                        low > high || (west > low - 2.2 && east < high + 2.2),
                        "{west} to {east}, not {low} to {high}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_row_is_within_reach_of_every_side() {
        let frame = frame(0);
        let triangle =
            Shape::triangle(&frame, place(&frame, (5000, 8000)), place(&frame, (-5000, 8000)), Place::LAUNCH);
        let reach = Reach::new(&frame, &triangle, 1000);
        // 10 m are 898.3 and 904.4 counts; counts are rounded up, and one is added.
        assert_eq!(sides(reach.all), ((-5900, 5900), (-906, 8906)));
        let row = |south: i32, north: i32| reach.within(&triangle, rectangle((0, 0), (south, north)));
        assert_eq!(
            row(3000, 3100).map(sides),
            Some(((-3405, 3405), (3000, 3100))),
            "4006 x 5 / 8 rounded up, and 901 more"
        );
        assert_eq!(row(-2000, -907).map(sides), None);
    }

    /// At 60 degrees 0.4 degrees of a parallel, 22.3 km, bow 16.8 m to the south of their chord.
    #[test]
    fn a_wide_cell_is_near_where_its_edge_is_and_not_its_chord() {
        let frame = frame(600_000_000);
        let cell = rectangle((-2_000_000, 2_000_000), (0, 10_000));
        // A count is 11.141 mm: 9.8 m and 9.99 m to the south.
        for south in [880, 897] {
            let shape = dot(&frame, (0, -south));
            assert!(cell.is_within(&frame, &shape, 10_000) && !cell.is_within(&frame, &shape, 9700), "{south}");
        }
    }
}
