//! `ground`: the path stays above the ground by the clearance that limits ask for, as far around it as the margin of its speed;
//! and the ground's part in `ceiling`. Climbs, landings and the descent at launch are exempt from the clearance.
//!
//! Ground data are cells with a lowest and a highest height (see [`crate::model::ground`]). Every cell that the path comes
//! within the horizontal margin of counts, and where the path passes the grid's edge, or a cell of which nothing is known,
//! what lies there is unknown: No-go.
//!
//! On a leg that changes its height a cell counts from where the path comes within the margin of it: as with zones, the part
//! of the leg that is lower than c above the cell is one stretch; c holds if that stretch is farther away than the margin.
//!
//! # Which cells are looked at
//! The box around the path, widened by the margin at the fewest metres that a degree can have, has all cells in question. Row
//! by row the part of the path within the widened row is taken, so a long slanted leg looks at a band of cells, not at the box.
//! Each cell is cut to the box first: what of it is outside can't be within the margin.

use super::{
    Scene,
    leg::Leg,
    sweep::{Stretch, Sweep, Trial, search},
};
use crate::{
    arithmetic::{bounded_product, clamp_i32},
    geometry::{
        frame::Frame,
        predicate::Point,
        shape::{Corner, Shape},
    },
    model::{
        ground::{Ground, Relief},
        path::Motion,
    },
    verdict::{Cause, Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let exempt = match leg.piece.motion {
        Motion::Climb | Motion::Descent | Motion::Rise => true,
        Motion::Fly | Motion::Hold | Motion::WayHome => leg.stays(),
    };
    if !exempt {
        over(&Sweep::of_leg(scene, leg), Rule::Ground, findings);
    }
}

/// What passes, held to its clearance above the ground by a rule.
pub(crate) fn over(sweep: &Sweep<'_>, rule: Rule, findings: &mut Findings) {
    let Some(ground) = sweep.scene.limits.ground() else { return };
    let required = sweep.scene.figures().heights.ground_clearance.map_or(0, |clearance| clearance.get());
    // A height that is exactly the ground's touches it.
    Bound { sweep, ground, required, above: true }.judge(rule, findings);
}

/// What passes, held to the highest height above the ground by a rule.
pub(crate) fn under(sweep: &Sweep<'_>, rule: Rule, findings: &mut Findings) {
    let Some(ceiling) = sweep.scene.figures().heights.ceiling_above_ground else { return };
    let Some(ground) = sweep.scene.limits.ground() else { return };
    Bound { sweep, ground, required: ceiling.get(), above: false }.judge(rule, findings);
}

/// The ground as a bound of heights, from below or from above.
struct Bound<'a> {
    sweep: &'a Sweep<'a>,
    ground: Ground<'a>,
    /// The clearance, or the ceiling, 0.01 m.
    required: i32,
    above: bool,
}

/// The worst that was found.
struct Worst {
    spare: i64,
    at: Option<Rectangle>,
}

