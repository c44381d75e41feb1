//! `keep-in`: the path stays inside the keep-in zone, by the margin of each leg's speed.

use super::{Scene, leg::Leg, margin::horizontal_measure, zones::inside_floor};
use crate::{
    model::zone::ZoneKind,
    verdict::{Finding, Findings, Rule},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if leg.stays() {
        return;
    }
    for (index, _) in scene.limits.zones().filter(|(_, zone)| zone.kind == ZoneKind::KeepIn) {
        let nearest = inside_floor(scene, leg.line, index);
        let measure = horizontal_measure(scene, leg, nearest.distance);
        let finding = Finding::measured(Rule::KeepIn, leg.step, measure).at(leg.place(scene.frame, nearest.part));
        findings.add(Finding { zone: Some(index), ..finding });
    }
}
