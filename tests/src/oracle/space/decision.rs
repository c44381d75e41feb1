//! One decision of the checker, and what is wrong with it.

use pinfold_core::verdict::{Finding, Rule, Severity};

use super::zone::Spare;
use crate::oracle::{flight::hundredths, tally::Fault};

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
    /// What may be lost is off already, but for 5 cm.
    pub fair: f64,
    /// The longest line that it is about, in metres.
    pub length: f64,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// With what numbers.
    pub say: String,
}

/// A decision, and what is wrong with it.
pub(super) fn decide(
    rule: Rule, zone: Option<u8>, spares: &[Spare], finding: Option<&Finding>, length: f64,
) -> Decision {
    let least = |value: &dyn Fn(&Spare) -> f64| spares.iter().map(value).fold(f64::INFINITY, f64::min);
    let most = least(&|spare| spare.most);
    let stop = finding.is_some_and(|finding| {
        finding.severity().is_some_and(|severity| severity == Severity::Stop || rule == Rule::Sight)
    });
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
    Decision { rule, zone, reported, most, fair: least(&|spare| spare.needless) + 0.05, length, faults, say }
}
