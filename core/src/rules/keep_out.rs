//! `keep-out`: the path stays out of a keep-out zone by the margin of each leg's speed, at heights within the zone's own.

use super::{
    Scene,
    leg::Leg,
    margin::horizontal_measure,
    overlap::{Band, tightest},
    zones::outside_floor,
};
use crate::{
    model::zone::{HeightBand, HeightReference, Zone, ZoneKind},
    verdict::{Cause, Finding, Findings, Rule},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if leg.stays() {
        return;
    }
    for (index, zone) in scene.limits.zones().filter(|(_, zone)| zone.kind == ZoneKind::KeepOut) {
        findings.add(Finding { zone: Some(index), ..against(scene, leg, index, zone) });
    }
}

fn against(scene: &Scene<'_>, leg: &Leg, index: u8, zone: &Zone) -> Finding {
    let nearest = outside_floor(scene, leg.line, index, zone);
    let measure = horizontal_measure(scene, leg, nearest.distance);
    let place = leg.place(scene.frame, nearest.part);
    let flat = Finding::measured(Rule::KeepOut, leg.step, measure).at(place);
    match zone.heights.map(|heights| band(scene, heights)) {
        None => flat,
        // Where the heights don't matter it doesn't matter either that they aren't known.
        Some(None) if flat.severity().is_none() => flat,
        Some(None) => Finding::of(Rule::KeepOut, leg.step, Cause::NoElevation).at(place),
        Some(Some(band)) => {
            let (measure, part) = tightest(scene, leg, index, zone, band, measure, nearest.part);
            Finding::measured(Rule::KeepOut, leg.step, measure).at(leg.place(scene.frame, part))
        }
    }
}

/// A zone's heights above launch; `None` where they can't be told.
fn band(scene: &Scene<'_>, heights: HeightBand) -> Option<Band> {
    let launch = match heights.reference {
        HeightReference::AboveLaunch => 0,
        HeightReference::AboveSea => scene.launch.elevation?.get(),
    };
    let above_launch = |height: crate::units::Height| height.get().saturating_sub(launch);
    Some(Band { floor: heights.floor.map(above_launch), ceiling: heights.ceiling.map(above_launch) })
}
