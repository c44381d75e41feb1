//! `descent-rate`: a leg's drop at its speed asks for no more than the aircraft's rate of descent.

use super::{Scene, leg::Leg};
use crate::verdict::{Findings, Rule};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if leg.rise() < 0 {
        findings.add_some(leg.rate_finding(Rule::DescentRate, scene.figures().aircraft.descent.get()));
    }
}