impl Bound<'_> {
    fn judge(&self, rule: Rule, findings: &mut Findings) {
        let step = self.sweep.leg.step;
        let place = self.sweep.leg.place(&self.sweep.scene.around.frame, 0);
        if self.sweep.scene.around.elevation.is_none() {
            return findings.add(Finding::of(rule, step, Cause::NoElevation).at(place));
        }
        let known = findings.spare(rule, None);
        let mut worst = Worst { spare: known, at: None };
        match self.walk(&mut worst) {
            Err(Unknown(rectangle)) => {
                let place = self.place_near(rectangle, Stretch::ALL);
                findings.add(Finding::of(rule, step, Cause::GroundUnknown).at(place));
            }
            Ok(()) => findings.add_some(worst.at.map(|rectangle| {
                let stretch = self.stretch(self.relief_of(rectangle), worst.spare.saturating_add(1));
                let place = self.place_near(rectangle, stretch.unwrap_or(Stretch::ALL));
                Finding::measured(rule, step, self.measure(worst.spare, place.height)).at(place)
            })),
        }
    }

    /// Every cell that may be within the margin, and what is outside the grid.
    fn walk(&self, worst: &mut Worst) -> Result<(), Unknown> {
        let shape = &self.sweep.shape;
        let frame = &self.sweep.scene.around.frame;
        let grid = Grid::new(frame, self.ground);
        let reach = Reach::new(frame, shape, self.sweep.horizontal);
        for outside in grid.outside(reach.all) {
            if self.near(shape, outside) {
                return Err(Unknown(outside));
            }
        }
        let (first, last) = grid.rows(reach.all);
        for row in first..=last {
            let Some(band) = reach.within(shape, grid.row(row)) else { continue };
            let (first, last) = grid.columns(band);
            for column in first..=last {
                let cell = Rectangle { cell: Some((row, column)), ..grid.cell(row, column).cut(reach.all) };
                self.visit(shape, cell, worst)?;
            }
        }
        Ok(())
    }

    fn visit(&self, shape: &Shape, cell: Rectangle, worst: &mut Worst) -> Result<(), Unknown> {
        let Some(relief) = self.relief_of(cell) else {
            return if self.near(shape, cell) { Err(Unknown(cell)) } else { Ok(()) };
        };
        let base = self.base(relief);
        if base >= worst.spare || !self.near(shape, cell) {
            return Ok(());
        }
        let trial = |spare: i64| match self.stretch(Some(relief), spare) {
            Some(stretch) if self.near(&self.sweep.shape_over(stretch), cell) => Trial::Not { from: base, to: spare },
            Some(_) | None => Trial::Kept,
        };
        let spare = if self.sweep.slanted() {
            if matches!(trial(worst.spare), Trial::Kept) {
                return Ok(());
            }
            search(base, worst.spare.min(self.most(relief).saturating_add(1)), trial)
        } else {
            base
        };
        *worst = Worst { spare, at: Some(cell) };
        Ok(())
    }

    fn relief_of(&self, cell: Rectangle) -> Option<Relief> {
        cell.cell.and_then(|(row, column)| self.ground.relief(row, column))
    }

    /// The height above launch (0.01 m) that must not be passed, for a cell.
    fn height(&self, relief: Relief) -> i64 {
        let elevation = self.sweep.scene.around.elevation.unwrap_or(Relief { lowest: 0, highest: 0 });
        let (ground, launch) =
            if self.above { (relief.highest, elevation.lowest) } else { (relief.lowest, elevation.highest) };
        i64::from(ground).saturating_add(i64::from(self.required)).saturating_sub(i64::from(launch))
    }

    /// What a height of the leg leaves.
    fn spare(&self, relief: Relief, own: i32) -> i64 {
        let (sweep, air) = (self.sweep, self.sweep.scene.around.air);
        if self.above {
            i64::from(air.lowest_floor(sweep.heights.lowest(own))).saturating_sub(self.height(relief))
        } else {
            let highest = i64::from(air.highest_ceil(sweep.heights.highest(own))).saturating_add(i64::from(sweep.up));
            self.height(relief).saturating_sub(highest)
        }
    }

    /// The least and the most that any height of the leg leaves.
    fn base(&self, relief: Relief) -> i64 {
        let leg = self.sweep.leg;
        self.spare(relief, leg.lowest()).min(self.spare(relief, leg.highest()))
    }

    fn most(&self, relief: Relief) -> i64 {
        let leg = self.sweep.leg;
        self.spare(relief, leg.lowest()).max(self.spare(relief, leg.highest()))
    }

    /// The part of the leg that leaves less than `spare`.
    fn stretch(&self, relief: Option<Relief>, spare: i64) -> Option<Stretch> {
        /// Beyond all heights.
        const ENDLESS: i64 = 1 << 32;
        let height = self.height(relief?);
        let heights = if self.above {
            self.sweep.between(-ENDLESS, height.saturating_add(spare))
        } else {
            let surely = height.saturating_sub(i64::from(self.sweep.up)).saturating_sub(spare);
            self.sweep.between(surely, ENDLESS)
        };
        heights.map(|heights| Stretch::with_heights(self.sweep.leg, heights))
    }

    /// Whether a shape comes within the horizontal margin of a rectangle.
    fn near(&self, shape: &Shape, rectangle: Rectangle) -> bool {
        let frame = &self.sweep.scene.around.frame;
        let margin = i64::from(self.sweep.horizontal).saturating_mul(10);
        // Closed sets: at a margin of 0 what is touched counts.
        rectangle.is_within(frame, shape, margin.max(1))
    }

    fn measure(&self, spare: i64, height: i32) -> Measure {
        let (sweep, air) = (self.sweep, self.sweep.scene.around.air);
        let required = if self.above {
            self.required.saturating_add(air.below_ceil(height))
        } else {
            sweep.up.saturating_add(air.above_ceil(height))
        };
        let clearance = clamp_i32(spare.saturating_add(i64::from(required)));
        let clearance = if clearance == 0 && self.above { -1 } else { clearance };
        Measure { clearance, required, unit: Unit::MetresVertical }
    }

    /// The place of a stretch that is nearest to a rectangle.
    fn place_near(&self, rectangle: Rectangle, stretch: Stretch) -> crate::verdict::Place {
        let shape = self.sweep.shape_over(stretch);
        let near = rectangle.nearest(&self.sweep.scene.around.frame, &shape);
        self.sweep.place(&shape, stretch, near)
    }
}

