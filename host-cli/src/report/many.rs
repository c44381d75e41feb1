//! Verdicts on many routes: a line for each, and how many there are of each kind.

use std::{
    io::{self, Write},
    path::Path,
};

use anstyle::{AnsiColor, Style};
use pinfold_core::verdict::{Finding, Measure, Outcome, Severity, Unit};
use serde_json::{Value, json};

use super::{
    Report,
    people::{folded, printable},
    words::{figure, rule},
};
use crate::problem::Problem;

/// What is said of one route.
pub(crate) struct Entry {
    file: String,
    answer: Answer,
    fingerprint: String,
    /// What is to spare where that is least, and by which rule.
    tightest: Option<(String, &'static str)>,
    /// Why it is no Go.
    why: Option<String>,
    /// What was made of the route's heights.
    pub(crate) notes: Vec<String>,
    /// The same object as that of `check`, and the file.
    pub(crate) json: Value,
}

/// What came of a route.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Answer {
    Go,
    NoGo,
    Unusable,
}

impl Answer {
    const fn word(self) -> &'static str {
        match self {
            Self::Go => "GO",
            Self::NoGo => "NO-GO",
            Self::Unusable => "UNUSABLE",
        }
    }

    const fn colour(self) -> AnsiColor {
        match self {
            Self::Go => AnsiColor::Green,
            Self::NoGo => AnsiColor::Red,
            Self::Unusable => AnsiColor::Yellow,
        }
    }
}

impl Entry {
    /// Of a route that was checked.
    pub(crate) fn judged(file: &Path, report: &Report<'_>) -> Self {
        let go = report.verdict.outcome() == Outcome::Go;
        Self {
            file: printable(&file.display().to_string()),
            answer: if go { Answer::Go } else { Answer::NoGo },
            fingerprint: report.verdict.subject.route.to_string(),
            tightest: report
                .tightest()
                .map(|(finding, measure)| (figure(measure.spare(), measure.unit), rule(finding.rule))),
            why: report.broken(Severity::Stop).next().map(|stop| report.stop(stop)),
            notes: Vec::new(),
            json: with_file(file, report.json()),
        }
    }

    /// Of a route that can't be used.
    pub(crate) fn unusable(file: &Path, problem: &Problem) -> Self {
        Self {
            file: printable(&file.display().to_string()),
            answer: Answer::Unusable,
            fingerprint: "-".to_owned(),
            tightest: None,
            why: Some(problem.in_a_line()),
            notes: Vec::new(),
            json: with_file(file, problem.json()),
        }
    }

    /// Verdict, fingerprint, what is to spare, file; below them why it is no Go.
    fn write(&self, out: &mut impl Write) -> io::Result<()> {
        let style = Style::new().bold().fg_color(Some(self.answer.colour().into()));
        let (spare, rule) = self.tightest.as_ref().map_or(("-", ""), |(spare, rule)| (spare, rule));
        let begin = format!("{:<9}{spare:>12} {rule:<12}", self.fingerprint);
        // A name that doesn't fit stands in a line of its own.
        let (begin, between) =
            if self.file.chars().count() > ROOM { (begin.trim_end(), "\n  ") } else { (begin.as_str(), " ") };
        writeln!(out, "{style}{:<8}{style:#}  {begin}{between}{}", self.answer.word(), self.file)?;
        self.why.as_ref().map_or(Ok(()), |why| folded(out, &format!("  {why}"), 4))
    }
}

/// Columns that are left for the name of a file.
const ROOM: usize = 80 - (8 + 2 + 9 + 12 + 1 + 12 + 1);

fn with_file(file: &Path, object: Value) -> Value {
    let mut with_file = json!({ "file": file.display().to_string() });
    if let (Value::Object(all), Value::Object(object)) = (&mut with_file, object) {
        all.extend(object);
    }
    with_file
}

/// How many routes there are of each kind.
pub(crate) struct Counts {
    pub(crate) go: usize,
    pub(crate) no_go: usize,
    pub(crate) unusable: usize,
}

impl Counts {
    pub(crate) fn of(entries: &[Entry]) -> Self {
        let count = |answer| entries.iter().filter(|entry| entry.answer == answer).count();
        Self { go: count(Answer::Go), no_go: count(Answer::NoGo), unusable: count(Answer::Unusable) }
    }

    /// Writes all entries and their numbers.
    pub(crate) fn write(&self, out: &mut impl Write, entries: &[Entry]) -> io::Result<()> {
        writeln!(out, "{:<8}  {:<9}{:>12} {:<12} file", "verdict", "route", "to spare", "by")?;
        entries.iter().try_for_each(|entry| entry.write(out))?;
        let Self { go, no_go, unusable } = self;
        writeln!(out, "\n{} routes: {go} Go, {no_go} No-go, {unusable} unusable", entries.len())
    }
}

impl Report<'_> {
    /// The distance with the least to spare; of other figures, which can't be compared with it, none.
    fn tightest(&self) -> Option<(&Finding, Measure)> {
        let distances = self.verdict.findings.iter().filter_map(|finding| {
            let stops = finding.severity_if_broken() == Severity::Stop;
            let measure = finding.measure.filter(|measure| stops && is_distance(measure.unit))?;
            Some((finding, measure))
        });
        distances.min_by_key(|(_, measure)| measure.spare())
    }

    /// What a stop is about, in a few words.
    fn stop(&self, finding: &Finding) -> String {
        let step = (finding.step > 0).then(|| format!(", step {}", finding.step));
        let zone = self.zone(finding).map(|zone| format!(", \"{}\"", printable(zone)));
        let missing = finding.measure.map(|measure| {
            let unit = if measure.unit == Unit::MetresVertical { " of height" } else { "" };
            format!(": {}{unit} missing", super::words::shortfall(measure))
        });
        let what = missing.unwrap_or_else(|| format!(": {}", self.say(finding)));
        format!("{}{}{}{what}", rule(finding.rule), step.unwrap_or_default(), zone.unwrap_or_default())
    }
}

const fn is_distance(unit: Unit) -> bool {
    match unit {
        Unit::Metres | Unit::MetresVertical => true,
        Unit::MetresPerSecond | Unit::WattHours | Unit::Seconds => false,
    }
}
