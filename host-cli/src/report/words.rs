//! Names and figures as people read them.

use pinfold_core::verdict::{Measure, Rule, Severity, Unit};

/// The name of a rule.
pub(crate) const fn rule(rule: Rule) -> &'static str {
    match rule {
        Rule::Form => "form",
        Rule::Sequence => "sequence",
        Rule::Extent => "extent",
        Rule::KeepIn => "keep-in",
        Rule::KeepOut => "keep-out",
        Rule::People => "people",
        Rule::Ceiling => "ceiling",
        Rule::Floor => "floor",
        Rule::Ground => "ground",
        Rule::Speed => "speed",
        Rule::ClimbRate => "climb-rate",
        Rule::DescentRate => "descent-rate",
        Rule::Landing => "landing",
        Rule::Wind => "wind",
        Rule::Reserve => "reserve",
        Rule::TurnBack => "turn-back",
        Rule::ReturnPath => "return-path",
        Rule::Link => "link",
        Rule::Sight => "sight",
        Rule::Launch => "launch",
        Rule::Pack => "pack",
        Rule::Stray => "stray",
        Rule::Repeat => "repeat",
        Rule::OddHeight => "odd-height",
    }
}

/// The name of a severity.
pub(crate) const fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "stop",
        Severity::Caution => "caution",
    }
}

/// The name of a unit and the digits after the point of its counts.
pub(crate) const fn unit(unit: Unit) -> (&'static str, u32) {
    match unit {
        Unit::Metres | Unit::MetresVertical => ("m", 2),
        Unit::MetresPerSecond => ("m/s", 2),
        Unit::WattHours => ("Wh", 3),
        Unit::Seconds => ("s", 2),
    }
}

/// A figure with its unit, to the last digit that it has.
pub(crate) fn figure(counts: i32, of: Unit) -> String {
    let (name, digits) = unit(of);
    let scale = 10_i64.pow(digits);
    let magnitude = i64::from(counts).abs();
    let sign = if counts < 0 { "-" } else { "" };
    format!("{sign}{}.{:0width$} {name}", magnitude / scale, magnitude % scale, width = digits as usize)
}

/// How much is missing.
pub(crate) fn shortfall(measure: Measure) -> String {
    figure(measure.spare().saturating_neg(), measure.unit)
}

/// Things one after the other, with a word before the last.
pub(crate) fn listed(things: &[&str], word: &str) -> String {
    match things {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} {word} {last}", first.join(", ")),
    }
}

/// The reading that a rule asks a board for.
pub(crate) const fn reading(rule: Rule) -> &'static str {
    match rule {
        Rule::Launch => "where the aircraft stands",
        Rule::Pack => "the pack's resting voltage",
        _ => "whether the aircraft is flying",
    }
}
