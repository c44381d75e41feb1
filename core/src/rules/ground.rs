//! `ground`: the path stays above the ground by the clearance that limits ask for, as far around it as the margin of its speed;
//! and the ground's part in `ceiling`. Climbs, landings and the descent at launch are exempt from the clearance.
//!
//! Ground data are cells with a lowest and a highest height (see [`crate::model::ground`]). Every cell that the path comes
//! within the horizontal margin of counts, and where the path passes the grid's edge, or a cell of which nothing is known,
//! what lies there is unknown: No-go.
//!
//! On a leg that changes its height a cell counts from where the path comes within the margin of it: as with zones, the part
//! of the leg that is lower than c above the cell is one stretch; c holds if that stretch is farther away than the margin.

use super::{
    Scene,
    grid::{Grid, Reach, Rectangle},
    leg::Leg,
    sweep::{Stretch, Sweep, Trial, gap_to_keep, search},
};
use crate::{
    arithmetic::clamp_i32,
    geometry::shape::Shape,
    model::{
        ground::{Ground, Relief},
        path::Motion,
    },
    verdict::{Cause, Finding, Findings, Measure, Place, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let exempt = match leg.piece.motion {
        Motion::Climb | Motion::Descent | Motion::Rise => true,
        Motion::Aloft | Motion::Fly | Motion::Hold | Motion::WayHome => leg.stays(),
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
                self.visit(shape, grid.cell(row, column).cut(reach.all), worst)?;
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

    /// The height above launch (0.01 m) of a cell's ground, as it counts here.
    fn height(&self, relief: Relief) -> i64 {
        let elevation = self.sweep.scene.around.elevation.unwrap_or(Relief { lowest: 0, highest: 0 });
        let (ground, launch) =
            if self.above { (relief.highest, elevation.lowest) } else { (relief.lowest, elevation.highest) };
        i64::from(ground).saturating_sub(i64::from(launch))
    }

    /// What a height of the leg leaves.
    fn spare(&self, relief: Relief, own: i32) -> i64 {
        let (sweep, air) = (self.sweep, self.sweep.scene.around.air);
        if self.above {
            let gap = i64::from(air.lowest_floor(sweep.heights.lowest(own))).saturating_sub(self.height(relief));
            let gap = if gap == 0 { -1 } else { gap };
            gap.saturating_sub(i64::from(self.required))
        } else {
            let highest = i64::from(air.highest_ceil(sweep.heights.highest(own))).saturating_add(i64::from(sweep.up));
            self.height(relief).saturating_add(i64::from(self.required)).saturating_sub(highest)
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
            self.sweep.between(-ENDLESS, height.saturating_add(gap_to_keep(self.required, spare)))
        } else {
            let ceiling = height.saturating_add(i64::from(self.required));
            let surely = ceiling.saturating_sub(i64::from(self.sweep.up)).saturating_sub(spare);
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
    fn place_near(&self, rectangle: Rectangle, stretch: Stretch) -> Place {
        let shape = self.sweep.shape_over(stretch);
        let near = rectangle.nearest(&self.sweep.scene.around.frame, &shape);
        self.sweep.place(&shape, stretch, near)
    }
}

/// Something within the margin that nothing is known of.
struct Unknown(Rectangle);
