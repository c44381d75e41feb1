//! Sentences of findings that no figure decides: what is missing, or out of order.

use pinfold_core::verdict::{Cause, Finding, Rule, Unit};

use super::{
    Report,
    words::{figure, listed, reading},
};

impl Report<'_> {
    pub(super) fn say_cause(&self, finding: &Finding, cause: Cause) -> String {
        match cause {
            Cause::NotARoute => "The bytes are no route: send it again.".into(),
            Cause::NoLimits => "There are no limits to hold the route to: load them first.".into(),
            Cause::NoSteps => "The route has no steps: begin with a climb and end with land or return.".into(),
            Cause::NoClimbFirst => {
                "The route doesn't begin with a climb: put one first; where the aircraft is flying already, give --from and --left-wh."
                    .into()
            }
            Cause::ClimbDoesNotRise => {
                "This climb ends no higher than it begins: give a greater height, or use fly to go down.".into()
            }
            Cause::NoEnd => "The route doesn't end in land or return: add one.".into(),
            Cause::LandsBelowLaunch => {
                "The landing begins below the ground there, or below launch height where the ground isn't known: end with return, or land from above."
                    .into()
            }
            Cause::AfterEnd => {
                "This step comes after the landing: take it out, or move the land or return behind it.".into()
            }
            Cause::TooManySteps => "The route has more steps than can be held: split it.".into(),
            Cause::LaunchTooFarNorth => {
                "The launch point is at 80 degrees of latitude or beyond: distances can't be vouched for there.".into()
            }
            Cause::BeyondReach => self.say_beyond_reach(finding),
            Cause::NoElevation => self.say_no_elevation(finding),
            Cause::GroundUnknown => say_ground_unknown(finding.rule).into(),
            Cause::NoDisarm => {
                "The aircraft doesn't disarm by itself after landing: set it up, or walk up only when the motors are known to be safe."
                    .into()
            }
            Cause::SameAsBefore => {
                "This step leads to where the step before ended: was another place or height meant?".into()
            }
            Cause::HeightOfItsOwn => "All other fly steps have another height than this one: is it meant?".into(),
            Cause::PackNotRested | Cause::PackTooLow | Cause::PackTooHigh | Cause::PackOfOtherCells => {
                self.say_pack(cause)
            }
            Cause::NoReading => self.say_no_reading(finding.rule),
            Cause::AnotherLaunch => {
                "This route has another launch point than the one that is flown, and its heights and ways home count from there: give it the launch point that the aircraft took off from."
                    .into()
            }
            Cause::PowerTableEnds => self.say_table_end(finding.rule),
            Cause::Measured | Cause::NoSpeed | Cause::LateDisarm => "This can't be decided.".into(),
        }
    }

    fn say_beyond_reach(&self, finding: &Finding) -> String {
        match (self.zone(finding), finding.rule) {
            (Some(zone), _) => format!("\"{zone}\" reaches far beyond 50 km from launch: are its coordinates right?"),
            (None, Rule::Launch) => {
                "The aircraft stands far beyond 50 km from the planned launch point: are latitude and longitude of --here exchanged, or is this another site's route?"
                    .into()
            }
            (None, _) if finding.step == 0 => self.say_beyond_before(finding).into(),
            (None, _) => {
                "This leads far beyond 50 km from launch: are latitude and longitude exchanged, or a digit lost?".into()
            }
        }
    }

    /// What a board asks for by `[readings]` in the limits.
    fn say_no_reading(&self, rule: Rule) -> String {
        let asked = self.limits.figures().readings;
        let within = match rule {
            Rule::Launch => asked.position,
            Rule::Pack => asked.pack,
            _ => asked.flight,
        };
        let what = reading(rule);
        let age =
            within.map_or_else(String::new, |within| format!(" of the last {}", figure(within.get(), Unit::Seconds)));
        format!(
            "The limits ask for a reading of {what}{age}, and there is none: send it, and again before it gets too old."
        )
    }

    /// Everything that can't be held to anything while nobody knows how high launch is.
    fn say_no_elevation(&self, finding: &Finding) -> String {
        let write = "write elevation_m in [launch] of the route";
        if let Some(zone) = self.zone(finding) {
            return format!(
                "\"{zone}\" has heights above the sea, and the launch point's elevation isn't known: {write}."
            );
        }
        let (figures, of_ground) = (self.limits.figures(), finding.rule == Rule::Ground);
        let needs = [
            ("a ceiling above the sea", !of_ground && figures.heights.ceiling_above_sea.is_some()),
            ("what the air does to heights ([air])", !of_ground && figures.air.is_some()),
            ("ground data", self.limits.ground().is_some()),
        ];
        let needs: Vec<&str> = needs.into_iter().filter(|(_, needed)| *needed).map(|(what, _)| what).collect();
        format!("The limits have {}, and the launch point's elevation isn't known: {write}.", listed(&needs, "and"))
    }
}

const fn say_ground_unknown(rule: Rule) -> &'static str {
    match rule {
        Rule::Launch => {
            "The ground data don't say how high the ground is at the launch point: get data for the whole site."
        }
        Rule::ReturnPath => {
            "An automatic return from this step passes where the ground data don't say how high the ground is: get data for the whole site."
        }
        _ => {
            "The ground data don't say how high the ground is here, or within the margin of it: get data for the whole site."
        }
    }
}