/// Something within the margin that nothing is known of.
struct Unknown(Rectangle);

/// An upright rectangle in the launch point's coordinates, both ends included, on whole counts of 1e-7 degree.
#[derive(Clone, Copy)]
pub(crate) struct Rectangle {
    west: i32,
    east: i32,
    south: i32,
    north: i32,
    /// Row and column of the cell that it is part of.
    cell: Option<(u8, u8)>,
}

impl Rectangle {
    fn cut(self, to: Self) -> Self {
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
    fn relation(self, frame: &Frame, shape: &Shape, limit: i64) -> crate::geometry::shape::Relation {
        let corners = self.corners(frame);
        let [a, b, c, _] = corners;
        let longest = b.plane.minus(a.plane).length_squared().max(c.plane.minus(b.plane).length_squared());
        // Its north side may be the longer one: by less than a fiftieth in half a degree below 80 degrees.
        let bow = frame.bow_ceil(longest.saturating_add(longest / 8));
        shape.relate(frame, core::iter::once(corners.iter().copied()), bow, limit)
    }

    fn is_within(self, frame: &Frame, shape: &Shape, margin: i64) -> bool {
        if self.is_empty() {
            return false;
        }
        let relation = self.relation(frame, shape, margin);
        relation.inside || relation.touches || relation.nearest.distance < margin
    }

    fn nearest(self, frame: &Frame, shape: &Shape) -> crate::geometry::shape::Approach {
        self.relation(frame, shape, i64::MAX).nearest
    }
}

/// Sixteenths in a count of 1e-7 degree.
const FINE: i32 = 16;

/// What may be within the margin of a shape, in counts of 1e-7 degree.
struct Reach {
    all: Rectangle,
    east: i32,
    north: i32,
}

impl Reach {
    fn new(frame: &Frame, shape: &Shape, margin: i32) -> Self {
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
    fn within(&self, shape: &Shape, row: Rectangle) -> Option<Rectangle> {
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
pub(crate) struct Grid {
    west: i64,
    south: i64,
    cell_east: i64,
    cell_north: i64,
    rows: u8,
    columns: u8,
}

impl Grid {
    pub(crate) fn new(frame: &Frame, ground: Ground<'_>) -> Self {
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
    pub(crate) fn cells_at(&self, point: Point) -> Option<((u8, u8), (u8, u8))> {
        let dot = |value: i32| (value.div_euclid(FINE), value.saturating_add(FINE - 1).div_euclid(FINE));
        let ((west, east), (south, north)) = (dot(point.x), dot(point.y));
        let here = Rectangle { west, east, south, north, cell: None };
        let inside = self.outside(here).next().is_none();
        inside.then(|| (self.rows(here), self.columns(here)))
    }

    /// First and last row that a rectangle touches, as far as there are any; the first is above the last where there are none.
    fn rows(&self, of: Rectangle) -> (u8, u8) {
        cells(
            i64::from(of.south).saturating_sub(self.south),
            i64::from(of.north).saturating_sub(self.south),
            self.cell_north,
            self.rows,
        )
    }

    fn columns(&self, of: Rectangle) -> (u8, u8) {
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

    fn row(&self, row: u8) -> Rectangle {
        self.cell(row, 0)
    }

    fn cell(&self, row: u8, column: u8) -> Rectangle {
        Rectangle {
            west: Self::line(self.west, self.cell_east, column),
            east: Self::line(self.west, self.cell_east, column.saturating_add(1)),
            south: Self::line(self.south, self.cell_north, row),
            north: Self::line(self.south, self.cell_north, row.saturating_add(1)),
            cell: None,
        }
    }

    /// What of a rectangle reaches beyond the grid, as four rectangles from the grid's edge on, some of them empty.
    fn outside(&self, all: Rectangle) -> impl Iterator<Item = Rectangle> {
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
