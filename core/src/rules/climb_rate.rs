//! `climb-rate`: a leg's rise at its speed asks for no more than the aircraft's rate of climb.

use super::{Scene, leg::Leg};
use crate::verdict::{Findings, Rule};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if leg.rise() > 0 {
        findings.add_some(leg.rate_finding(Rule::ClimbRate, scene.figures().aircraft.climb.get()));
    }
}
