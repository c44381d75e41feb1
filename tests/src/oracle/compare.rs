//! Where a verdict disagrees with the oracle, and in which direction.

mod zones;

use pinfold_core::{
    model::{
        route::{Launch, Step},
        store::Limits,
    },
    rules::Readings,
    verdict::{Finding, Outcome, Rule, Severity, Verdict},
};

use super::{
    course::Home,
    energy::{
        back::Effort,
        claims::claims,
        flight::Flight,
        judge::{Case, Truth},
    },
    extent, figures,
    flight::{Piece, home, hundredths, pieces},
    order,
    tally::{Disagreement, Fault, Tally},
};
use crate::sample::found;

/// What numeric search may be off by, in metres.
const NUMERIC: f64 = 1e-6;

/// What a count of whole centimetres may be off by when read as a floating-point number.
const COUNT: f64 = 1e-9;

/// Compares a verdict with the oracle.
pub fn disagreements(
    limits: Limits<'_>, launch: &Launch, steps: &[Step], verdict: &Verdict, tally: &mut Tally,
) -> Vec<Disagreement> {
    let mut comparison = Comparison { limits, launch, home: home(launch), verdict, tally, found: Vec::new() };
    if comparison.order(steps) && comparison.extent(steps) {
        let pieces = pieces(limits.figures(), launch, steps);
        comparison.steps(steps);
        comparison.zones(&pieces);
        comparison.figures(&pieces);
        comparison.energy(steps);
    }
    comparison.found
}

struct Comparison<'a> {
    limits: Limits<'a>,
    launch: &'a Launch,
    home: Home,
    verdict: &'a Verdict,
    tally: &'a mut Tally,
    found: Vec<Disagreement>,
}

/// Clearance, required and what is to spare, as the finding says, in its unit.
fn reported(finding: &Finding) -> Option<(f64, f64, f64)> {
    let measure = finding.measure?;
    let (clearance, required) = (hundredths(measure.clearance), hundredths(measure.required));
    Some((clearance, required, hundredths(measure.clearance - measure.required)))
}

fn stops(finding: Option<&Finding>) -> bool {
    finding.is_some_and(|finding| finding.severity() == Some(Severity::Stop))
}

impl Comparison<'_> {
    /// Notes a disagreement unless `holds`.
    fn hold(&mut self, fault: Fault, rule: Rule, holds: bool, say: impl FnOnce() -> String) {
        self.tally.count(&format!("{fault:?} excluded: {rule:?}"));
        if !holds {
            self.found.push(Disagreement { fault, rule, say: say() });
        }
    }

    fn finding(&self, rule: Rule, zone: Option<u8>) -> Option<Finding> {
        found(self.verdict, rule, zone).copied()
    }

    fn order(&mut self, steps: &[Step]) -> bool {
        let (flight, stop) = (order::is_flight(steps), stops(found(self.verdict, Rule::Sequence, None)));
        self.hold(Fault::Unsound, Rule::Sequence, flight || self.verdict.outcome() == Outcome::NoGo, || {
            "no flight".into()
        });
        if self.finding(Rule::Extent, None).is_none() {
            self.hold(Fault::Needless, Rule::Sequence, !flight || !stop, || "a flight".into());
        }
        flight && !stop
    }

    fn extent(&mut self, steps: &[Step]) -> bool {
        let span = extent::span(self.limits, self.launch, self.home, steps);
        let stop = stops(found(self.verdict, Rule::Extent, None));
        let beyond = span.polar || span.farthest > extent::REACH + NUMERIC;
        self.hold(Fault::Unsound, Rule::Extent, stop || !beyond, || format!("{span:?}"));
        let clear = !span.almost_polar && span.farthest < extent::REACH * 0.999 - 0.05;
        self.hold(Fault::Needless, Rule::Extent, !stop || !clear, || format!("{span:?}"));
        !stop && !beyond
    }

    fn steps(&mut self, steps: &[Step]) {
        for (rule, expected) in
            [(Rule::Repeat, order::repeats(self.launch, steps)), (Rule::OddHeight, order::odd_heights(steps))]
        {
            let finding = self.finding(rule, None).filter(|finding| finding.severity().is_some());
            let step = finding.map(|finding| finding.step);
            self.hold(Fault::Unsound, rule, expected.is_empty() || step.is_some(), || format!("{expected:?}"));
            let known = step.is_none_or(|step| expected.contains(&step));
            self.hold(Fault::Needless, rule, known, || format!("{step:?} not in {expected:?}"));
        }
    }

    fn figures(&mut self, pieces: &[Piece]) {
        for one in figures::expected(self.limits.figures(), self.launch, self.home, pieces) {
            let finding = self.finding(one.rule, None);
            let show = || format!("{finding:?} but {one:?}");
            let stop = stops(finding.as_ref());
            self.hold(Fault::Unsound, one.rule, stop || one.most >= -NUMERIC, show);
            self.hold(Fault::Needless, one.rule, !stop || one.least < COUNT, show);
            if let Some((.., spare)) = finding.as_ref().and_then(reported) {
                self.hold(Fault::Unsound, one.rule, spare <= one.most + NUMERIC, show);
                self.hold(Fault::Loose, one.rule, spare >= one.least - NUMERIC, show);
            }
        }
    }

    /// What the flight takes, and the largest airspeed: held to the oracle of energy.
    fn energy(&mut self, steps: &[Step]) {
        let (figures, launch, readings) = (self.limits.figures(), self.launch, &Readings::default());
        let case = Case { figures, launch, readings, steps };
        let Some(truth) = Truth::of(&case, Effort::QUICK) else { return };
        let flight = truth.flight.clone();
        let claims = claims(&case, truth, self.verdict);
        for (rule, fault) in claims.compared {
            self.tally.count(&format!("{fault:?} excluded: {rule:?}"));
        }
        self.found.extend(claims.wrong);
        self.whole(&flight);
    }

    /// Length and duration of the route: upper bounds too.
    fn whole(&mut self, flight: &Flight) {
        let summary = self.verdict.summary;
        let (meters, seconds) = (flight.meters(), flight.seconds());
        let show = || format!("{summary:?} but {meters} m, {seconds} s");
        let (Some(length), Some(duration)) = (summary.length, summary.duration) else {
            return self.hold(Fault::Loose, Rule::Reserve, false, show);
        };
        let (length, duration) = (f64::from(length) / 100.0, f64::from(duration) / 100.0);
        #[expect(clippy::cast_precision_loss, reason = "a case has few pieces")]
        let rounding = 0.05 * flight.stints.len() as f64;
        self.hold(Fault::Unsound, Rule::Reserve, length >= meters - NUMERIC, show);
        self.hold(Fault::Loose, Rule::Reserve, length <= meters * 1.001 + rounding, show);
        self.hold(Fault::Unsound, Rule::Reserve, duration >= seconds - NUMERIC, show);
        let slow = flight.stints.iter().filter(|stint| stint.way.is_some()).map(|stint| 0.05 / stint.piece.speed);
        let most = seconds * 1.001 + rounding + slow.sum::<f64>();
        self.hold(Fault::Loose, Rule::Reserve, duration <= most, show);
    }
}
