//! `keep-out`: the path stays out of a keep-out zone by the margin of each leg's speed, at heights within the zone's own.

use super::{
    Scene,
    leg::Leg,
    overlap::{Band, Overlap},
    sweep::{Stretch, Sweep},
    zones::{limit_of, measure_of, outside_floor},
};
use crate::{
    model::zone::{HeightBand, HeightReference, Zone, ZoneKind},
    units::Height,
    verdict::{Cause, Finding, Findings, Rule},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if !leg.stays() {
        outside_all(&Sweep::of_leg(scene, leg), Rule::KeepOut, findings);
    }
}

/// What passes, held to every keep-out zone by a rule.
pub(crate) fn outside_all(sweep: &Sweep<'_>, rule: Rule, findings: &mut Findings) {
    outside(sweep, |_| true, rule, findings);
}

/// What passes, held to every keep-out zone that has heights by a rule.
pub(crate) fn outside_all_with_heights(sweep: &Sweep<'_>, rule: Rule, findings: &mut Findings) {
    outside(sweep, |zone| zone.heights.is_some(), rule, findings);
}

fn outside(sweep: &Sweep<'_>, asked: fn(&Zone) -> bool, rule: Rule, findings: &mut Findings) {
    for (index, zone) in sweep.scene.limits.zones().filter(|(_, zone)| zone.kind == ZoneKind::KeepOut && asked(zone)) {
        let known = findings.spare(rule, Some(index));
        let limit = limit_of(known, sweep.horizontal);
        let nearest = outside_floor(sweep.scene, &sweep.shape, index, zone, limit);
        if nearest.distance >= limit {
            continue;
        }
        let flat = Finding::measured(rule, sweep.leg.step, measure_of(nearest.distance, sweep.horizontal))
            .at(sweep.place(&sweep.shape, Stretch::ALL, nearest));
        if let Some(finding) = at_heights(sweep, (index, zone), flat, known) {
            findings.add(Finding { zone: Some(index), ..finding });
        }
    }
}

/// What is found of a zone where the heights count as well; nothing if it is no less than `known`.
fn at_heights(sweep: &Sweep<'_>, (index, zone): (u8, &Zone), flat: Finding, known: i64) -> Option<Finding> {
    let (Some(heights), Some(measure), Some(place)) = (zone.heights, flat.measure, flat.place) else {
        return Some(flat);
    };
    match band(sweep.scene, heights) {
        // Where the heights don't matter it doesn't matter either that they aren't known.
        None if flat.severity().is_none() => Some(flat),
        None => Some(Finding::of(flat.rule, flat.step, Cause::NoElevation).at(place)),
        Some(band) => {
            let (measure, place) = Overlap { sweep, index, zone, band }.tightest(measure, place, known)?;
            Some(Finding::measured(flat.rule, flat.step, measure).at(place))
        }
    }
}

/// A zone's heights above launch; `None` where they can't be told.
fn band(scene: &Scene<'_>, heights: HeightBand) -> Option<Band> {
    let (lowest, highest) = match heights.reference {
        HeightReference::AboveLaunch => (0, 0),
        HeightReference::AboveSea => {
            let elevation = scene.around.elevation?;
            (elevation.lowest, elevation.highest)
        }
    };
    // Where the launch point's own height is only known to be between two, the zone reaches from one to the other.
    let above = |height: Height, launch: i32| height.get().saturating_sub(launch);
    Some(Band {
        floor: heights.floor.map(|floor| above(floor, highest)),
        ceiling: heights.ceiling.map(|ceiling| above(ceiling, lowest)),
    })
}
