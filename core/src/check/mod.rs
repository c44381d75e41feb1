//! The checker: steps in, one at a time; a verdict out.
//!
//! Its memory doesn't depend on the route's length, and a step's work only on the number of zones and vertices.

mod go;

use crate::{
    geometry::{frame::Frame, predicate::Point},
    model::{
        path::{self, Spot},
        route::{Launch, STEPS, Step},
        store::Limits,
    },
    rules::{
        RULES, Readings, Scene,
        energy::{effort::Effort, watt_hours_ceil},
        extent,
        grid::relief_at,
        journey::Journey,
        leg::Leg,
        pack, reserve,
        sequence::Stage,
        surroundings::Surroundings,
        turn_back,
    },
    verdict::{Cause, Energy, Finding, Findings, Outcome, Rule, Severity, Subject, Summary, Verdict},
};
pub use go::{Go, Standing};

/// What the steps of a route come to up to one of them. All are upper bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SoFar {
    /// What they take of the charge in the wind that takes most of it, 0.001 Wh, where that can be said.
    pub used: Option<u32>,
    /// How long the path is, mm.
    pub length: u64,
    /// How long it takes to fly, ms, where that can be said.
    pub time: Option<u64>,
}

/// A route being checked. The limits are passed to each call so that they can live elsewhere; they must be the same
/// ones.
#[derive(Clone, Debug)]
pub struct Checker {
    launch: Launch,
    readings: Readings,
    /// None where there is nothing to judge: `sequence` or `extent` failed, and no other rule is asked.
    around: Option<Surroundings>,
    stage: Stage,
    journey: Journey,
    findings: Findings,
}

impl Checker {
    /// Begins a route.
    #[must_use]
    #[inline(never)]
    pub fn new(limits: Limits<'_>, launch: Launch, readings: Readings) -> Self {
        let mut checker = Self {
            readings,
            around: None,
            launch,
            stage: Stage::Ground,
            journey: Journey::START,
            findings: Findings::EMPTY,
        };
        match Frame::new(checker.launch.position) {
            None => checker.findings.add(Finding::of(Rule::Extent, 0, Cause::LaunchTooFarNorth)),
            Some(frame) => {
                extent::of_zones(&frame, limits).for_each(|finding| checker.findings.add(finding));
                if let Some(station) = limits.figures().link.and_then(|link| link.station) {
                    checker.findings.add(extent::of_station(&frame, station));
                }
                checker.take_off(&frame, limits.figures().aircraft.speed_max.get());
                if !checker.stopped() {
                    let around = checker.around.insert(Surroundings::new(limits, &checker.launch, frame));
                    around.look_at_zones(limits);
                }
            }
        }
        if checker.around.is_none() {
            checker.keep_only(Rule::Extent);
        }
        checker
    }

    /// Begins in the air where the aircraft is flying already: at any speed that it may have.
    fn take_off(&mut self, frame: &Frame, speed: i32) {
        let Some(aloft) = self.readings.aloft else { return };
        match frame.local(aloft.position) {
            None => self.findings.add(Finding::of(Rule::Extent, 0, Cause::BeyondReach)),
            Some(place) => {
                self.findings.add(extent::of_step(frame, 0, place, aloft.height.get()));
                self.stage = Stage::Air;
                self.journey.spot = Spot { place, height: aloft.height.get() };
                self.journey.speed = speed;
                self.journey.flew = true;
            }
        }
    }

    /// Takes the next step.
    #[inline(never)]
    pub fn step(&mut self, limits: Limits<'_>, step: &Step) {
        let number = self.journey.steps.saturating_add(1);
        if usize::from(self.journey.steps) >= STEPS {
            return self.bar(Finding::of(Rule::Sequence, number, Cause::TooManySteps));
        }
        self.journey.steps = number;
        let Some(around) = &self.around else { return };
        let ground = ground_below(limits, around, self.journey.spot.place);
        let target = path::target(&around.frame, step);
        match (self.stage.after(step, self.journey.spot.height, ground), target) {
            (Err(cause), _) => self.bar(Finding::of(Rule::Sequence, number, cause)),
            (Ok(_), Err(path::OutOfReach)) => self.bar(Finding::of(Rule::Extent, number, Cause::BeyondReach)),
            (Ok(stage), Ok(target)) => {
                self.stage = stage;
                self.judge(limits, step, target, ground);
            }
        }
    }

    /// What the steps taken so far come to: for whoever draws it. It decides nothing.
    #[must_use]
    pub fn so_far(&self) -> SoFar {
        let most = self.journey.used.as_ref().map(|used| used.iter().copied().max().unwrap_or(0));
        SoFar {
            used: most.map(|microjoules| watt_hours_ceil(microjoules).unsigned_abs()),
            length: self.journey.length,
            time: self.journey.time,
        }
    }

    /// Ends the route: what was found.
    #[must_use]
    #[inline(never)]
    pub fn finish(mut self, limits: Limits<'_>, subject: Subject) -> Verdict {
        let (summary, energy) = self.close(limits);
        Verdict { subject, summary, energy, findings: self.findings }
    }

    /// Ends the route where it lies, which takes less memory: whether it is a Go.
    pub(crate) fn is_go(&mut self, limits: Limits<'_>) -> bool {
        self.close(limits);
        !self.stopped()
    }

