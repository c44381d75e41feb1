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
    /// The stage after a step that begins at `height`, over ground at `ground` (both 0.01 m above launch).
    ///
    /// # Errors
    /// Why the step can't come here.
    pub(crate) fn after(self, step: &Step, height: i32, ground: i32) -> Result<Self, Cause> {
        match (self, step) {
            (Self::Over, _) => Err(Cause::AfterEnd),
            (_, Step::Climb { height: to }) if to.get() <= height => Err(Cause::ClimbDoesNotRise),
            (Self::Ground | Self::Air, Step::Climb { .. }) => Ok(Self::Air),
            (Self::Ground, Step::Fly { .. } | Step::Hold { .. } | Step::Land | Step::Return) => {
                Err(Cause::NoClimbFirst)
            }
            (Self::Air, Step::Fly { .. } | Step::Hold { .. }) => Ok(Self::Air),
            // Where the ground isn't known it is at launch height; how far down it is from below that, nobody has said.
            (Self::Air, Step::Land) if height < ground => Err(Cause::LandsBelowLaunch),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        geometry::position::Position,
        units::{Duration, Height, Speed},
    };

    fn steps() -> [Step; 5] {
        let height = Height::new(1000).unwrap();
        let to = Position::new(0, 0).unwrap();
        [
            Step::Climb { height },
            Step::Fly { to, height, speed: Speed::new(100).unwrap(), hold: Duration::NONE },
            Step::Hold { time: Duration::NONE },
            Step::Land,
            Step::Return,
        ]
    }

    #[test]
    fn every_step_at_every_stage_has_its_answer() {
        use Stage::{Air, Ground, Over};
        let after = |stage: Stage| steps().map(|step| stage.after(&step, 500, 0));
        let first = Err(Cause::NoClimbFirst);
        assert_eq!(after(Ground), [Ok(Air), first, first, first, first]);
        assert_eq!(after(Air), [Ok(Air), Ok(Air), Ok(Air), Ok(Over), Ok(Over)]);
        assert_eq!(after(Over), [Err(Cause::AfterEnd); 5]);
    }

    #[test]
    fn a_climb_rises() {
        let [climb, ..] = steps();
        // Both heights are above launch, wherever the ground is.
        for ground in [-300, 0, 300] {
            assert_eq!(Stage::Air.after(&climb, 999, ground), Ok(Stage::Air));
            assert_eq!(Stage::Air.after(&climb, 1000, ground), Err(Cause::ClimbDoesNotRise));
            assert_eq!(Stage::Ground.after(&climb, 1001, ground), Err(Cause::ClimbDoesNotRise));
        }
    }

    #[test]
    fn a_landing_from_below_launch_height_goes_nobody_knows_where() {
        assert_eq!(Stage::Air.after(&Step::Land, -1, 0), Err(Cause::LandsBelowLaunch));
        assert_eq!(Stage::Air.after(&Step::Land, 0, 0), Ok(Stage::Over));
        assert_eq!(Stage::Air.after(&Step::Land, -1, -1), Ok(Stage::Over));
        assert_eq!(Stage::Air.after(&Step::Land, 0, 1), Err(Cause::LandsBelowLaunch));
        assert_eq!(Stage::Air.after(&Step::Return, -1, 0), Ok(Stage::Over), "a return rises above launch first");
    }

    #[test]
    fn a_route_ends_on_the_ground_after_a_flight() {
        assert_eq!(Stage::Ground.end(), Err(Cause::NoSteps));
        assert_eq!(Stage::Air.end(), Err(Cause::NoEnd));
        assert_eq!(Stage::Over.end(), Ok(()));
    }
}
