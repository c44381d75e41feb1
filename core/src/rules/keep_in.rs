//! `keep-in`: the path stays inside the keep-in zone, by the margin of each leg's speed.

use super::{
    Scene,
    leg::Leg,
    sweep::{Stretch, Sweep},
    zones::{inside_floor, limit_of, measure_of},
};
use crate::{
    model::zone::ZoneKind,
    verdict::{Finding, Findings, Rule},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if !leg.stays() {
        inside_all(&Sweep::of_leg(scene, leg), Rule::KeepIn, findings);
    }
}

/// What passes, held to the keep-in zone by a rule.
pub(crate) fn inside_all(sweep: &Sweep<'_>, rule: Rule, findings: &mut Findings) {
    for (index, _) in sweep.scene.limits.zones().filter(|(_, zone)| zone.kind == ZoneKind::KeepIn) {
        let limit = limit_of(findings.spare(rule, Some(index)), sweep.horizontal);
        let nearest = inside_floor(sweep.scene, &sweep.shape, index, limit);
        if nearest.distance < limit {
            let measure = measure_of(nearest.distance, sweep.horizontal);
            let place = sweep.place(&sweep.shape, Stretch::ALL, nearest);
            let finding = Finding::measured(rule, sweep.leg.step, measure).at(place);
            findings.add(Finding { zone: Some(index), ..finding });
        }
    }
}
