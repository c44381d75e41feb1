//! What a verdict claims about energy and wind, held to what is true.

use std::collections::BTreeMap;

use pinfold_core::verdict::{Cause, Finding, Outcome, Rule, Severity, Unit, Verdict};

use super::{
    judge::{Case, Truth},
    pack::Read,
    stint::Stint,
    way::Way,
    wind::turn,
};
use crate::{
    oracle::{
        exact::Local,
        flight::hundredths,
        tally::{Disagreement, Fault},
    },
    sample::found,
};

/// What floating point may be off by: a part of the whole, and watt-hours or m/s.
const NUMERIC: f64 = 1e-9;

/// The most that can be reported, in watt-hours: more is reported as this.
const MOST: f64 = i32::MAX as f64 / 1000.0;

/// A reported need that is less than this above the true one is looked at closely.
const CLOSE: f64 = 1.0001;

/// A leg that passes launch nearer than this part of its length passes it closely.
const CLOSELY: f64 = 0.01;

/// Degrees that the reported worst direction may be beside one that takes nearly the most.
const BESIDE: i32 = 5;

/// What such a direction must take of the most.
const NEARLY: f64 = 0.98;

/// What was found in one verdict.
#[derive(Clone, Debug, Default)]
pub struct Claims {
    /// Where it is wrong.
    pub wrong: Vec<Disagreement>,
    /// What was compared.
    pub compared: Vec<(Rule, Fault)>,
    /// How often what happened.
    pub counts: BTreeMap<&'static str, u64>,
    /// Reported by true, where there is more than a watt-hour.
    pub ratios: BTreeMap<&'static str, f64>,
}

/// A verdict and a case that it is about.
struct Reader<'a> {
    case: &'a Case<'a>,
    truth: Truth,
    verdict: &'a Verdict,
    claims: Claims,
}

/// Holds a verdict to what is true.
#[must_use]
pub fn claims(case: &Case<'_>, truth: Truth, verdict: &Verdict) -> Claims {
    let mut reader = Reader { case, truth, verdict, claims: Claims::default() };
    reader.look_closely();
    reader.look_at_readings();
    reader.wind();
    if reader.number() {
        reader.reserve();
        reader.turn_back();
        reader.usable();
        reader.pack();
        reader.direction();
    }
    reader.whole();
    reader.claims
}

/// Watt-hours from 0.001 Wh.
fn watt_hours(count: i32) -> f64 {
    f64::from(count) / 1000.0
}

fn stops(finding: Option<&Finding>) -> bool {
    finding.is_some_and(|finding| finding.severity() == Some(Severity::Stop))
}

