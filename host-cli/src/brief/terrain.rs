//! The ground below the map, where there are ground data.

use pinfold_core::model::{ground::Ground, route::Launch, store::Limits};

use super::{
    plane::{Plane, Point},
    track::metres,
};

/// Ground data, seen from launch.
#[derive(Clone, Copy)]
pub(super) struct Terrain<'a> {
    ground: Ground<'a>,
    plane: Plane,
    /// The launch point above the sea, in metres.
    launch: f64,
}

impl<'a> Terrain<'a> {
    /// None without ground data, or where nothing says how high launch is.
    pub(super) fn new(limits: Limits<'a>, launch: &Launch, plane: Plane) -> Option<Self> {
        let bare = Self { ground: limits.ground()?, plane, launch: 0.0 };
        let middle = || bare.at(Point::LAUNCH).map(|(lowest, highest)| f64::midpoint(lowest, highest));
        let elevation = launch.elevation.map(|height| metres(height.get())).or_else(middle)?;
        Some(Self { launch: elevation, ..bare })
    }

    /// Lowest and highest ground at a place, in metres above launch; none where it isn't known.
    pub(super) fn at(&self, point: Point) -> Option<(f64, f64)> {
        let plan = self.ground.plan();
        let (north, east) = self.plane.counts_from(plan.corner, point);
        let cell = |counts: f64, side: f64| Some((counts / side).floor()).filter(|cell| (0.0..255.0).contains(cell));
        let row = cell(north, plan.cell_north.get().into())?;
        let column = cell(east, plan.cell_east.get().into())?;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole number from 0 to 254")]
        let relief = self.ground.relief(row as u8, column as u8)?;
        Some((metres(relief.lowest) - self.launch, metres(relief.highest) - self.launch))
    }
}
