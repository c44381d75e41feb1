//! A verdict against what every obstacle leaves.

use pinfold_core::{
    model::{
        limits::Figures,
        route::{Launch, Step},
        store::Limits,
        zone::ZoneKind,
    },
    verdict::{Finding, Rule, Severity, Verdict},
};

use super::{
    air::Air,
    passage::{Kind, Passage, passages},
    zone::{Airs, Spare, Zone},
};
use crate::{
    oracle::{
        flight::{home, hundredths, pieces},
        tally::Fault,
    },
    sample::found,
};

/// What numeric search may be off by, in metres.
const NUMERIC: f64 = 1e-6;

/// One decision of the checker and what it ought to have been.
#[derive(Clone, Debug)]
pub struct Decision {
    /// By which rule.
    pub rule: Rule,
    /// About which zone, where it is about one.
    pub zone: Option<u8>,
    /// What the checker reported as to spare, in metres; nothing where it reported no number.
    pub reported: Option<f64>,
    /// What there is to spare.
    pub most: f64,
    /// The longest line that it is about, in metres.
    pub length: f64,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// With what numbers.
    pub say: String,
}

/// What there is to be known of a case, but for its zones.
#[derive(Debug)]
pub struct Judge {
    passages: Vec<Passage>,
    airs: Airs,
}

impl Judge {
    /// Of a flight.
    #[must_use]
    pub fn new(figures: &Figures, launch: &Launch, steps: &[Step]) -> Self {
        let passages = passages(figures, home(launch), &pieces(figures, launch, steps));
        let elevation = launch.elevation.map_or(f64::NAN, |elevation| hundredths(elevation.get()));
        let above = hundredths(figures.heights.ceiling.get()).max(0.0);
        let air = |above: f64| Air::new(figures.air, elevation, above);
        Self { passages, airs: Airs { least: air(0.0), most: air(above) } }
    }

    /// What a zone leaves the pieces themselves, or the returns.
    #[must_use]
    pub fn spare_of(&self, zone: &Zone, own: bool) -> f64 {
        self.spares(zone, own).iter().map(|spare| spare.most).fold(f64::INFINITY, f64::min)
    }

    /// What a zone leaves of everything that one rule asks about.
    fn spares(&self, zone: &Zone, own: bool) -> Vec<Spare> {
        let asked = |passage: &&Passage| match passage.kind {
            Kind::Own => own,
            Kind::Home => !own,
            // Without heights the piece itself and the ways home say all.
            Kind::Rise | Kind::Column => !own && zone.has_heights(),
        };
        self.passages.iter().filter(asked).map(|passage| zone.spare(passage, &self.airs)).collect()
    }

    /// Every decision about zones.
    #[must_use]
    pub fn decisions(&self, limits: Limits<'_>, launch: &Launch, verdict: &Verdict) -> Vec<Decision> {
        let mut all = Vec::new();
        let zones = limits.zones().map(|(number, zone)| Zone::of_limits(limits, launch, number, zone));
        for zone in &zones.collect::<Vec<_>>() {
            let rule = match zone.kind {
                ZoneKind::KeepIn => Rule::KeepIn,
                ZoneKind::KeepOut => Rule::KeepOut,
                ZoneKind::People => Rule::People,
            };
            for (rule, own) in [(rule, true), (Rule::ReturnPath, false)] {
                let spares = self.spares(zone, own);
                let length = self.passages.iter().map(Passage::length).fold(0.0, f64::max);
                all.push(decide(rule, Some(zone.number), &spares, found(verdict, rule, Some(zone.number)), length));
            }
        }
        all
    }
}

/// A decision, and what is wrong with it.
fn decide(rule: Rule, zone: Option<u8>, spares: &[Spare], finding: Option<&Finding>, length: f64) -> Decision {
    let least = |value: &dyn Fn(&Spare) -> f64| spares.iter().map(value).fold(f64::INFINITY, f64::min);
    let most = least(&|spare| spare.most);
    let stop = finding.is_some_and(|finding| finding.severity() == Some(Severity::Stop));
    let measure = finding.and_then(|finding| finding.measure);
    let reported = measure.map(|measure| hundredths(measure.clearance) - hundredths(measure.required));
    let mut faults = Vec::new();
    let mut hold = |fault: Fault, holds: bool| {
        if !holds {
            faults.push(fault);
        }
    };
    hold(Fault::Unsound, finding.is_some() && (stop || most >= -NUMERIC));
    hold(Fault::Unsound, stop || !spares.iter().any(|spare| spare.touched));
    hold(Fault::Needless, !stop || least(&|spare| spare.needless) <= NUMERIC);
    if let (Some(spare), Some(finding), Some(measure)) = (reported, finding, measure) {
        hold(Fault::Unsound, spare <= most + NUMERIC);
        hold(Fault::Loose, spare >= least(&|spare| spare.least) - NUMERIC);
        let (clearance, required) = (hundredths(measure.clearance), hundredths(measure.required));
        let mut own = spares.iter().filter(|spare| spare.step == finding.step);
        let sound = |spare: &Spare| {
            spare.flat.is_none_or(|(meters, margin)| clearance <= meters + NUMERIC && required >= margin - NUMERIC)
        };
        hold(Fault::Unsound, own.any(sound));
    }
    let show = || {
        let lines: Vec<_> = spares.iter().map(|spare| format!("    {spare:?}\n")).collect();
        format!("stop {stop}, reported {reported:?} of {most}, {finding:?}\n{}", lines.concat())
    };
    let say = if faults.is_empty() { String::new() } else { show() };
    faults.dedup();
    Decision { rule, zone, reported, most, length, faults, say }
}
