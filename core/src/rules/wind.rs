//! `wind`: the airspeed that a leg needs, and every way home from it, can be held in any wind that is allowed for: in still air,
//! in the strongest, and in all between.

use super::{Scene, leg::Leg};
use crate::verdict::{Finding, Findings, Measure, Rule, Unit};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let needed = scene.effort.airspeed.max(scene.effort.airspeed_home);
    if needed > 0 {
        let clearance = scene.figures().aircraft.airspeed_max.get().saturating_sub(needed);
        let measure = Measure { clearance, required: 0, unit: Unit::MetresPerSecond };
        findings.add(Finding::measured(Rule::Wind, leg.step, measure));
    }
}
