//! A verdict for people and for programs.

pub(crate) mod bytes;
mod charge;
mod homeward;
pub(crate) mod json;
pub(crate) mod many;
#[cfg(test)]
mod of_a_board;
pub(crate) mod people;
pub(crate) mod preset;
mod sentence;
mod unchecked;
mod undecided;
pub(crate) mod words;

use std::cmp::Reverse;

use pinfold_core::{
    model::{route::Launch, store::Limits},
    rules::Readings,
    verdict::{Finding, Measure, Rule, Severity, Verdict},
};

use crate::preset::Laid;

/// Everything that a report is about.
pub(crate) struct Report<'a> {
    pub(crate) verdict: &'a Verdict,
    pub(crate) limits: Limits<'a>,
    pub(crate) launch: &'a Launch,
    /// What is known at the field.
    pub(crate) readings: Readings,
    /// The preset that the limits were tightened by, if any.
    pub(crate) preset: Option<&'a Laid>,
}

impl<'a> Report<'a> {
    /// Where a turn-back takes most, and what it takes.
    pub(crate) fn turn_back(&self) -> Option<(&'a Finding, Measure)> {
        let finding = self.verdict.findings.iter().find(|finding| finding.rule == Rule::TurnBack)?;
        Some((finding, finding.measure?))
    }

    /// The name of the zone that a finding is about.
    pub(crate) fn zone(&self, finding: &Finding) -> Option<&'a str> {
        let index = finding.zone?;
        self.limits.zones().find(|(number, _)| *number == index).map(|(_, zone)| zone.name.as_str())
    }

    /// The findings, one a rule and zone name: of the parts of a zone the worst stands for all.
    fn findings(&self) -> Vec<&'a Finding> {
        let mut all: Vec<&Finding> = self.verdict.findings.iter().collect();
        all.sort_by_key(|finding| {
            let spare = finding.measure.map_or(i32::MIN, |measure| measure.spare());
            (Reverse(finding.severity()), spare)
        });
        let mut kept: Vec<&Finding> = Vec::new();
        for finding in all {
            let same = |other: &&Finding| other.rule == finding.rule && self.zone(other) == self.zone(finding);
            if !kept.iter().any(same) {
                kept.push(finding);
            }
        }
        kept.sort_by_key(|finding| (finding.rule, finding.zone));
        kept
    }

    /// The stops, or the cautions.
    pub(crate) fn broken(&self, severity: Severity) -> impl Iterator<Item = &'a Finding> {
        self.findings().into_iter().filter(move |finding| finding.severity() == Some(severity))
    }

    /// What has a figure: the tightest place by every rule and zone.
    pub(crate) fn closest(&self) -> impl Iterator<Item = &'a Finding> {
        self.findings().into_iter().filter(|finding| finding.measure.is_some())
    }
}
