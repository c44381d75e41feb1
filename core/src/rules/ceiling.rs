//! `ceiling`: the path stays below the highest height above launch, and above the sea and the ground where those are set, by the
//! upward margin.

use super::{Scene, ground, leg::Leg, sweep::Sweep};
use crate::verdict::{Cause, Finding, Findings, Measure, Rule, Unit};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    below_all(&Sweep::of_leg(scene, leg), Rule::Ceiling, findings);
}

/// What passes, held to every ceiling by a rule.
pub(crate) fn below_all(sweep: &Sweep<'_>, rule: Rule, findings: &mut Findings) {
    let figures = sweep.scene.figures();
    let elevation = sweep.scene.around.elevation;
    findings.add(below(sweep, rule, figures.heights.ceiling.get()));
    let unknown = |findings: &mut Findings| findings.add(Finding::of(rule, sweep.leg.step, Cause::NoElevation));
    match (figures.heights.ceiling_above_sea, elevation) {
        (None, _) => {}
        (Some(_), None) => unknown(findings),
        (Some(sea), Some(launch)) => findings.add(below(sweep, rule, sea.get().saturating_sub(launch.highest))),
    }
    // What a barometric height is off can't be told without the standard atmosphere's temperature at launch.
    if figures.air.is_some() && elevation.is_none() {
        unknown(findings);
    }
    ground::under(sweep, rule, findings);
}

/// What passes, held to a height above launch, 0.01 m. Exact but for the margins, which are rounded up.
fn below(sweep: &Sweep<'_>, rule: Rule, ceiling: i32) -> Finding {
    let leg = sweep.leg;
    let highest = sweep.heights.highest(leg.highest());
    let measure = Measure {
        clearance: ceiling.saturating_sub(highest),
        required: sweep.up.saturating_add(sweep.scene.around.air.above_ceil(highest)),
        unit: Unit::MetresVertical,
    };
    let place = leg.place(&sweep.scene.around.frame, leg.end_part(leg.rise() > 0));
    Finding::measured(rule, leg.step, measure).at(crate::verdict::Place { height: highest, ..place })
}
