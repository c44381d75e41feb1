//! `repeat` (a caution): two climb or fly steps in a row lead to the same place and height.

use super::{Scene, leg::Leg};
use crate::{
    model::path::Motion,
    verdict::{Cause, Finding, Findings, Rule},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let waypoint = matches!(leg.piece.motion, Motion::Climb | Motion::Fly);
    if waypoint && scene.journey.waypoint == Some(leg.piece.to) {
        findings.add(
            Finding::of(Rule::Repeat, leg.step, Cause::SameAsBefore)
                .at(leg.place(&scene.around.frame, leg.end_part(true))),
        );
    }
}
