//! `floor`: between climb and landing the path stays at or above the lowest height. The figure is the whole demand,
//! but for what a barometric height may be off where limits know the air.

use super::{Scene, leg::Leg};
use crate::{
    model::path::Motion,
    verdict::{Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let lowest = match leg.piece.motion {
        Motion::Descent => return,
        Motion::Climb => leg.piece.to.height,
        Motion::Aloft | Motion::Fly | Motion::Hold | Motion::Rise | Motion::WayHome => leg.lowest(),
    };
    let required = scene.figures().heights.floor.get().saturating_add(scene.around.air.below_ceil(lowest));
    let measure = Measure { clearance: lowest, required, unit: Unit::MetresVertical };
    let at_end = leg.piece.to.height == lowest;
    findings.add(
        Finding::measured(Rule::Floor, leg.step, measure).at(leg.place(&scene.around.frame, leg.end_part(at_end))),
    );
}
