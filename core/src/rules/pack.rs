//! `pack`: what the pack on the aircraft holds, by its resting voltage, is enough for the route and for every way home.

use super::{Scene, energy::charge::by_voltage_floor, reserve};
use crate::{
    arithmetic::{clamp_i32, clamp_i64},
    verdict::{Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, findings: &mut Findings) {
    let Some(pack) = scene.readings.pack else { return };
    match by_voltage_floor(scene.figures(), pack) {
        Err(cause) => findings.add(Finding::of(Rule::Pack, 0, cause)),
        Ok(usable) => {
            // What can't be told is a stop of its own, by `speed` or `reserve`.
            let Some(energy) = reserve::needed(scene) else { return };
            let needed = clamp_i32(i64::from(energy.needed)).max(turn_back(findings));
            let measure = Measure { clearance: clamp_i32(clamp_i64(usable)), required: needed, unit: Unit::WattHours };
            findings.add(Finding::measured(Rule::Pack, 0, measure));
        }
    }
}

/// What the worst turn-back needs, 0.001 Wh.
fn turn_back(findings: &Findings) -> i32 {
    let found = findings.iter().find(|finding| finding.rule == Rule::TurnBack);
    found.and_then(|finding| finding.measure).map_or(0, |measure| measure.required)
}
