//! `link`: the path stays within the radio's range of the ground station, through the air.

use super::{Scene, leg::Leg};
use crate::{
    arithmetic::clamp_i32,
    geometry::predicate::Point,
    verdict::{Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let Some(link) = scene.figures().link else { return };
    let frame = &scene.around.frame;
    // `extent` has seen to it that the station is within reach.
    let station = link.station.and_then(|station| frame.local(station)).unwrap_or(Point { x: 0, y: 0 });
    let (far, at_end) = leg.slant_ceil(frame.plane(station));
    let clearance = clamp_i32(i64::from(link.range.get()).saturating_sub(far));
    let measure = Measure { clearance, required: 0, unit: Unit::Metres };
    findings.add(Finding::measured(Rule::Link, leg.step, measure).at(leg.place(frame, leg.end_part(at_end))));
}
