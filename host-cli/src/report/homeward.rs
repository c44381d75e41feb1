//! Sentences about automatic returns: what one that starts on a step would meet, and what to change.

use pinfold_core::{
    model::zone::ZoneKind,
    verdict::{Finding, Measure, Unit},
};

use super::{
    Report,
    words::{figure, shortfall},
};

/// What every sentence here is about.
const RETURN: &str = "An automatic return from this step";
/// What helps where the way itself is wrong.
const ELSEWHERE: &str = "lead the step where the straight way to launch";

impl Report<'_> {
    /// The sentence of a return that breaks a limit.
    pub(super) fn say_return(&self, finding: &Finding, measure: Measure) -> String {
        let zone = finding.zone.and_then(|index| self.limits.zones().find(|(number, _)| *number == index));
        match zone.map(|(_, zone)| (zone.kind, zone.name.as_str(), zone.heights.is_some())) {
            None => self.say_return_height(finding, measure),
            Some((ZoneKind::KeepIn, name, _)) => say_leaves(name, measure),
            Some((ZoneKind::KeepOut, name, false)) => say_meets(name, measure),
            Some((ZoneKind::KeepOut, name, true)) => say_meets_at_heights(name, measure),
            Some((ZoneKind::People, name, _)) => say_people(name, measure),
        }
    }

    /// Held to ceilings and to the ground.
    fn say_return_height(&self, finding: &Finding, measure: Measure) -> String {
        let (held_to, needs, short) = (self.held_to(finding, measure), needs(measure), shortfall(measure));
        let has = figure(measure.clearance.saturating_abs(), measure.unit);
        match (held_to.as_str(), measure.clearance < 0) {
            ("the ground", true) => {
                format!(
                    "{RETURN} may touch the ground, {needs} above it are needed: raise the return height by {short}."
                )
            }
            ("the ground", false) => {
                format!("{RETURN} is {has} above the ground, {needs} are needed: raise the return height by {short}.")
            }
            (limit, _) if limit.ends_with("the ground") => {
                format!("{RETURN} keeps less than {needs} to {limit}: {short} are missing; change the return height.")
            }
            (limit, true) => format!(
                "{RETURN} goes {has} above {limit}, and {needs} below it are needed: lower the return height, and the step where it is higher, by {short}."
            ),
            (limit, false) => format!(
                "{RETURN} is {has} below {limit}, {needs} are needed: lower the return height, and the step where it is higher, by {short}."
            ),
        }
    }
}

fn needs(measure: Measure) -> String {
    figure(measure.required, measure.unit)
}

fn say_leaves(name: &str, measure: Measure) -> String {
    let (has, needs) = (figure(measure.clearance, measure.unit), needs(measure));
    if measure.clearance < 0 {
        format!("{RETURN} leaves the keep-in zone \"{name}\" or touches its edge: {ELSEWHERE} stays {needs} inside.")
    } else {
        format!(
            "{RETURN} comes within {has} of the edge of the keep-in zone \"{name}\", {needs} are needed: {ELSEWHERE} stays {} farther inside.",
            shortfall(measure)
        )
    }
}

/// A zone that reaches over all heights: no return height helps.
fn say_meets(name: &str, measure: Measure) -> String {
    let (has, needs) = (figure(measure.clearance, measure.unit), needs(measure));
    if measure.clearance < 0 {
        format!("{RETURN} goes through the keep-out zone \"{name}\" or touches it: {ELSEWHERE} passes it {needs} away.")
    } else {
        format!(
            "{RETURN} comes within {has} of the keep-out zone \"{name}\", {needs} are needed: {ELSEWHERE} passes {} farther away.",
            shortfall(measure)
        )
    }
}

fn say_meets_at_heights(name: &str, measure: Measure) -> String {
    let (has, needs) = (figure(measure.clearance, measure.unit), needs(measure));
    let change = "change the return height or the height of the step";
    match (measure.unit == Unit::MetresVertical, measure.clearance < 0) {
        (true, false) => format!(
            "{RETURN} passes the keep-out zone \"{name}\" with {has} of height between, {needs} are needed: {change} by {}, or {ELSEWHERE} passes it.",
            shortfall(measure)
        ),
        (true, true) => format!(
            "{RETURN} goes through the keep-out zone \"{name}\" at its heights: {change} so that {needs} are between, or {ELSEWHERE} passes it."
        ),
        (false, _) => format!(
            "{RETURN} comes within {has} of the keep-out zone \"{name}\", or into it, at heights too near to its own; {needs} are needed there: {change}, or {ELSEWHERE} passes it."
        ),
    }
}

fn say_people(name: &str, measure: Measure) -> String {
    let (has, needs) = (figure(measure.clearance, measure.unit), needs(measure));
    let change = "lower the return height, and the step where it is higher";
    if measure.clearance < 0 {
        format!(
            "{RETURN} goes over the zone of people \"{name}\" or touches it: {ELSEWHERE} stays as far away as it is high, {needs}."
        )
    } else {
        format!(
            "{RETURN} comes within {has} of the zone of people \"{name}\", {needs} are needed, as far away as it is high: {change}, or lead it {} farther away.",
            shortfall(measure)
        )
    }
}
