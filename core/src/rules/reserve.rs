//! `reserve`: what the route takes of the charge, to touchdown and in the worst wind, leaves the reserve.

use super::{
    Scene,
    energy::{charge, power::table_end, sectors::Sectors, watt_hours_ceil},
};
use crate::{
    arithmetic::{clamp_i32, clamp_i64},
    verdict::{Cause, Energy, Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, findings: &mut Findings) {
    let step = scene.journey.steps;
    let beyond = table_end(&scene.figures().power).saturating_sub(scene.journey.airspeed);
    if beyond < 0 {
        let measure = Measure { clearance: beyond, required: 0, unit: Unit::MetresPerSecond };
        findings.add(Finding {
            cause: Cause::PowerTableEnds,
            ..Finding::measured(Rule::Reserve, scene.journey.airspeed_step, measure)
        });
    } else if let Some(energy) = needed(scene) {
        let figure = |value: u32| clamp_i32(i64::from(value));
        let measure =
            Measure { clearance: figure(energy.usable), required: figure(energy.needed), unit: Unit::WattHours };
        findings.add(Finding::measured(Rule::Reserve, step, measure));
    } else if scene.journey.time.is_some() {
        // Within a count of the table's end two roundings can differ: what can't be decided is no Go.
        findings.add(Finding::of(Rule::Reserve, scene.journey.airspeed_step, Cause::PowerTableEnds));
    }
}

/// The route's need and the pack's charge; `None` where the need can't be told.
pub(crate) fn needed(scene: &Scene<'_>) -> Option<Energy> {
    let (figures, used) = (scene.figures(), scene.journey.used.as_ref()?);
    let (worst, needed) = used
        .iter()
        .enumerate()
        .fold((0, 0), |most, (sector, used)| if *used > most.1 { (sector, *used) } else { most });
    let figure = |value: u64| clamp_i32(clamp_i64(value)).unsigned_abs();
    let windy = figures.wind.up_to.get() > 0;
    Some(Energy {
        needed: watt_hours_ceil(needed).unsigned_abs(),
        usable: figure(charge::usable_floor(figures, scene.readings)),
        held: figure(charge::healthy_floor(&figures.battery)),
        worst_wind_from: windy.then(|| Sectors::new(&figures.wind).from(worst)),
    })
}
