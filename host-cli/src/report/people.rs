//! A verdict for people: the answer first, then what stops the route, the closest places, the cautions.
//!
//! Words carry the meaning; colour only repeats it. Lines fit in 80 columns.

use std::io::{self, Write};

use anstyle::{AnsiColor, Style};
use pinfold_core::verdict::{Cause, Energy, Finding, Measure, Outcome, Rule, Severity, Unit};

use super::{
    Report,
    words::{figure, rule},
};
use crate::text::decimal::written;

/// Width that text is folded to.
const WIDTH: usize = 80;
impl Report<'_> {
    /// Writes the whole report.
    pub(crate) fn write(&self, out: &mut impl Write) -> io::Result<()> {
        self.write_answer(out)?;
        self.write_list(out, "Stops", Severity::Stop)?;
        self.write_where_explained(out)?;
        self.write_closest(out)?;
        self.write_list(out, "Cautions", Severity::Caution)?;
        self.write_end(out)
    }

    /// What ends every report, as a text of its own.
    pub(crate) fn end(&self) -> String {
        let mut end = Vec::new();
        // Memory takes everything.
        let _ = self.write_end(&mut end);
        String::from_utf8_lossy(&end).into_owned()
    }

    fn write_end(&self, out: &mut impl Write) -> io::Result<()> {
        self.write_preset(out)?;
        writeln!(out)?;
        if let Some(source) = self.say_built_in() {
            folded(out, source, 0)?;
        }
        folded(out, &self.say_unchecked(), 0)
    }

    /// Writes what stops the route, and the cautions.
    pub(crate) fn write_findings(&self, out: &mut impl Write) -> io::Result<()> {
        self.write_list(out, "Stops", Severity::Stop)?;
        self.write_list(out, "Cautions", Severity::Caution)
    }

    fn write_answer(&self, out: &mut impl Write) -> io::Result<()> {
        let (word, colour, tail) = match self.verdict.outcome() {
            Outcome::Go => ("GO", AnsiColor::Green, "keeps every limit that is looked at"),
            Outcome::NoGo => ("NO-GO", AnsiColor::Red, "breaks a limit, or can't be decided"),
        };
        let style = Style::new().bold().fg_color(Some(colour.into()));
        writeln!(out, "{style}{word}{style:#}  \"{}\" {tail}", printable(&self.launch.name))?;
        writeln!(out, "limits: \"{}\"", printable(&self.limits.figures().name))?;
        let summary = self.verdict.summary;
        write!(out, "{} steps", summary.steps)?;
        if let Some(length) = summary.length {
            write!(out, ", {} m", written(i64::from(length), 2))?;
        }
        if let Some(duration) = summary.duration {
            let seconds = duration.div_ceil(100);
            write!(out, ", {} min {:02} s", seconds / 60, seconds % 60)?;
        }
        writeln!(out)?;
        if let Some(energy) = self.verdict.energy {
            // To the last digit: rounded up, a need could look larger than what there is on a Go.
            let [needed, usable] = [energy.needed, energy.usable].map(|wh| written(i64::from(wh), 3));
            let reserve = self.limits.figures().battery.reserve;
            let left = match self.left_percent(energy) {
                Some(percent @ 0..) => format!("{percent} % of the pack left"),
                Some(_) => "the pack is empty before touchdown".to_owned(),
                None => "what will be left isn't known".to_owned(),
            };
            writeln!(out, "needs {needed} of {usable} Wh usable; {left}, {} % must be", reserve.get())?;
            self.write_worst(out, energy)?;
        }
        let subject = self.verdict.subject;
        writeln!(out, "route {}   limits {}", subject.route, subject.limits)
    }

    /// Where turning back takes most, and which wind takes most.
    fn write_worst(&self, out: &mut impl Write, energy: Energy) -> io::Result<()> {
        if let Some((finding, measure)) = self.turn_back() {
            let needed = figure(measure.required, measure.unit);
            write!(out, "turning back takes {needed} at most, on step {}", finding.step)?;
            if energy.worst_wind_from.is_none() {
                return writeln!(out);
            }
            write!(out, "; ")?;
        }
        match energy.worst_wind_from {
            Some(from) => writeln!(out, "worst wind from {} degrees", from.get()),
            None => Ok(()),
        }
    }

    fn write_list(&self, out: &mut impl Write, title: &str, severity: Severity) -> io::Result<()> {
        let findings: Vec<&Finding> = self.broken(severity).collect();
        if findings.is_empty() {
            return Ok(());
        }
        heading(out, title)?;
        for finding in findings {
            let step = if finding.step > 0 { format!("step {}, ", finding.step) } else { String::new() };
            folded(out, &format!("  {}: {step}{}", rule(finding.rule), lower_first(&self.say(finding), &step)), 4)?;
            if let Some(place) = finding.place {
                let [lat, lon] =
                    [place.position.latitude.get(), place.position.longitude.get()].map(|d| written(i64::from(d), 7));
                writeln!(out, "    at {lat}, {lon}, {} m above launch", written(i64::from(place.height), 2))?;
            }
        }
        Ok(())
    }

    /// Where there is more to read about the rules that stop the route.
    fn write_where_explained(&self, out: &mut impl Write) -> io::Result<()> {
        let mut rules: Vec<Rule> = self.broken(Severity::Stop).map(|finding| finding.rule).collect();
        rules.dedup();
        match rules[..] {
            [] => Ok(()),
            [one] => writeln!(out, "  `pinfold rules {}` explains it.", rule(one)),
            [first, ..] => writeln!(out, "  `pinfold rules {}` and the like explain them.", rule(first)),
        }
    }

    fn write_closest(&self, out: &mut impl Write) -> io::Result<()> {
        let closest: Vec<(&Finding, Measure)> =
            self.closest().filter_map(|finding| finding.measure.map(|measure| (finding, measure))).collect();
        if closest.is_empty() {
            return Ok(());
        }
        heading(out, "Closest")?;
        writeln!(out, "  {:<12}{:>5}{:>12}{:>12}{:>14}    zone", "rule", "step", "has", "needs", "to spare")?;
        for (finding, measure) in &closest {
            writeln!(out, "{}", cut(self.closest_line(finding, *measure).trim_end()))?;
        }
        if closest.iter().any(|(_, measure)| measure.unit == Unit::MetresVertical) {
            writeln!(out, "  v: vertical")?;
        }
        Ok(())
    }

    fn closest_line(&self, finding: &Finding, measure: Measure) -> String {
        let step = if finding.step > 0 { finding.step.to_string() } else { "-".to_owned() };
        let [has, needs] = [measure.clearance, measure.required]
            .map(|counts| if is_headroom(finding) { "-".to_owned() } else { figure(counts, measure.unit) });
        let spare = figure(measure.spare(), measure.unit);
        let mark = if measure.unit == Unit::MetresVertical { "v" } else { "" };
        let (name, zone) = (rule(finding.rule), printable(self.zone(finding).unwrap_or("")));
        format!("  {name:<12}{step:>5}{has:>12}{needs:>12}{spare:>14} {mark:<1}  {zone}")
    }
}

