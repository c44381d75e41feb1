//! `wind`: the airspeed that a leg needs can be held. In still air it is the ground speed.

use super::{Scene, leg::Leg};
use crate::verdict::{Finding, Findings, Measure, Rule, Unit};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if leg.piece.speed > 0 {
        let clearance = scene.figures().aircraft.airspeed_max.get().saturating_sub(leg.piece.speed);
        let measure = Measure { clearance, required: 0, unit: Unit::MetresPerSecond };
        findings.add(Finding::measured(Rule::Wind, leg.step, measure));
    }
}
