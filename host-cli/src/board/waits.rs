//! What a permit waits for, where the limits aren't at hand: without their figures and names.

use pinfold_core::verdict::{Cause, Finding, Measure, Rule};

use crate::report::words::{figure, reading, rule, shortfall};

/// What a permit waits for.
pub(crate) fn waits(finding: &Finding) -> String {
    match (finding.rule, finding.cause, finding.measure) {
        (_, Cause::NoReading, _) => {
            let what = reading(finding.rule);
            format!("The limits ask for a fresh reading of {what}, and there is none: send it, and again before it gets too old.")
        }
        (_, Cause::NoLimits, _) => "The route was held to other limits than those that are held now: load it again.".into(),
        (Rule::Launch, Cause::Measured, Some(measure)) => format!(
            "The aircraft stands {} farther from the planned launch point than the limits allow: carry it there, or plan the route from where it stands.",
            shortfall(measure)
        ),
        (Rule::Launch, Cause::BeyondReach, _) => {
            "The aircraft stands far beyond 50 km from the planned launch point: is its position right, or is this another site's route?".into()
        }
        (Rule::Pack, Cause::Measured, Some(measure)) => pack(measure),
        (_, Cause::PackNotRested, _) => "The pack hasn't rested as long as the limits ask for: wait, and read it again.".into(),
        (_, Cause::PackTooLow, _) => {
            "The pack's voltage is below that of an empty one: don't fly this pack; is it damaged, or is the meter wrong?".into()
        }
        (_, Cause::PackTooHigh, _) => {
            "The pack's voltage is above that of a full one: is it this pack, has it rested, is the meter right?".into()
        }
        (_, Cause::PackOfOtherCells, _) => {
            "The pack's voltage is that of a pack with another number of cells: is it this pack?".into()
        }
        _ => format!("The rule {} isn't kept: `pinfold board route` says what to change.", rule(finding.rule)),
    }
}

fn pack(measure: Measure) -> String {
    let [has, needs] = [measure.clearance, measure.required].map(|counts| figure(counts, measure.unit));
    let short = shortfall(measure);
    format!(
        "By its voltage the pack gives {has}, and {needs} are needed: charge it, or shorten the route by {short} worth of flying."
    )
}

#[cfg(test)]
mod tests {
    use pinfold_core::verdict::Unit;

    use super::*;

    #[test]
    fn each_thing_that_a_permit_may_wait_for_has_a_sentence_of_its_own() {
        let bare = [
            (Rule::Launch, Cause::NoReading),
            (Rule::Pack, Cause::NoReading),
            (Rule::Form, Cause::NoReading),
            (Rule::Form, Cause::NoLimits),
            (Rule::Launch, Cause::BeyondReach),
            (Rule::Pack, Cause::PackNotRested),
            (Rule::Pack, Cause::PackTooLow),
            (Rule::Pack, Cause::PackTooHigh),
            (Rule::Pack, Cause::PackOfOtherCells),
        ];
        let mut said: Vec<String> = bare.iter().map(|(rule, cause)| waits(&Finding::of(*rule, 0, *cause))).collect();
        assert!(
            said.iter().all(|said| said.ends_with(['.', '?']) && !said.contains("pinfold board route")),
            "{said:?}"
        );
        said.sort();
        said.dedup();
        assert_eq!(said.len(), bare.len(), "{said:?}");
    }

    #[test]
    fn figures_are_those_of_the_finding() {
        let measured =
            |rule, clearance, required, unit| waits(&Finding::measured(rule, 0, Measure { clearance, required, unit }));
        let launch = measured(Rule::Launch, -57, 0, Unit::Metres);
        assert!(launch.contains("0.57 m farther from the planned launch point"), "{launch}");
        let pack = measured(Rule::Pack, 5_000, 7_250, Unit::WattHours);
        assert!(pack.contains("gives 5.000 Wh, and 7.250 Wh are needed") && pack.contains("2.250 Wh worth"), "{pack}");
    }
}
