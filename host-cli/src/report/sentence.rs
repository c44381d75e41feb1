//! One sentence for each finding: what is wrong and what to change.

use pinfold_core::{
    units::Height,
    verdict::{Cause, Finding, Measure, Rule, Unit},
};

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
            Some(zone) if finding.rule == Rule::ReturnPath => {
                format!("Automatic returns keep clear of the limit of \"{zone}\" by {spare}.")
            }
            None if finding.rule == Rule::ReturnPath => format!("Automatic returns keep it with {spare} to spare."),
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
                None if finding.step == 0 => self.say_beyond_before(finding).into(),
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
                "The path goes {} above {}, and {needs} below it are needed: lower it by {short}.",
                figure(measure.clearance.saturating_neg(), measure.unit),
                self.held_to(finding, measure)
            ),
            Rule::Ceiling => format!(
                "The path is {has} below {}, {needs} are needed: lower it by {short}.",
                self.held_to(finding, measure)
            ),
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
            Rule::Wind | Rule::Reserve | Rule::TurnBack | Rule::Pack => self.say_energy(finding, measure),
            Rule::Sight => format!(
                "The aircraft is {short} farther away than one of its size can be seen: move closer, or have an observer."
            ),
            Rule::Stray => format!("This leg is {short} longer than expected: are its coordinates right?"),
            Rule::People if measure.clearance < 0 => format!(
                "The path goes over or touches \"{zone}\", where people are: lead it round, as far away as it is high, {needs}."
            ),
            Rule::People => format!(
                "The path comes within {has} of the people in \"{zone}\", {needs} are needed, as far away as it is high: move it {short} away, or fly lower."
            ),
            Rule::Ground if measure.clearance < 0 => format!(
                "The path may touch the ground, {needs} above it are needed: raise it by {short}, or lead it round."
            ),
            Rule::Ground => {
                format!(
                    "The path is {has} above the ground, {needs} are needed: raise it by {short}, or lead it round."
                )
            }
            Rule::ReturnPath => self.say_return(finding, measure),
            Rule::Link => self.say_link(&short),
            Rule::Launch if measure.unit == Unit::MetresVertical => format!(
                "The launch point's elevation is {short} farther from what the ground data say than it may be: correct elevation_m in [launch] of the route, or the data."
            ),
            Rule::Launch => format!(
                "The aircraft stands {short} farther from the planned launch point than `within_m` allows: carry it there, or plan the route from where it stands."
            ),
            Rule::Form | Rule::Sequence | Rule::Repeat | Rule::OddHeight => self.say_cause(finding, finding.cause),
        }
    }

    /// Of what has to be within reach only the ground station and an aircraft that is flying belong to no step and no zone.
    pub(super) fn say_beyond_before(&self, finding: &Finding) -> &'static str {
        let station = self.limits.figures().link.and_then(|link| link.station);
        if station.is_some_and(|station| finding.place.is_some_and(|place| place.position == station)) {
            "The ground station is farther than 50 km from launch: correct lat and lon in [link] of the limits."
        } else {
            "The aircraft is farther than 50 km from launch: are latitude and longitude of --from exchanged, or is this another site's route?"
        }
    }

    fn say_link(&self, short: &str) -> String {
        let link = self.limits.figures().link;
        let range = link.map_or_else(String::new, |link| format!(" of {}", figure(link.range.get(), Unit::Metres)));
        let station = match link.and_then(|link| link.station) {
            Some(_) => "from the ground station",
            None => "from the ground station at launch",
        };
        format!(
            "The aircraft is {short} farther {station} than the radio's range{range}: lead it nearer, or move the station ([link] lat, lon)."
        )
    }

    /// Whether a finding is about a zone with heights of its own.
    fn has_heights(&self, finding: &Finding) -> bool {
        self.limits.zones().any(|(index, zone)| finding.zone == Some(index) && zone.heights.is_some())
    }

    /// What a height is held to; where the figures of a finding don't tell which of several it is, all of them.
    pub(super) fn held_to(&self, finding: &Finding, measure: Measure) -> String {
        let heights = &self.limits.figures().heights;
        let metres = |height: Height| figure(height.get(), Unit::MetresVertical);
        // Of a ceiling above launch or the sea the clearance is what is left up to it.
        let top = measure.clearance.saturating_add(finding.place.map_or(0, |place| place.height));
        if top == heights.ceiling.get() {
            return format!("the highest height, {} above launch", metres(heights.ceiling));
        }
        let is_sea = |sea: &Height, launch: Height| sea.get().saturating_sub(launch.get()) == top;
        let sea = heights.ceiling_above_sea;
        let sea = sea.filter(|sea| self.launch.elevation.is_none_or(|launch| is_sea(sea, launch)));
        let surely_sea = sea.is_some() && self.launch.elevation.is_some();
        let ground = self.limits.ground().is_some() && !surely_sea;
        let all = [
            sea.map(|sea| format!("the highest height, {} above the sea", metres(sea))),
            heights
                .ceiling_above_ground
                .filter(|_| ground)
                .map(|height| format!("the highest height, {} above the ground", metres(height))),
            (ground && finding.rule == Rule::ReturnPath).then(|| "the ground".to_owned()),
        ];
        let all: Vec<String> = all.into_iter().flatten().collect();
        if all.is_empty() { "the highest height".to_owned() } else { all.join(" or ") }
    }
}