impl Reader<'_> {
    fn hold(&mut self, fault: Fault, rule: Rule, holds: bool, say: &str) {
        self.claims.compared.push((rule, fault));
        if !holds {
            let (truth, energy) = (&self.truth, &self.verdict.energy);
            let say = format!(
                "{say}: {energy:?}, {:?}\n  true: {:?}, back {:?}, {:?}, {:?}",
                found(self.verdict, rule, None),
                truth.worst,
                truth.back,
                truth.largest,
                truth.pack
            );
            self.claims.wrong.push(Disagreement { fault, rule, say });
        }
    }

    fn count(&mut self, what: &'static str, happens: bool) {
        *self.claims.counts.entry(what).or_default() += u64::from(happens);
    }

    fn finding(&self, rule: Rule) -> Option<Finding> {
        found(self.verdict, rule, None).copied()
    }

    /// What a finding says is there and is required, in watt-hours.
    fn reported(&self, rule: Rule) -> Option<(f64, f64)> {
        let measure = self.finding(rule)?.measure.filter(|measure| measure.unit == Unit::WattHours)?;
        Some((watt_hours(measure.clearance), watt_hours(measure.required)))
    }

    /// Asks how far the readings of legs are apart where more airspeed is said to be needed than 5 cm explain.
    fn look_at_readings(&mut self) {
        let max = hundredths(self.case.figures.aircraft.airspeed_max.get());
        let spare =
            self.finding(Rule::Wind).and_then(|finding| finding.measure).map(|measure| hundredths(measure.spare()));
        let said = spare.map_or(f64::INFINITY, |spare| max - spare);
        if said > self.truth.largest.fair * 1.01 + 0.05 {
            let of_readings = self.truth.flight.largest_of_readings();
            self.count("readings of legs asked", true);
            self.truth.largest.fair = self.truth.largest.fair.max(of_readings);
        }
    }

    /// Looks for the worst turn-back closely where the quick look leaves a doubt on either side.
    fn look_closely(&mut self) {
        let (Some(needed), Some((_, reported))) = (self.truth.back_needed(), self.reported(Rule::TurnBack)) else {
            return;
        };
        let doubt = reported < needed * CLOSE || reported > self.truth.fair(needed, true);
        self.count("looked at closely", doubt);
        if doubt {
            self.truth = self.truth.closer();
        }
    }

    /// The largest airspeed against what the aircraft can hold.
    fn wind(&mut self) {
        let max = hundredths(self.case.figures.aircraft.airspeed_max.get());
        let (most, fair) = (max - self.truth.largest.needed, max - self.truth.largest.fair);
        let lost = 0.05 + self.part_lost() * self.truth.largest.fair + self.lost_by_turning();
        let finding = self.finding(Rule::Wind);
        let stop = stops(finding.as_ref());
        let spare = finding.and_then(|finding| finding.measure).map(|measure| hundredths(measure.spare()));
        self.count("stop by wind", stop);
        self.hold(Fault::Unsound, Rule::Wind, stop || most >= -NUMERIC, "the wind is too strong");
        self.hold(Fault::Needless, Rule::Wind, !stop || fair < lost, "the wind is not too strong");
        match spare {
            Some(spare) => {
                self.hold(Fault::Unsound, Rule::Wind, spare <= most + NUMERIC, "more airspeed to spare than there is");
                self.hold(Fault::Loose, Rule::Wind, spare >= fair - lost, "less airspeed to spare than there is");
                self.ratio("airspeed lost, m/s", fair - spare);
            }
            None => self.hold(Fault::Unsound, Rule::Wind, self.truth.largest.needed == 0.0, "no finding"),
        }
    }

    /// Which part of an airspeed may be lost: more where a leg passes launch so closely that the bearing home turns at once.
    fn part_lost(&self) -> f64 {
        let flight = &self.truth.flight;
        if flight.open().any(|(_, stint)| flight.closeness(stint) < CLOSELY) { 0.03 } else { 0.01 }
    }

    /// How much airspeed (m/s) may be lost since the checker doesn't ask which way a line turns that is straight in longitude and
    /// latitude, or true north along it: by its curvature times three halves of the way home and half a leg either way, which
    /// is much on long ways near the poles. A turn by an angle changes the airspeed by no more than the wind times the angle.
    fn lost_by_turning(&self) -> f64 {
        const RADIUS: f64 = 6.371e6;
        let home = self.truth.flight.home;
        let launch = home.ground((0, 0));
        let away = |place: Local| home.ground(place).meters_to(launch);
        let turned = |(_, stint): (usize, &Stint)| {
            let leg = stint.way.as_ref().map_or(0.0, Way::meters);
            1.5 * away(stint.piece.from).max(away(stint.piece.to)) + 0.5 * leg
        };
        let furthest = self.truth.flight.open().map(turned).fold(0.0, f64::max);
        let curvature = (launch.latitude.abs() + 0.5).to_radians().tan() / RADIUS;
        furthest * curvature * self.truth.flight.air.winds.up_to
    }

    /// Whether there is a number for what the flight and its turn-backs take: none where the power table ends too soon.
    fn number(&mut self) -> bool {
        let (own, whole) = (self.truth.worst.needed.is_finite(), self.truth.needed().is_finite());
        let ends = [Rule::Reserve, Rule::TurnBack]
            .map(|rule| self.finding(rule).is_some_and(|finding| finding.cause == Cause::PowerTableEnds));
        let end = self.truth.flight.air.table.end();
        let part = self.part_lost();
        let turning = self.lost_by_turning();
        let room = |airspeed: f64| airspeed * (1.0 + part) + 0.05 + turning < end;
        self.count("the power table ends", !whole);
        self.hold(Fault::Unsound, Rule::Reserve, own || ends[0], "the power table ends");
        self.hold(Fault::Unsound, Rule::TurnBack, whole || ends.contains(&true), "the power table ends on a way home");
        let fine = room(self.truth.largest.fair);
        self.hold(Fault::Needless, Rule::Reserve, !ends.contains(&true) || !fine, "the power table reaches far enough");
        whole && !ends.contains(&true)
    }

    fn ratio(&mut self, what: &'static str, ratio: f64) {
        self.claims.ratios.insert(what, ratio);
    }

    /// A need that was reported, and the stop that goes with it.
    fn need(&mut self, rule: Rule, needed: f64, reported: f64) {
        let (back, usable) = (rule == Rule::TurnBack, self.truth.pack.usable.max(0.0));
        let fair = self.truth.fair(needed, back);
        let stop = stops(self.finding(rule).as_ref());
        self.hold(Fault::Unsound, rule, reported >= needed.min(MOST) * (1.0 - NUMERIC), "less than it takes");
        self.hold(Fault::Loose, rule, reported <= fair + 0.001, &format!("more than it takes, at most {fair}"));
        self.hold(Fault::Unsound, rule, stop || needed <= usable * (1.0 + NUMERIC), "it takes more than there is");
        self.hold(Fault::Needless, rule, !stop || fair > usable - 0.002, "it takes less than there is");
        if needed > 1.0 {
            self.ratio(if back { "turn-back" } else { "reserve" }, reported / needed);
            self.ratio(
                if back { "turn-back, part of what is fair" } else { "reserve, part of what is fair" },
                reported / fair,
            );
        }
        self.count(if back { "stop by turn-back" } else { "stop by reserve" }, stop);
        self.count(if back { "turn-back" } else { "reserve" }, true);
    }

    fn reserve(&mut self) {
        let (Some(energy), Some((clearance, required))) = (self.verdict.energy, self.reported(Rule::Reserve)) else {
            return self.hold(Fault::Loose, Rule::Reserve, false, "no numbers");
        };
        let said = (f64::from(energy.usable) / 1000.0, f64::from(energy.needed) / 1000.0);
        self.hold(Fault::Unsound, Rule::Reserve, (clearance.max(0.0), required) == said, "two different numbers");
        self.need(Rule::Reserve, self.truth.worst.needed, required);
        if self.case.figures.wind.up_to.get() == 0 {
            let most = self.most_in_still_air();
            self.hold(
                Fault::Loose,
                Rule::Reserve,
                required <= most,
                &format!("more than still air takes, at most {most}"),
            );
        }
    }

    /// Watt-hours that may be reported where no wind leaves anything open.
    fn most_in_still_air(&self) -> f64 {
        let flight = &self.truth.flight;
        let steep: f64 = flight.stints.iter().map(|stint| stint.steepness(&flight.air)).sum();
        self.truth.worst.needed * 1.001 + flight.rounding() + steep + 0.002
    }

    fn turn_back(&mut self) {
        let Some(back) = self.truth.back else { return };
        let (Some(finding), Some((clearance, required))) =
            (self.finding(Rule::TurnBack), self.reported(Rule::TurnBack))
        else {
            return self.hold(Fault::Unsound, Rule::TurnBack, false, "no numbers");
        };
        let usable = self.truth.pack.usable;
        self.hold(Fault::Unsound, Rule::TurnBack, clearance <= usable.max(0.0) + NUMERIC, "more than may be used");
        self.need(Rule::TurnBack, back.worst.needed, required);
        let step = self.truth.flight.stints[back.stint].piece.step;
        self.count("turn-back from the same step", step == finding.step);
        let (flight, enough) = (&self.truth.flight, 0.9 * back.worst.needed - 0.1);
        let takes = |from: f64| flight.back_of_step(finding.step, from) >= enough;
        let there = takes(back.worst.from) || flight.air.winds.directions(5.0).into_iter().any(takes);
        self.hold(Fault::Loose, Rule::TurnBack, there, "another step takes much more");
    }

    fn usable(&mut self) {
        let Some(energy) = self.verdict.energy else { return };
        let pack = self.truth.pack;
        let (usable, held) = (f64::from(energy.usable) / 1000.0, f64::from(energy.held) / 1000.0);
        self.hold(Fault::Unsound, Rule::Reserve, usable <= pack.usable.max(0.0) * (1.0 + NUMERIC), "usable");
        self.hold(Fault::Loose, Rule::Reserve, usable >= pack.usable - self.blur(), "usable");
        self.hold(Fault::Unsound, Rule::Reserve, held <= pack.held * (1.0 + NUMERIC), "held");
        self.hold(Fault::Loose, Rule::Reserve, held >= pack.held - 0.002, "held");
    }

    /// Watt-hours that rounding may take of what may be used: 1 mV of a cell, 0.01 % of the charge, 2 mWh.
    fn blur(&self) -> f64 {
        let points = self.case.figures.charge.iter().flat_map(|points| points.windows(2));
        let steepest = points
            .map(|pair| {
                f64::from(pair[1].charge.get() - pair[0].charge.get())
                    / f64::from(pair[1].cell.get() - pair[0].cell.get())
            })
            .fold(0.0, f64::max);
        let read = self.truth.pack.read.map_or(0.0, |_| (steepest / 100.0 + 0.0001) * self.truth.pack.held);
        read + 0.002
    }

    fn pack(&mut self) {
        let (finding, Some(read)) = (self.finding(Rule::Pack), self.truth.pack.read) else { return };
        let stop = stops(finding.as_ref());
        self.count("pack", true);
        self.count("stop by pack", stop);
        let Read::Usable(usable) = read else {
            self.count("a voltage that tells nothing", true);
            return self.hold(Fault::Unsound, Rule::Pack, stop, "a voltage that tells nothing");
        };
        let needed = self.truth.needed();
        let fair = self.truth.fair(self.truth.worst.needed, false).max(self.truth.fair(needed, true));
        self.hold(
            Fault::Unsound,
            Rule::Pack,
            stop || needed <= usable * (1.0 + NUMERIC),
            "a pack that holds too little",
        );
        self.hold(Fault::Needless, Rule::Pack, !stop || fair > usable - self.blur(), "a pack that holds enough");
        let Some((clearance, required)) = self.reported(Rule::Pack) else {
            // A pack that holds no more than the reserve may well have other cells.
            return self.hold(Fault::Needless, Rule::Pack, usable < self.blur(), "no number");
        };
        self.hold(Fault::Unsound, Rule::Pack, clearance <= usable.max(0.0) * (1.0 + NUMERIC), "the pack holds less");
        self.hold(Fault::Loose, Rule::Pack, clearance >= usable - self.blur(), "the pack holds more");
        self.hold(Fault::Unsound, Rule::Pack, required >= needed.min(MOST) * (1.0 - NUMERIC), "it takes more");
        self.hold(Fault::Loose, Rule::Pack, required <= fair + 0.001, "it takes less");
    }

    /// The worst direction that was reported is near one that takes nearly the most.
    fn direction(&mut self) {
        let Some(energy) = self.verdict.energy.filter(|_| self.truth.worst.needed < MOST) else { return };
        let (worst, still) = (self.truth.worst, self.case.figures.wind.up_to.get() == 0);
        let Some(said) = energy.worst_wind_from else {
            return self.hold(Fault::Unsound, Rule::Reserve, still, "no direction");
        };
        let said = f64::from(said.get());
        self.hold(Fault::Unsound, Rule::Reserve, !still, "a direction of no wind");
        let winds = self.truth.flight.air.winds;
        self.hold(Fault::Unsound, Rule::Reserve, turn(winds.allowed(said) - said).abs() <= 1.0, "no such wind");
        let beside = turn(said - worst.from).abs() <= f64::from(BESIDE);
        let near = self.truth.flight.worst_near(said, BESIDE);
        self.count("directions", true);
        self.count("the same direction", beside);
        self.ratio("least that a reported direction takes of the most", -near / worst.needed);
        self.hold(
            Fault::Loose,
            Rule::Reserve,
            beside || near >= NEARLY * worst.needed - 0.1,
            &format!("direction takes {near}"),
        );
    }

    /// A Go stands only where all is true that it says.
    fn whole(&mut self) {
        let go = self.verdict.outcome() == Outcome::Go;
        let (truth, max) = (&self.truth, hundredths(self.case.figures.aircraft.airspeed_max.get()));
        let enough = truth.needed() <= truth.pack.usable * (1.0 + NUMERIC) && truth.largest.needed <= max + NUMERIC;
        self.count("Go", go);
        self.hold(Fault::Unsound, Rule::Reserve, !go || enough, "Go");
    }
}
