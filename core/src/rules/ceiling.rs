//! `ceiling`: the path stays below the highest height above launch, and above the sea where that is set, by the upward margin.

use super::{Scene, leg::Leg};
use crate::verdict::{Cause, Finding, Findings, Measure, Rule, Unit};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let heights = scene.figures().heights;
    findings.add(below(scene, leg, heights.ceiling.get()));
    if let Some(above_sea) = heights.ceiling_above_sea {
        findings.add(match scene.launch.elevation {
            Some(elevation) => below(scene, leg, above_sea.get().saturating_sub(elevation.get())),
            None => Finding::of(Rule::Ceiling, leg.step, Cause::NoElevation),
        });
    }
}

/// The leg held to a height above launch, 0.01 m. Exact but for the margin, which is rounded up.
fn below(scene: &Scene<'_>, leg: &Leg, ceiling: i32) -> Finding {
    let measure = Measure {
        clearance: ceiling.saturating_sub(leg.highest()),
        required: scene.margins.up_ceil(leg.piece.speed.max(0)),
        unit: Unit::MetresVertical,
    };
    let part = leg.end_part(leg.rise() > 0);
    Finding::measured(Rule::Ceiling, leg.step, measure).at(leg.place(scene.frame, part))
}
