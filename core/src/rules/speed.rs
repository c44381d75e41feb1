//! `speed`: a fly step is flown at a speed above zero and within the limit.

use super::{Scene, leg::Leg};
use crate::{
    model::path::Motion,
    verdict::{Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if leg.piece.motion != Motion::Fly {
        return;
    }
    let speed = leg.piece.speed;
    let headroom = scene.figures().aircraft.speed_max.get().saturating_sub(speed);
    // A speed that is none has no headroom: what is missing is the smallest speed that is one.
    let clearance = if speed > 0 { headroom } else { speed.saturating_sub(1) };
    findings.add(Finding::measured(
        Rule::Speed,
        leg.step,
        Measure { clearance, required: 0, unit: Unit::MetresPerSecond },
    ));
}
