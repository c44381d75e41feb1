//! `speed`: a fly step is flown at a speed above zero and within the limit.

use super::{Scene, leg::Leg};
use crate::{
    model::path::Motion,
    verdict::{Cause, Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if leg.piece.motion != Motion::Fly {
        return;
    }
    let speed = leg.piece.speed;
    let measure = |clearance| Measure { clearance, required: 0, unit: Unit::MetresPerSecond };
    findings.add(if speed > 0 {
        let headroom = scene.figures().aircraft.speed_max.get().saturating_sub(speed);
        Finding::measured(Rule::Speed, leg.step, measure(headroom))
    } else {
        // A speed that is none has no headroom: what is missing is the smallest speed that is one.
        Finding { cause: Cause::NoSpeed, ..Finding::measured(Rule::Speed, leg.step, measure(speed.saturating_sub(1))) }
    });
}
