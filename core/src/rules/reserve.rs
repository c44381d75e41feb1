//! `reserve`: what the route takes of the charge, to touchdown, leaves the reserve.

use super::{Scene, energy};
use crate::{
    arithmetic::{clamp_i32, clamp_i64, divide_ceil, divisor},
    verdict::{Cause, Energy, Finding, Findings, Measure, Rule, Unit},
};

/// mJ in 1 mWh.
const MILLIJOULES: u64 = 3600;

pub(crate) fn judge(scene: &Scene<'_>, findings: &mut Findings) {
    let step = scene.journey.steps;
    let beyond = energy::table_end(&scene.figures().power).saturating_sub(scene.journey.fastest);
    if beyond < 0 {
        let measure = Measure { clearance: beyond, required: 0, unit: Unit::MetresPerSecond };
        findings.add(Finding {
            cause: Cause::PowerTableEnds,
            ..Finding::measured(Rule::Reserve, scene.journey.fastest_step, measure)
        });
    } else if let Some(energy) = needed(scene) {
        let figure = |value: u32| clamp_i32(i64::from(value));
        let measure =
            Measure { clearance: figure(energy.usable), required: figure(energy.needed), unit: Unit::WattHours };
        findings.add(Finding::measured(Rule::Reserve, step, measure));
    }
}

/// The route's need and the pack's charge; `None` where the need can't be told.
pub(crate) fn needed(scene: &Scene<'_>) -> Option<Energy> {
    let cost = scene.journey.cost?;
    let (held, usable) = energy::charge_floor(&scene.figures().battery);
    let figure = |value: u64| clamp_i32(clamp_i64(value)).unsigned_abs();
    Some(Energy {
        needed: figure(divide_ceil(cost.energy, divisor(MILLIJOULES))),
        usable: figure(usable),
        held: figure(held),
        worst_wind_from: None,
    })
}
