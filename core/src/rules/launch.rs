//! `launch`: the aircraft stands where the route begins, and the ground there is as high as the route says.

use super::{Scene, grid::relief_at};
use crate::{
    arithmetic::clamp_i32,
    geometry::{frame::Frame, plane::PlanePoint, position::Position, predicate::Point},
    model::limits::Figures,
    verdict::{Cause, Finding, Findings, Measure, Place, Rule, Unit},
};

/// How far the planned height of launch may be from ground data, 0.01 m: common practice, no source.
const FIT: i32 = 300;

pub(crate) fn judge(scene: &Scene<'_>, findings: &mut Findings) {
    findings.add_some(fits_ground(scene));
    findings.add_some(stands_there(scene.figures(), &scene.around.frame, scene.readings.here));
}

/// The planned height of launch against ground data.
fn fits_ground(scene: &Scene<'_>) -> Option<Finding> {
    let ground = scene.limits.ground()?;
    let at = Place { position: scene.around.frame.launch(), height: 0 };
    let Some(relief) = relief_at(&scene.around.frame, ground, Point { x: 0, y: 0 }) else {
        return Some(Finding::of(Rule::Launch, 0, Cause::GroundUnknown).at(at));
    };
    let planned = scene.launch.elevation?.get();
    let off = relief.lowest.saturating_sub(planned).max(planned.saturating_sub(relief.highest)).max(0);
    let measure = Measure { clearance: FIT.saturating_sub(off), required: 0, unit: Unit::MetresVertical };
    Some(Finding::measured(Rule::Launch, 0, measure).at(at))
}

/// Where the aircraft stands against where the route begins.
pub(crate) fn stands_there(figures: &Figures, frame: &Frame, here: Option<Position>) -> Option<Finding> {
    let (here, spot) = (here?, figures.launch?);
    let at = Place { position: here, height: 0 };
    let Some(point) = frame.local(here) else {
        return Some(Finding::of(Rule::Launch, 0, Cause::BeyondReach).at(at));
    };
    let off = clamp_i32(PlanePoint::ORIGIN.distance_ceil(frame.plane(point)).saturating_add(9) / 10);
    let measure = Measure { clearance: spot.within.get().saturating_sub(off), required: 0, unit: Unit::Metres };
    Some(Finding::measured(Rule::Launch, 0, measure).at(at))
}
