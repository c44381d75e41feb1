//! What a preset did to the limits, for people and for programs.

use std::io::{self, Write};

use serde_json::{Value, json};

use super::{
    Report,
    json::number,
    people::{folded, heading},
};
use crate::preset::{Laid, Preset};

/// What is said wherever a preset is printed.
pub(crate) const STARTING_POINT: &str = "a preset is a starting point: local rules and licensed practice decide";

impl Report<'_> {
    /// Which figures a preset set or tightened.
    pub(super) fn write_preset(&self, out: &mut impl Write) -> io::Result<()> {
        let Some(laid) = self.preset else { return Ok(()) };
        heading(out, "Preset")?;
        folded(out, &format!("  {}: {}; {STARTING_POINT}", laid.preset.name, laid.preset.about), 4)?;
        for met in laid.figures().filter(|met| met.tightens()) {
            let (figure, source) = (met.figure(), &met.wanted.source);
            let now = figure.shown(met.wanted.count);
            let was = match met.had {
                Some(had) => format!("tightened from {} to {now}", figure.shown(had)),
                None => format!("set to {now}"),
            };
            folded(out, &format!("  {}: {was} ({source})", figure.name()), 4)?;
        }
        let kept: Vec<String> = laid.figures().filter(|met| !met.tightens()).map(|met| met.figure().name()).collect();
        if !kept.is_empty() {
            folded(out, &format!("  as strict already: {}", kept.join(", ")), 4)?;
        }
        if let Some(left_out) = &laid.preset.left_out {
            folded(out, &format!("  not in it: {left_out}"), 4)?;
        }
        let (written, judged) = (laid.written, self.verdict.subject.limits);
        let said = if written == judged {
            format!("  limits {written}, as they are written: nothing is tightened")
        } else {
            format!(
                "  limits {written} as written, {judged} with the preset: a board holds the route to what was packed for it"
            )
        };
        folded(out, &said, 4)
    }
}

/// A preset as `pinfold presets` shows it.
pub(crate) fn write(out: &mut impl Write, preset: &Preset) -> io::Result<()> {
    folded(out, &format!("{}: {}; {STARTING_POINT}", preset.name, preset.about), 2)?;
    for wanted in &preset.figures {
        let figure = wanted.figure;
        folded(out, &format!("  {} = {} ({})", figure.name(), figure.shown(wanted.count), wanted.source), 4)?;
    }
    preset.left_out.iter().try_for_each(|left_out| folded(out, &format!("  not in it: {left_out}"), 4))
}

/// The member of `--json`.
pub(super) fn json(laid: &Laid) -> Value {
    let figures = laid.figures().map(|met| {
        let (figure, wanted) = (met.figure(), met.wanted);
        let count = |count: i32| number(i64::from(count), figure.quantity.digits);
        json!({
            "key": format!("{}.{}", figure.section, figure.key),
            "figure": count(wanted.count),
            "limits": met.had.map(count),
            "tightens": met.tightens(),
            "unit": figure.quantity.unit,
            "source": wanted.source,
        })
    });
    json!({
        "name": laid.preset.name,
        "limits_fingerprint_without": laid.written.to_string(),
        "figures": figures.collect::<Vec<_>>(),
    })
}
