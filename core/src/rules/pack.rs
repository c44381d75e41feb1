//! `pack`: what the pack on the aircraft holds, by its resting voltage, is enough for the route and for every way home.

use super::{PackReading, Scene, energy::charge::by_voltage_floor, reserve};
use crate::{
    arithmetic::{clamp_i32, clamp_i64},
    model::limits::Figures,
    verdict::{Energy, Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, findings: &mut Findings) {
    let Some(pack) = scene.readings.pack else { return };
    match by_voltage_floor(scene.figures(), pack) {
        Err(cause) => findings.add(Finding::of(Rule::Pack, 0, cause)),
        Ok(usable) => {
            // What can't be told is a stop of its own, by `speed` or `reserve`.
            let Some(energy) = reserve::needed(scene) else { return };
            findings.add(compared(usable, most_needed(energy, findings)));
        }
    }
}

/// What a pack's voltage says against what is needed, 0.001 Wh.
pub(crate) fn enough(figures: &Figures, pack: PackReading, needed: i32) -> Finding {
    match by_voltage_floor(figures, pack) {
        Err(cause) => Finding::of(Rule::Pack, 0, cause),
        Ok(usable) => compared(usable, needed),
    }
}

fn compared(usable: u64, needed: i32) -> Finding {
    let measure = Measure { clearance: clamp_i32(clamp_i64(usable)), required: needed, unit: Unit::WattHours };
    Finding::measured(Rule::Pack, 0, measure)
}

/// What the route or the worst turn-back needs, 0.001 Wh.
pub(crate) fn most_needed(energy: Energy, findings: &Findings) -> i32 {
    let found = findings.iter().find(|finding| finding.rule == Rule::TurnBack);
    let turn_back = found.and_then(|finding| finding.measure).map_or(0, |measure| measure.required);
    clamp_i32(i64::from(energy.needed)).max(turn_back)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_dearer_of_route_and_turn_back_is_needed() {
        let needed = |route: u32, turn_back: Option<i32>| {
            let mut findings = Findings::EMPTY;
            let measure = |required: i32| Measure { clearance: 90_000, required, unit: Unit::WattHours };
            findings.add(Finding::measured(Rule::Reserve, 3, measure(80_000)));
            findings.add_some(turn_back.map(|required| Finding::measured(Rule::TurnBack, 2, measure(required))));
            most_needed(Energy { needed: route, usable: 90_000, held: 90_000, worst_wind_from: None }, &findings)
        };
        assert_eq!((needed(3000, Some(5000)), needed(7000, Some(5000))), (5000, 7000));
        assert_eq!(needed(3000, None), 3000);
    }
}
