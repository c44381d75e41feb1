//! `sequence`: the steps come in an order that makes a flight.

use crate::{model::route::Step, verdict::Cause};

/// How far a flight has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stage {
    /// On the ground, before the climb.
    Ground,
    /// In the air.
    Air,
    /// Landed.
    Over,
}

impl Stage {
    /// The stage after a step that begins at `height` (0.01 m above launch).
    ///
    /// # Errors
    /// Why the step can't come here.
    pub(crate) fn after(self, step: &Step, height: i32) -> Result<Self, Cause> {
        match (self, step) {
            (Self::Over, _) => Err(Cause::AfterEnd),
            (_, Step::Climb { height: to }) if to.get() <= height => Err(Cause::ClimbDoesNotRise),
            (Self::Ground | Self::Air, Step::Climb { .. }) => Ok(Self::Air),
            (Self::Ground, Step::Fly { .. } | Step::Hold { .. } | Step::Land | Step::Return) => {
                Err(Cause::NoClimbFirst)
            }
            (Self::Air, Step::Fly { .. } | Step::Hold { .. }) => Ok(Self::Air),
            (Self::Air, Step::Land | Step::Return) => Ok(Self::Over),
        }
    }

    /// Whether a route may end here.
    pub(crate) const fn end(self) -> Result<(), Cause> {
        match self {
            Self::Ground => Err(Cause::NoSteps),
            Self::Air => Err(Cause::NoEnd),
            Self::Over => Ok(()),
        }
    }
}
