//! Sentences about wind and charge: what a route, a turn-back or the pack takes or gives, and what to change.

use pinfold_core::{
    model::limits::Figures,
    rules::{
        Readings,
        energy::charge::{REST, other_cells},
    },
    verdict::{Cause, Energy, Finding, Measure, Rule, Unit},
};

use super::{
    Report,
    words::{figure, listed, shortfall},
};

impl Report<'_> {
    /// What is left of the pack's charge at touchdown, in per cent of what it holds by plan, rounded down; below 0 where it
    /// doesn't last, `None` where its voltage tells of no charge beyond the reserve: nobody knows then how much less it has.
    pub(super) fn left_percent(&self, energy: Energy) -> Option<i64> {
        let [held, usable, needed] = [energy.held, energy.usable, energy.needed].map(i64::from);
        let reserve = i64::from(self.limits.figures().battery.reserve.get());
        let begins = match (self.readings.aloft, self.readings.pack) {
            (Some(aloft), _) => i64::from(aloft.left.get()),
            (None, None) => held,
            (None, Some(_)) if usable == 0 => return None,
            (None, Some(_)) => usable + held * reserve / 100,
        };
        Some(((begins.min(held) - needed) * 100).div_euclid(held.max(1)))
    }

    /// How there could be more charge.
    const fn more_charge(&self) -> &'static str {
        match self.readings {
            Readings { aloft: Some(_), .. } => "land earlier",
            Readings { pack: Some(_), .. } => "charge the pack",
            Readings { .. } => "take a larger pack",
        }
    }

    /// Whether the pack's voltage tells nothing: then nothing may be used.
    fn is_pack_unknown(&self) -> bool {
        self.verdict.findings.iter().any(|finding| finding.rule == Rule::Pack && finding.cause != Cause::Measured)
    }

    /// The sentence of a broken rule about wind or charge.
    pub(super) fn say_energy(&self, finding: &Finding, measure: Measure) -> String {
        let (has, needs) = (figure(measure.clearance, measure.unit), figure(measure.required, measure.unit));
        let (short, wind) = (shortfall(measure), Wind::of(self.limits.figures()));
        let more = self.more_charge();
        match finding.rule {
            Rule::TurnBack | Rule::Reserve if finding.cause == Cause::Measured && self.is_pack_unknown() => {
                format!("{needs} are needed{}, and how much may be used isn't known: see `pack`.", wind.worst())
            }
            Rule::Wind => wind.say_airspeed(&short),
            Rule::Reserve if finding.cause == Cause::PowerTableEnds => wind.say_table_end(&short),
            Rule::TurnBack => format!(
                "If the aircraft turned back here, it would have taken {needs} at touchdown{}, and {has} may be used: turn round earlier, stay nearer to launch, or {more}; {short} are missing.",
                wind.worst()
            ),
            Rule::Pack => format!(
                "By its voltage the pack gives {has}, and {needs} are needed: charge it, or shorten the route by {short} worth of flying."
            ),
            _ => format!(
                "The route needs {needs}{}, {has} may be used: shorten it by {short} worth of flying, or {more}.",
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
                let own = figures.battery.rest;
                let rest = figure(own.unwrap_or(REST).get(), Unit::Seconds);
                let source = if own.is_some() { "" } else { " (common practice, no source)" };
                format!(
                    "The pack hasn't rested for {rest}{source}, without load and charge, and its voltage tells nothing yet: wait, and read it again."
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
