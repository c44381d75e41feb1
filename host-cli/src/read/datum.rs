//! From heights above the sea, the ground or the ellipsoid to heights above launch: one way for every kind of route file.

use pinfold_core::{geometry::position::Position, units::Height};

use super::{
    Limits,
    geoid::Geoid,
    ground::{Ground, Unknown},
};

/// What it takes to make heights above launch of others. All heights are in 0.01 m.
pub(super) struct Datum<'g> {
    launch: Position,
    /// How high launch is above the sea, where that is said.
    pub(super) elevation: Option<Height>,
    /// The ground in the limits that the route is held to.
    ground: Result<Option<&'g Ground>, Unknown>,
    geoid: Geoid,
}

/// A height above launch, and how far what it was measured from is above the sea (the geoid: above the ellipsoid).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Converted {
    pub(super) height: i32,
    pub(super) base: i32,
}

impl<'g> Datum<'g> {
    pub(super) fn new(launch: Position, elevation: Option<Height>, limits: Option<&'g Limits>) -> Self {
        let ground = limits.map(|limits| limits.ground.as_ref()).ok_or(Unknown::NO_LIMITS);
        Self { launch, elevation, ground, geoid: Geoid::default() }
    }

    /// How high launch is above the sea: as is said, or else as the ground data have it.
    pub(super) fn launch(&self) -> Result<i32, Unknown> {
        self.elevation.map_or_else(|| self.under(self.launch), |height| Ok(height.get()))
    }

    /// How high the ground is above the sea.
    fn under(&self, position: Position) -> Result<i32, Unknown> {
        self.ground.and_then(|ground| Ground::under(ground, position))
    }

    pub(super) fn of_sea(&self, height: i32) -> Result<Converted, Unknown> {
        Ok(Converted { height: height - self.launch()?, base: 0 })
    }

    /// A height above the ground at a place.
    pub(super) fn of_ground(&self, height: i32, position: Position) -> Result<Converted, Unknown> {
        let base = self.under(position)?;
        Ok(Converted { base, ..self.of_sea(base + height)? })
    }

    /// A height above the WGS 84 ellipsoid at a place.
    pub(super) fn of_ellipsoid(&self, height: i32, position: Position) -> Result<Converted, Unknown> {
        let base = self.geoid.above_ellipsoid(position);
        Ok(Converted { base, ..self.of_sea(height - base)? })
    }
}