/// Whether a finding is of the form "at most", and has nothing but what is left up to that.
pub(crate) const fn is_headroom(finding: &Finding) -> bool {
    match finding.rule {
        Rule::KeepIn
        | Rule::KeepOut
        | Rule::People
        | Rule::Ceiling
        | Rule::Floor
        | Rule::Ground
        | Rule::Reserve
        | Rule::TurnBack
        | Rule::Pack
        | Rule::ReturnPath => matches!(finding.cause, Cause::PowerTableEnds),
        Rule::Form
        | Rule::Sequence
        | Rule::Extent
        | Rule::Speed
        | Rule::ClimbRate
        | Rule::DescentRate
        | Rule::Landing
        | Rule::Wind
        | Rule::Link
        | Rule::Sight
        | Rule::Launch
        | Rule::Stray
        | Rule::Repeat
        | Rule::OddHeight => true,
    }
}

pub(crate) fn heading(out: &mut impl Write, title: &str) -> io::Result<()> {
    let style = Style::new().bold();
    writeln!(out, "\n{style}{title}{style:#}")
}

/// A name without anything that could move a terminal's cursor or turn text round.
pub(crate) fn printable(name: &str) -> String {
    name.chars().map(|c| if c.is_control() || is_direction(c) { '\u{fffd}' } else { c }).collect()
}

/// Characters that change the direction of the text after them, or show nothing.
const fn is_direction(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// A sentence that follows "step 3, " goes on in lower case.
pub(crate) fn lower_first(sentence: &str, before: &str) -> String {
    let mut characters = sentence.chars();
    match characters.next() {
        Some(first) if !before.is_empty() => first.to_lowercase().chain(characters).collect(),
        Some(_) | None => sentence.to_owned(),
    }
}

/// At most a line's width.
fn cut(line: &str) -> String {
    if line.chars().count() <= WIDTH {
        return line.to_owned();
    }
    line.chars().take(WIDTH - 1).chain(['…']).collect()
}

/// Writes a text in lines of at most [`WIDTH`], the later ones indented.
pub(crate) fn folded(out: &mut impl Write, text: &str, indent: usize) -> io::Result<()> {
    let text = printable(text);
    let begin = text.len() - text.trim_start().len();
    let (mut line, mut first) = (" ".repeat(begin), true);
    for word in text.split_whitespace() {
        if !first && line.chars().count() + 1 + word.chars().count() > WIDTH {
            writeln!(out, "{line}")?;
            line = " ".repeat(indent);
            first = true;
        }
        if !first {
            line.push(' ');
        }
        line.push_str(word);
        first = false;
    }
    writeln!(out, "{line}")
}
