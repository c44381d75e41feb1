//! A verdict as one JSON object.

use pinfold_core::verdict::{Finding, Outcome, Place, Rule, Severity, Unit};
use serde_json::{Value, json};

use super::{
    Report,
    words::{rule, severity, unit},
};

/// Counts of 10^-digits as a number.
pub(super) fn number(counts: i64, digits: u32) -> Value {
    // Twelve digits at most: far within what a double holds to the last printed digit.
    json!(crate::text::decimal::written(counts, digits).parse::<f64>().unwrap_or(f64::NAN))
}

impl Report<'_> {
    /// The object.
    pub(crate) fn json(&self) -> Value {
        let verdict = self.verdict;
        let broken = |severity| self.broken(severity).map(|finding| self.finding(finding));
        let findings: Vec<Value> = broken(Severity::Stop).chain(broken(Severity::Caution)).collect();
        let mut object = json!({
            "verdict": if verdict.outcome() == Outcome::Go { "go" } else { "no-go" },
            "fingerprint": verdict.subject.route.to_string(),
            "limits_fingerprint": verdict.subject.limits.to_string(),
            "steps": verdict.summary.steps,
            "length_m": verdict.summary.length.map(|length| number(i64::from(length), 2)),
            "duration_s": verdict.summary.duration.map(|duration| number(i64::from(duration), 2)),
            "findings": findings,
            "closest": self.closest().map(|finding| self.finding(finding)).collect::<Vec<_>>(),
            "energy": self.energy(),
        });
        if let Some(laid) = self.preset {
            object["preset"] = super::preset::json(laid);
        }
        object
    }

    /// A finding's object.
    pub(crate) fn finding(&self, finding: &Finding) -> Value {
        self::finding(finding, self.zone(finding), self.say_with_source(finding))
    }

    /// The sentence, and where the table comes from that it rests on, if that isn't the limits' own.
    fn say_with_source(&self, finding: &Finding) -> String {
        let source = self.say_built_in().filter(|_| finding.rule == Rule::Pack);
        [self.say(finding)].into_iter().chain(source.map(str::to_owned)).collect::<Vec<_>>().join(" ")
    }

    /// What flying needs.
    fn energy(&self) -> Value {
        let Some(energy) = self.verdict.energy else { return Value::Null };
        json!({
            "needed_wh": number(i64::from(energy.needed), 3),
            "usable_wh": number(i64::from(energy.usable), 3),
            "left_percent": self.left_percent(energy),
            "worst_turn_back_step": self.turn_back().map(|(finding, _)| finding.step),
            "worst_wind_from_deg": energy.worst_wind_from.map(|from| from.get()),
        })
    }
}

/// A finding with the name of its zone and its sentence.
pub(crate) fn finding(finding: &Finding, zone: Option<&str>, say: String) -> Value {
    let measure = finding.measure;
    let (name, digits) = measure.map_or(("", 0), |measure| unit(measure.unit));
    let figure = |counts: Option<i32>| counts.map(|counts| number(i64::from(counts), digits));
    let mut object = json!({
        "rule": rule(finding.rule),
        // A rule that is kept has the severity that breaking it would have.
        "severity": severity(finding.severity().unwrap_or_else(|| finding.severity_if_broken())),
        "step": (finding.step > 0).then_some(finding.step),
        "zone": zone,
        "clearance": figure(measure.map(|measure| measure.clearance)),
        "required": figure(measure.map(|measure| measure.required)),
        "unit": measure.map(|_| name),
        "at": finding.place.map(place),
        "say": say,
    });
    if measure.is_some_and(|measure| measure.unit == Unit::MetresVertical) {
        object["axis"] = json!("vertical");
    }
    object
}

fn place(place: Place) -> Value {
    json!({
        "lat": number(i64::from(place.position.latitude.get()), 7),
        "lon": number(i64::from(place.position.longitude.get()), 7),
        "height_m": number(i64::from(place.height), 2),
    })
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use pinfold_core::verdict::RULE_COUNT;

    use super::*;

    /// The words of a list in the schema.
    fn listed(definition: &str) -> BTreeSet<String> {
        let schema: Value = serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("JSON");
        let list = schema["$defs"][definition]["enum"].as_array().expect("a list").clone();
        list.iter().map(|word| word.as_str().expect("a word").to_owned()).collect()
    }

    /// Every variant of an enum of core, by its number in packed bytes.
    fn all<T: serde::de::DeserializeOwned>() -> Vec<T> {
        (0..=u8::MAX).map_while(|number| postcard::from_bytes(&[number]).ok()).collect()
    }

    #[test]
    fn the_schema_has_the_rules_and_units_of_core() {
        let rules: Vec<Rule> = all();
        assert_eq!(rules.len(), RULE_COUNT);
        assert_eq!(listed("rule"), rules.into_iter().map(|of| rule(of).to_owned()).collect());
        let units: Vec<Unit> = all();
        assert_eq!(listed("unit"), units.into_iter().map(|of| unit(of).0.to_owned()).collect());
    }
}
