//! `odd-height` (a caution): of three or more fly steps all have the same height but one.

use super::Scene;
use crate::verdict::{Cause, Finding, Findings, Rule};

pub(crate) fn judge(scene: &Scene<'_>, findings: &mut Findings) {
    let levels = scene.journey.levels;
    let (Some(one), Some(two)) = (levels.first, levels.second) else { return };
    let odd = match (one.count, two.count) {
        (1, 2..) => one,
        (2.., 1) => two,
        _ => return,
    };
    if !levels.more {
        findings.add(Finding::of(Rule::OddHeight, odd.step, Cause::HeightOfItsOwn));
    }
}