    #[inline(never)]
    fn close(&mut self, limits: Limits<'_>) -> (Summary, Option<Energy>) {
        let mut summary = Summary { steps: self.journey.steps, length: None, duration: None };
        let mut energy = None;
        if let Some(around) = &self.around {
            match self.stage.end() {
                Err(cause) => self.bar(Finding::of(Rule::Sequence, self.journey.steps, cause)),
                Ok(()) => {
                    let (launch, readings) = (&self.launch, &self.readings);
                    let effort = &Effort::UNKNOWN;
                    let scene = Scene { limits, launch, readings, around, journey: &self.journey, effort };
                    RULES.iter().for_each(|rule| (rule.end)(&scene, &mut self.findings));
                    energy = reserve::needed(&scene);
                    summary.length = hundredths_ceil(self.journey.length);
                    summary.duration = self.journey.time.and_then(hundredths_ceil);
                }
            }
        }
        (summary, energy)
    }

    /// Ends the route: what was found, and a [`Go`] where it is one for an aircraft on the ground.
    #[must_use]
    pub fn decide(self, limits: Limits<'_>, subject: Subject) -> (Verdict, Option<Go>) {
        let (launch, aloft) = (self.launch.clone(), self.readings.aloft.is_some());
        let verdict = self.finish(limits, subject);
        // A Go has an energy: a route without one is barred by `sequence` or `extent`.
        let needed = verdict.energy.filter(|_| !aloft && verdict.outcome() == Outcome::Go);
        let go = needed.map(|energy| Go::new(subject, launch, pack::most_needed(energy, &verdict.findings)));
        (verdict, go)
    }

    /// Asks every rule about every leg of a step, unless the step leads beyond reach.
    #[inline(never)]
    fn judge(&mut self, limits: Limits<'_>, step: &Step, target: Option<Point>, ground: i32) {
        let Some(around) = &self.around else { return };
        let number = self.journey.steps;
        if let Some(point) = target {
            self.findings.add(extent::of_step(&around.frame, number, point, self.journey.spot.height));
            if self.stopped_by_extent() {
                return self.keep_only(Rule::Extent);
            }
        }
        let to = target.unwrap_or(self.journey.spot.place);
        let homeward = limits.figures().homeward;
        let begin = path::Begin { spot: self.journey.spot, speed: self.journey.speed, ground };
        if number == 1 && self.readings.aloft.is_some() {
            self.ask_aloft(limits, begin.spot);
        }
        self.journey.returning = matches!(step, Step::Return);
        for piece in &path::pieces(step, begin, to, &homeward) {
            if let Some((leg, effort)) = self.ask(limits, *piece) {
                self.journey.pass(&leg, &effort);
            }
        }
        self.journey.end_step(step);
    }

    /// Asks about what would have been flown before: where the aircraft is, and the heights above launch that every
    /// return descends through, about which no climb has asked.
    fn ask_aloft(&mut self, limits: Limits<'_>, spot: Spot) {
        let figures = limits.figures();
        self.ask(limits, path::aloft(spot, figures.aircraft.speed_max.get()));
        self.journey.returning = true;
        self.ask(limits, path::descent_at_launch(spot, &figures.homeward));
    }

    /// Asks every rule about a leg.
    #[inline(never)]
    fn ask(&mut self, limits: Limits<'_>, piece: path::Piece) -> Option<(Leg, Effort)> {
        let around = self.around.as_ref()?;
        let leg = Leg::new(&around.frame, self.journey.steps, piece);
        let turns_back = turn_back::starts(&self.journey, piece.motion);
        let effort = Effort::new(limits.figures(), &around.frame, &leg, turns_back);
        let (launch, readings) = (&self.launch, &self.readings);
        let scene = Scene { limits, launch, readings, around, journey: &self.journey, effort: &effort };
        for rule in &RULES {
            (rule.leg)(&scene, &leg, &mut self.findings);
        }
        Some((leg, effort))
    }

    /// There is nothing to judge any more: this finding stands alone.
    fn bar(&mut self, finding: Finding) {
        self.around = None;
        self.findings.clear();
        self.findings.add(finding);
    }

    /// Drops what other rules found.
    #[inline(never)]
    fn keep_only(&mut self, rule: Rule) {
        let kept = self.findings.iter().find(|finding| finding.rule == rule).copied();
        if let Some(finding) = kept {
            self.bar(finding);
        }
    }

    fn stopped(&self) -> bool {
        self.findings.broken().any(|(severity, _)| severity == Severity::Stop)
    }

    fn stopped_by_extent(&self) -> bool {
        self.findings.broken().any(|(_, finding)| finding.rule == Rule::Extent)
    }
}

/// mm or ms as 0.01 m or 0.01 s, rounded up; `None` where it doesn't fit: a number cut short would be no upper bound.
fn hundredths_ceil(thousandths: u64) -> Option<u32> {
    u32::try_from(thousandths.div_ceil(10)).ok()
}

/// How high above launch the ground may be at least below a place, 0.01 m: that of launch where it isn't known, and
/// there.
fn ground_below(limits: Limits<'_>, around: &Surroundings, place: Point) -> i32 {
    if place == Spot::LAUNCH.place {
        return 0;
    }
    let relief = limits.ground().and_then(|ground| relief_at(&around.frame, ground, place));
    relief.zip(around.elevation).map_or(0, |(ground, launch)| ground.lowest.saturating_sub(launch.highest))
}

/// Checks a whole route.
#[must_use]
pub fn check(
    limits: Limits<'_>, launch: Launch, readings: Readings, steps: impl IntoIterator<Item = Step>, subject: Subject,
) -> Verdict {
    let mut checker = Checker::new(limits, launch, readings);
    for step in steps {
        checker.step(limits, &step);
    }
    checker.finish(limits, subject)
}
