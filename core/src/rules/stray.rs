//! `stray`: no leg is longer than any that is expected, and the first point is near launch: swapped or mistyped coordinates.

use super::{Scene, leg::Leg};
use crate::{
    arithmetic::clamp_i32,
    model::path::Motion,
    units::Length,
    verdict::{Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let Some(habits) = scene.figures().route.filter(|_| leg.piece.motion == Motion::Fly) else { return };
    findings.add(within(scene, leg, habits.longest_leg));
    if !scene.journey.flew {
        findings.add(within(scene, leg, habits.first_point_within));
    }
}

/// The leg's length held to a limit. The first fly leg begins at launch, so its length is the first point's distance.
fn within(scene: &Scene<'_>, leg: &Leg, limit: Length) -> Finding {
    let length = clamp_i32(leg.length_ceil.saturating_add(9) / 10);
    let measure = Measure { clearance: limit.get().saturating_sub(length), required: 0, unit: Unit::Metres };
    Finding::measured(Rule::Stray, leg.step, measure).at(leg.place(&scene.around.frame, leg.end_part(true)))
}
