//! One sentence for each finding: what is wrong and what to change.

use pinfold_core::verdict::{Cause, Finding, Measure, Rule, Unit};

use super::{
    Report,
    words::{figure, shortfall},
};

impl Report<'_> {
    /// The sentence of a finding; for a rule that is kept, what it keeps.
    pub(crate) fn say(&self, finding: &Finding) -> String {
        match (finding.cause, finding.measure) {
            (Cause::Measured | Cause::NoSpeed | Cause::PowerTableEnds | Cause::LateDisarm, Some(measure)) => {
                if finding.severity().is_some() {
                    self.say_broken(finding, measure)
                } else {
                    self.say_kept(finding, measure)
                }
            }
            (cause, _) => self.say_cause(finding, cause),
        }
    }

    fn say_kept(&self, finding: &Finding, measure: Measure) -> String {
        let spare = figure(measure.spare(), measure.unit);
        match self.zone(finding) {
            Some(zone) => format!("Keeps clear of the limit of \"{zone}\" by {spare}."),
            None => format!("Kept with {spare} to spare."),
        }
    }

    fn say_broken(&self, finding: &Finding, measure: Measure) -> String {
        let (has, needs) = (figure(measure.clearance, measure.unit), figure(measure.required, measure.unit));
        let short = shortfall(measure);
        let zone = self.zone(finding).unwrap_or("the zone");
        let figures = self.limits.figures();
        match finding.rule {
            Rule::Extent => match self.zone(finding) {
                Some(zone) => {
                    format!("\"{zone}\" reaches farther than 50 km from launch: cut it, or correct its coordinates.")
                }
                None => "This leads farther than 50 km from launch: correct the coordinates.".into(),
            },
            Rule::KeepIn if measure.clearance < 0 => {
                format!("The path leaves or touches the edge of \"{zone}\": move it inside by {needs} at least.")
            }
            Rule::KeepIn => format!(
                "The path comes within {has} of the edge of \"{zone}\", {needs} are needed: move it {short} inwards, or fly slower."
            ),
            Rule::KeepOut if measure.unit == Unit::MetresVertical && measure.clearance < 0 => {
                format!(
                    "The path goes through \"{zone}\" at its heights: lead it round, or over or under it by {needs}."
                )
            }
            Rule::KeepOut if measure.unit == Unit::MetresVertical => {
                format!(
                    "The path passes \"{zone}\" with {has} of height between, {needs} are needed: go {short} farther over or under it, or round."
                )
            }
            Rule::KeepOut if measure.clearance < 0 => {
                format!("The path touches or enters \"{zone}\": lead it round, {needs} away.")
            }
            Rule::KeepOut if self.has_heights(finding) => {
                format!(
                    "The path comes within {has} of \"{zone}\", or into it, at heights too near to its own; {needs} are needed there: change the height there, or lead it round."
                )
            }
            Rule::KeepOut => format!(
                "The path comes within {has} of \"{zone}\", {needs} are needed: move it {short} away, or fly slower."
            ),
            Rule::Ceiling if measure.clearance < 0 => format!(
                "The path goes {} above the highest height, and {needs} below it are needed: lower it by {short}.",
                figure(measure.clearance.saturating_neg(), measure.unit)
            ),
            Rule::Ceiling => {
                format!("The path is {has} below the highest height, {needs} are needed: lower it by {short}.")
            }
            Rule::Floor => {
                format!("The path goes down to {has} above launch, {needs} is the lowest allowed: raise it by {short}.")
            }
            Rule::Speed if finding.cause == Cause::NoSpeed => {
                "The speed is zero or negative: give a speed above 0.".into()
            }
            Rule::Speed => format!(
                "The leg is {short} faster than the {} allowed: slow it down.",
                figure(figures.aircraft.speed_max.get(), measure.unit)
            ),
            Rule::ClimbRate => format!(
                "At its speed this leg climbs {short} faster than the aircraft can: fly it slower, or climb before it."
            ),
            Rule::DescentRate => format!(
                "At its speed this leg drops {short} faster than the aircraft may: fly it slower, or spread the drop over more legs."
            ),
            Rule::Landing if finding.cause == Cause::LateDisarm => {
                "The aircraft disarms late after touchdown: set a delay of 5 s or less.".into()
            }
            Rule::Landing => format!("The landing is {short} faster than allowed: lower `landing_m_s`."),
            Rule::Wind => {
                format!("Even in still air this leg needs {short} more airspeed than the aircraft has: slow it down.")
            }
            Rule::Reserve if finding.cause == Cause::PowerTableEnds => {
                format!(
                    "The power table ends {short} below this leg's speed: slow it down, or measure the power at that speed."
                )
            }
            Rule::Reserve => format!(
                "The route needs {needs}, {has} may be used: shorten it by {short} worth of flying, or take a larger pack."
            ),
            Rule::Sight => format!(
                "The aircraft is {short} farther away than one of its size can be seen: move closer, or have an observer."
            ),
            Rule::Stray => format!("This leg is {short} longer than expected: are its coordinates right?"),
            Rule::People => format!(
                "The path comes within {has} of \"{zone}\", {needs} are needed, as far away as it is high: move it {short} away, or fly lower."
            ),
            Rule::Ground => {
                format!("The path is {has} above the ground, {needs} are needed: raise it by {short}.")
            }
            Rule::ReturnPath => format!("An automatic return from this leg keeps {has}, {needs} are needed."),
            Rule::Link => format!("The aircraft is {short} farther away than the radio reaches: move closer."),
            Rule::Launch => format!("The launch point is {short} off."),
            Rule::Form | Rule::Sequence | Rule::Repeat | Rule::OddHeight => self.say_cause(finding, finding.cause),
        }
    }

    /// Whether a finding is about a zone with heights of its own.
    fn has_heights(&self, finding: &Finding) -> bool {
        self.limits.zones().any(|(index, zone)| finding.zone == Some(index) && zone.heights.is_some())
    }

    fn say_cause(&self, finding: &Finding, cause: Cause) -> String {
        match cause {
            Cause::NotARoute => "The bytes are no route: send it again.".into(),
            Cause::NoLimits => "There are no limits to hold the route to: load them first.".into(),
            Cause::NoSteps => "The route has no steps: begin with a climb and end with land or return.".into(),
            Cause::NoClimbFirst => "The route doesn't begin with a climb: put one first.".into(),
            Cause::ClimbDoesNotRise => "This climb ends no higher than it begins: give a greater height, or use fly to go down.".into(),
            Cause::NoEnd => "The route doesn't end in land or return: add one.".into(),
            Cause::LandsBelowLaunch => {
                "The landing begins below launch height, and the ground there isn't known: end with return, or land from above."
                    .into()
            }
            Cause::AfterEnd => "This step comes after the landing: take it out, or move the land or return behind it.".into(),
            Cause::TooManySteps => "The route has more steps than can be held: split it.".into(),
            Cause::LaunchTooFarNorth => "The launch point is at 80 degrees of latitude or beyond: distances can't be vouched for there.".into(),
            Cause::BeyondReach => match self.zone(finding) {
                Some(zone) => format!("\"{zone}\" reaches far beyond 50 km from launch: are its coordinates right?"),
                None => "This leads far beyond 50 km from launch: are latitude and longitude exchanged, or a digit lost?".into(),
            },
            Cause::NoElevation => match self.zone(finding) {
                Some(zone) => format!("\"{zone}\" has heights above the sea, and the launch point's elevation isn't known: write elevation_m in [launch] of the route."),
                None => "There is a ceiling above the sea, and the launch point's elevation isn't known: write elevation_m in [launch] of the route.".into(),
            },
            Cause::GroundUnknown => "The ground data don't say how high the ground is here: get data for the whole site.".into(),
            Cause::NoDisarm => "The aircraft doesn't disarm by itself after landing: set it up, or walk up only when the motors are known to be safe.".into(),
            Cause::SameAsBefore => "This step leads to where the step before ended: was another place or height meant?".into(),
            Cause::HeightOfItsOwn => "All other fly steps have another height than this one: is it meant?".into(),
            Cause::Measured | Cause::NoSpeed | Cause::PowerTableEnds | Cause::LateDisarm => "This can't be decided.".into(),
        }
    }
}
