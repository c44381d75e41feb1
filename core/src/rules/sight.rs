//! `sight` (a caution): the aircraft stays near enough to be seen.
//!
//! Distance within which the attitude of a multirotor can be told by eye: 327 x largest dimension + 20 m. Source: the ALOS
//! figure of EASA's guidance to SORA 2.5 (part of the AMC since ED Decision 2025/018/R), as public texts restate it.

use super::{Scene, leg::Leg};
use crate::{
    arithmetic::{clamp_i32, product},
    geometry::plane::PlanePoint,
    verdict::{Finding, Findings, Measure, Rule, Unit},
};

/// 20 m in 0.01 m.
const OFFSET: i64 = 2000;
/// Lengths of the aircraft.
const LENGTHS: i32 = 327;

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let limit = product(LENGTHS, scene.figures().aircraft.size.get()).saturating_add(OFFSET);
    let (far, at_end) = leg.slant_ceil(PlanePoint::ORIGIN);
    let measure = Measure { clearance: clamp_i32(limit.saturating_sub(far)), required: 0, unit: Unit::Metres };
    let place = leg.place(&scene.around.frame, leg.end_part(at_end));
    findings.add(Finding::measured(Rule::Sight, leg.step, measure).at(place));
}
