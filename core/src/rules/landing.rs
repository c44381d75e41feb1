//! `landing`: the landing rate is within its limit, and the aircraft disarms by itself soon after.
//!
//! A late disarm is a caution from 5 s on: common practice, no source.

use super::Scene;
use crate::verdict::{Cause, Finding, Findings, Measure, Rule, Unit};

/// Longest time from touchdown to disarming that needs no caution, 0.01 s.
const PROMPT: i32 = 500;

pub(crate) fn judge(scene: &Scene<'_>, findings: &mut Findings) {
    let homeward = &scene.figures().homeward;
    let step = scene.journey.steps;
    let headroom = homeward.landing_max.get().saturating_sub(homeward.landing.get());
    let measure = Measure { clearance: headroom, required: 0, unit: Unit::MetresPerSecond };
    findings.add(Finding::measured(Rule::Landing, step, measure));
    match homeward.disarm {
        None => findings.add(Finding::of(Rule::Landing, step, Cause::NoDisarm)),
        Some(delay) if delay.get() > PROMPT => {
            let measure = Measure { clearance: PROMPT.saturating_sub(delay.get()), required: 0, unit: Unit::Seconds };
            findings.add(Finding { cause: Cause::LateDisarm, ..Finding::measured(Rule::Landing, step, measure) });
        }
        Some(_) => {}
    }
}
