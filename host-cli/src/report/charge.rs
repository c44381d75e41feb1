//! Sentences about wind and charge: what a route, a turn-back or the pack takes or gives, and what to change.

use pinfold_core::{
    model::limits::{ChargePoint, Figures},
    rules::{
        PackReading, Readings,
        energy::charge::{REST, charge_table, other_cells},
    },
    verdict::{Cause, Energy, Finding, Measure, Rule, Unit},
};

use super::{
    Report,
    words::{figure, listed, shortfall},
};
use crate::text::decimal::written;

/// What helps against an airspeed that is too high: the speed is that of the step, or that of the return.
const SLOWER: &str = "slow down the step, or the return (`speed_m_s` in [return])";

impl Report<'_> {
    /// What is left of the pack's charge at touchdown, in per cent of what it holds by plan, rounded down; below 0 where it
    /// doesn't last, `None` where its voltage tells of no charge beyond the reserve: nobody knows then how much less it has.
    pub(crate) fn left_percent(&self, energy: Energy) -> Option<i64> {
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

    /// How charge could last longer, or be more. Who flies already can't wait.
    fn other_charge(&self) -> String {
        let more = match self.readings {
            Readings { aloft: Some(_), .. } => return "or land earlier".to_owned(),
            Readings { pack: Some(_), .. } => "charge the pack",
            Readings { .. } => "take a larger pack",
        };
        let wait = if self.limits.figures().wind.up_to.get() > 0 { "wait for less wind, " } else { "" };
        format!("{wait}or {more}")
    }

    /// Whether the pack's voltage tells nothing: then nothing may be used.
    fn is_pack_unknown(&self) -> bool {
        let tells = |cause| matches!(cause, Cause::Measured | Cause::NoReading);
        self.verdict.findings.iter().any(|finding| finding.rule == Rule::Pack && !tells(finding.cause))
    }

    /// The sentence of a broken rule about wind or charge.
    pub(super) fn say_energy(&self, finding: &Finding, measure: Measure) -> String {
        let (has, needs) = (figure(measure.clearance, measure.unit), figure(measure.required, measure.unit));
        let (short, wind) = (shortfall(measure), Wind::of(self.limits.figures()));
        let other = self.other_charge();
        match finding.rule {
            Rule::TurnBack | Rule::Reserve if finding.cause == Cause::Measured && self.is_pack_unknown() => {
                format!("{needs} are needed{}, and how much may be used isn't known: see `pack`.", wind.worst())
            }
            Rule::Wind => wind.say_airspeed(&self.airspeed(measure), &short),
            Rule::Reserve if finding.cause == Cause::PowerTableEnds => wind.say_table_end(finding.rule, Some(&short)),
            Rule::TurnBack => format!(
                "If the aircraft turned back here, it would have taken {needs} at touchdown{}, and {has} may be used: turn round earlier, stay nearer to launch, {other}; {short} are missing.",
                wind.worst()
            ),
            Rule::Pack => format!(
                "By its voltage{} the pack gives {has}, and {needs} are needed: charge it, or shorten the route by {short} worth of flying.",
                self.volts().map_or_else(String::new, |volts| format!(", {volts},"))
            ),
            _ => format!(
                "The route needs {needs}{}, {has} may be used: shorten it by {short} worth of flying, {other}.",
                wind.worst()
            ),
        }
    }

    /// The airspeed that a clearance of the rule `wind` leaves room above.
    fn airspeed(&self, measure: Measure) -> String {
        let most = self.limits.figures().aircraft.airspeed_max.get();
        figure(most.saturating_sub(measure.clearance), measure.unit)
    }

    /// Where no figure can be given of what lies beyond the end of the power table.
    pub(super) fn say_table_end(&self, rule: Rule) -> String {
        Wind::of(self.limits.figures()).say_table_end(rule, None)
    }

    /// The pack's voltage.
    fn volts(&self) -> Option<String> {
        self.readings.pack.map(|pack| volts(i64::from(pack.voltage.get()) * 10))
    }

    /// Why a pack's voltage tells nothing.
    pub(super) fn say_pack(&self, cause: Cause) -> String {
        let figures = self.limits.figures();
        let cells = figures.battery.cells.get();
        let read = self.volts().unwrap_or_else(|| "the voltage".to_owned());
        let of_cells =
            |point: Option<ChargePoint>| volts(point.map_or(0, |point| i64::from(point.cell.get())) * i64::from(cells));
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
                let full = of_cells(charge_table(figures).last());
                format!(
                    "{read} is above the {full} of {}: is it this pack, has it rested, is the meter right?",
                    called(cells, "full ")
                )
            }
            Cause::PackTooLow => {
                let empty = of_cells(charge_table(figures).next());
                format!(
                    "{read} is below the {empty} of {}: don't fly this pack; is it damaged, or is the meter wrong?",
                    called(cells, "empty ")
                )
            }
            _ => self.say_other_cells(&read, cells),
        }
    }

    fn say_other_cells(&self, read: &str, planned: i32) -> String {
        let others = |pack: PackReading| other_cells(self.limits.figures(), pack);
        let others: Vec<String> =
            self.readings.pack.into_iter().flat_map(others).map(|cells| called(cells.get(), "")).collect();
        let others: Vec<&str> = others.iter().map(String::as_str).collect();
        let planned = match planned {
            1 => "1 was".to_owned(),
            more => format!("{more} were"),
        };
        format!(
            "{read} is the voltage of a pack of {}, and {planned} planned: take the planned pack, or write this one in [battery].",
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

/// Counts of 0.001 V for people.
fn volts(counts: i64) -> String {
    format!("{} V", written(counts, 3))
}

/// A number of cells of a kind.
fn called(cells: i32, kind: &str) -> String {
    format!("{cells} {kind}cell{}", if cells == 1 { "" } else { "s" })
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

    fn say_airspeed(&self, needed: &str, short: &str) -> String {
        let needs = format!("this step, or the way home from it, needs an airspeed of {needed}");
        match &self.0 {
            Some(wind) => format!(
                "In a wind of up to {wind} {needs}, {short} more than the aircraft has: {SLOWER}, or wait for less wind."
            ),
            None => format!("Even in still air {needs}, {short} more than the aircraft has: {SLOWER}."),
        }
    }

    /// How far the power table ends below what is needed, where that can be told.
    fn say_table_end(&self, rule: Rule, short: Option<&str>) -> String {
        let short = short.map_or_else(String::new, |short| format!("{short} "));
        let wait = if self.0.is_some() { ", wait for less wind" } else { "" };
        let (what, slower) = match rule {
            Rule::TurnBack => ("the way home from this step", "slow down the return (`speed_m_s` in [return])"),
            _ => ("this step, or the way home from it,", SLOWER),
        };
        format!(
            "The power table ends {short}below the airspeed that {what} may need: {slower}{wait}, or measure the power at that airspeed."
        )
    }
}
