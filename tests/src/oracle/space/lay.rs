//! Ground under a path: cells whose edges are about as far from it as the margin reaches, one of them as high as it may be, the
//! ceiling as low.

use pinfold_core::{
    geometry::position::Position,
    model::ground::{GroundCell, GroundPlan},
    units::{CellCount, CellSide, CountHeight},
};

use super::{compare::Judge, dice::Dice, scene::Scene};
use crate::{
    oracle::{exact::Local, flight::home},
    sample::{height, position},
};

/// Ground data as they are packed.
pub type Ground = (GroundPlan, Vec<GroundCell>);

/// How many counts the grid begins before the path and ends after it, east and north.
struct Frame {
    corner: Local,
    side: (i32, i32),
    columns: u8,
    rows: u8,
}

/// One axis: where the first cell begins, how wide cells are, how many there are.
fn axis(dice: &mut Dice, (low, high): (i64, i64), margin: f64, counts: f64) -> Option<(i64, i32, u8)> {
    #[expect(clippy::cast_possible_truncation, reason = "some kilometres in counts")]
    let reach = |meters: f64| (meters * counts) as i64;
    let near = |dice: &mut Dice| match dice.whole(0, 2) {
        0 => margin + dice.between(0.0, 400.0),
        _ => margin + dice.between(-0.1, 0.15),
    };
    let cells = dice.whole(1, 7);
    let first = low - reach(near(dice));
    let last = high + reach(near(dice));
    let side = i32::try_from((last - first).div_euclid(i64::from(cells))).ok()?.clamp(1, 10_000_000);
    // The last edge is where it is to be, or the first is.
    let first = if dice.chance(0.5) { first } else { last - i64::from(side) * i64::from(cells) };
    let more = i64::from(dice.chance(0.5));
    Some((first - more * i64::from(side), side, u8::try_from(cells).ok()? + u8::try_from(2 * more).ok()?))
}

fn frame(dice: &mut Dice, scene: &Scene, judge: &Judge) -> Option<Frame> {
    let (low, high) = judge.extent();
    let (east, north) = home(&scene.launch).ground((0, 0)).meters_per_degree();
    let margin = judge.widest();
    let (west, wide, columns) = axis(dice, (low.0, high.0), margin, 1e7 / east)?;
    let (south, tall, rows) = axis(dice, (low.1, high.1), margin, 1e7 / north)?;
    Some(Frame { corner: (west, south), side: (wide, tall), columns, rows })
}

/// A position that far from launch.
fn offset(scene: &Scene, (east, north): Local) -> Option<Position> {
    const TURN: i64 = 3_600_000_000;
    let launch = scene.launch.position;
    let longitude = (i64::from(launch.longitude.get()) + east + TURN / 2).rem_euclid(TURN) - TURN / 2;
    let latitude = i64::from(launch.latitude.get()) + north;
    let fits = latitude.abs() < 890_000_000;
    fits.then(|| Some(position(i32::try_from(latitude).ok()?, i32::try_from(longitude).ok()?)))?
}

/// Ground data for a scene; where they can't be made, it has none.
pub(super) fn lay(scene: &mut Scene, dice: &mut Dice) {
    let Some((plan, cells)) = data(scene, dice) else { return };
    scene.figures.heights.ground_clearance = dice.chance(0.8).then(|| height(dice.whole(0, 2000)));
    scene.figures.heights.ceiling_above_ground = dice.chance(0.5).then(|| height(12_000));
    if dice.chance(0.2) && scene.figures.air.is_none() {
        scene.launch.elevation = None;
    }
    scene.ground = Some((plan, cells));
    tighten(scene, dice);
}

fn data(scene: &Scene, dice: &mut Dice) -> Option<Ground> {
    let frame = frame(dice, scene, &scene.judge())?;
    let launch = scene.launch.elevation?.get();
    let count_height = dice.whole(1, 10);
    let base = launch - 3000;
    let plan = GroundPlan {
        corner: offset(scene, frame.corner)?,
        rows: CellCount::new(frame.rows)?,
        columns: CellCount::new(frame.columns)?,
        cell_north: CellSide::new(frame.side.1)?,
        cell_east: CellSide::new(frame.side.0)?,
        base: height(base),
        count_height: CountHeight::new(count_height)?,
    };
    let level = 3000 / count_height;
    let rough = dice.pick(&[0, 200, 2000]) / count_height;
    let missing = dice.chance(0.15).then(|| dice.whole(0, i32::from(frame.rows) * i32::from(frame.columns) - 1));
    let cell = |number: i32, dice: &mut Dice| {
        let low = u16::try_from((level + dice.whole(-rough, 0)).max(0)).unwrap_or(0);
        let high = low + u16::try_from(dice.whole(0, rough)).unwrap_or(0);
        if missing == Some(number) { Some(GroundCell::UNKNOWN) } else { GroundCell::new(low, high) }
    };
    let count = i32::from(frame.rows) * i32::from(frame.columns);
    let cells: Option<Vec<GroundCell>> = (0..count).map(|number| cell(number, dice)).collect();
    Some((plan, cells?))
}

/// Raises one cell, and lowers the ceiling, until little is left.
fn tighten(scene: &mut Scene, dice: &mut Dice) {
    let own = dice.chance(0.5);
    let count = i32::try_from(scene.ground.as_ref().map_or(1, |(_, cells)| cells.len())).unwrap_or(1);
    let hot = usize::try_from(dice.whole(0, count - 1)).unwrap_or(0);
    let wanted = dice.pick(&[0.0, 0.03, -0.03, 0.3, -0.3]);
    let left = scene.judge().above_ground(own, Some(hot)) - wanted;
    if let Some((plan, cells)) = &mut scene.ground
        && let Some((low, high)) = cells[hot].counts()
        && left.is_finite()
    {
        let raise = (left * 100.0 / f64::from(plan.count_height.get())).floor();
        #[expect(clippy::cast_possible_truncation, reason = "clamped to 16 bits")]
        let top = (f64::from(high) + raise).clamp(f64::from(low), 60_000.0) as i32;
        cells[hot] = GroundCell::new(low, u16::try_from(top).unwrap_or(high)).unwrap_or(cells[hot]);
    }
    if let Some(ceiling) = scene.figures.heights.ceiling_above_ground {
        let left = scene.judge().below_ground_ceiling(own) - dice.pick(&[0.0, 0.03, -0.03, 0.2, -0.2]);
        if left.is_finite() {
            #[expect(clippy::cast_possible_truncation, reason = "a height in centimetres")]
            let lower = (left * 100.0) as i32;
            scene.figures.heights.ceiling_above_ground = Some(height((ceiling.get() - lower).clamp(-900_000, 900_000)));
        }
    }
}
