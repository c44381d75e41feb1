//! Sentences about wind and charge: what a route, a turn-back or the pack takes or gives, and what to change.

use pinfold_core::{
    model::limits::Figures,
    rules::energy::charge::{REST, other_cells},
    verdict::{Cause, Finding, Measure, Rule, Unit},
};

use super::{
    Report,
    words::{figure, listed, shortfall},
};

impl Report<'_> {
    /// The sentence of a broken rule about wind or charge.
    pub(super) fn say_energy(&self, finding: &Finding, measure: Measure) -> String {
        let (has, needs) = (figure(measure.clearance, measure.unit), figure(measure.required, measure.unit));
        let (short, wind) = (shortfall(measure), Wind::of(self.limits.figures()));
        match finding.rule {
            Rule::Wind => wind.say_airspeed(&short),
            Rule::Reserve if finding.cause == Cause::PowerTableEnds => wind.say_table_end(&short),
            Rule::TurnBack => format!(
                "If the aircraft turned back here, it would have taken {needs} at touchdown{}, and {has} may be used: turn round earlier, stay nearer to launch, or take a larger pack; {short} are missing.",
                wind.worst()
            ),
            Rule::Pack => format!(
                "By its voltage the pack gives {has}, and {needs} are needed: charge it, or shorten the route by {short} worth of flying."
            ),
            _ => format!(
                "The route needs {needs}{}, {has} may be used: shorten it by {short} worth of flying, or take a larger pack.",
                wind.worst()
            ),
        }
    }

    /// Why a pack's voltage tells nothing.
    pub(super) fn say_pack(&self, cause: Cause) -> String {
        let figures = self.limits.figures();
        let cells = figures.battery.cells.get();
        match cause {
            Cause::PackNotRested => {
                let rest = figures.battery.rest.unwrap_or(REST);
                let rest = figure(rest.get(), Unit::Seconds);
                format!(
                    "The pack hasn't rested for {rest}, without load and charge, and its voltage tells nothing yet: wait, and read it again."
                )
            }
            Cause::PackTooHigh => {
                format!(
                    "The voltage is above that of {cells} full cells: is it this pack, has it rested, is the meter right?"
                )
            }
            Cause::PackTooLow => {
                format!(
                    "The voltage is below that of {cells} empty cells: don't fly this pack; is it damaged, or is the meter wrong?"
                )
            }
            _ => self.say_other_cells(cells),
        }
    }

    fn say_other_cells(&self, planned: i32) -> String {
        let others = self.readings.pack.into_iter().flat_map(|pack| other_cells(self.limits.figures(), pack));
        let others: Vec<String> = others.map(|cells| cells.get().to_string()).collect();
        let others: Vec<&str> = others.iter().map(String::as_str).collect();
        format!(
            "This is the voltage of a pack of {} cells, and {planned} were planned: take the planned pack, or write this one in [battery].",
            listed(&others, "or")
        )
    }

    /// Where the table comes from that a voltage was held to, if it isn't the limits' own.
    pub(super) fn say_built_in(&self) -> Option<&'static str> {
        let built_in = self.readings.pack.is_some() && self.limits.figures().charge.is_none();
        built_in.then_some(
            "What the pack's voltage tells is taken from a built-in table: common practice, no source; write your pack's own as charge_table in [battery].",
        )
    }
}

/// The strongest wind, in words; none in still air.
struct Wind(Option<String>);

impl Wind {
    fn of(figures: &Figures) -> Self {
        let up_to = figures.wind.up_to.get();
        Self((up_to > 0).then(|| figure(up_to, Unit::MetresPerSecond)))
    }

    fn worst(&self) -> &'static str {
        if self.0.is_some() { " in the worst wind" } else { "" }
    }

    fn say_airspeed(&self, short: &str) -> String {
        match &self.0 {
            Some(wind) => format!(
                "In a wind of up to {wind} this step, or the way home from it, needs {short} more airspeed than the aircraft has: slow it down, or wait for less wind."
            ),
            None => format!(
                "Even in still air this step, or the way home from it, needs {short} more airspeed than the aircraft has: slow it down."
            ),
        }
    }

    fn say_table_end(&self, short: &str) -> String {
        let less_wind = if self.0.is_some() { ", allow for less wind" } else { "" };
        format!(
            "The power table ends {short} below the airspeed that this step, or the way home from it, needs: slow it down{less_wind}, or measure the power at that airspeed."
        )
    }
}
