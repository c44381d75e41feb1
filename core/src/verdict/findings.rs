//! All that the rules found: the tightest place by each.

use super::{FINDINGS, Finding, RULE_COUNT, Rule, Severity};
use crate::model::zone::ZONES;

/// The tightest place by every rule, and by every zone for rules about zones.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Findings {
    slots: [Option<Finding>; FINDINGS],
}

impl Findings {
    pub(crate) const EMPTY: Self = Self { slots: [None; FINDINGS] };

    /// Takes in a finding; the worst of a rule and zone stays.
    pub(crate) fn add(&mut self, finding: Finding) {
        if let Some(slot) = self.slots.get_mut(slot(finding.rule, finding.zone))
            && slot.as_ref().is_none_or(|old| finding.is_worse_than(old))
        {
            *slot = Some(finding);
        }
    }

    /// Takes in a finding where there is one.
    pub(crate) fn add_some(&mut self, finding: Option<Finding>) {
        if let Some(finding) = finding {
            self.add(finding);
        }
    }

    /// What is to spare by a rule and zone so far, 0.01 m: only less is news. More than anything where nothing was found yet.
    pub(crate) fn spare(&self, rule: Rule, zone: Option<u8>) -> i64 {
        let found = self.slots.get(slot(rule, zone)).and_then(Option::as_ref);
        found.map_or(i64::MAX, |finding| i64::from(finding.spare()))
    }

    /// Forgets all.
    pub(crate) fn clear(&mut self) {
        *self = Self::EMPTY;
    }

    /// All of them: first those of rules in the rules' order, then those of zones in the zones' order.
    pub fn iter(&self) -> impl Iterator<Item = &Finding> {
        self.slots.iter().flatten()
    }

    /// The stops and cautions.
    pub fn broken(&self) -> impl Iterator<Item = (Severity, &Finding)> {
        self.iter().filter_map(|finding| finding.severity().map(|severity| (severity, finding)))
    }
}

/// Where the finding of a rule and zone is kept.
const fn slot(rule: Rule, zone: Option<u8>) -> usize {
    match (rule, zone) {
        (Rule::KeepIn | Rule::KeepOut | Rule::People, Some(zone)) => RULE_COUNT.saturating_add(zone as usize),
        (Rule::ReturnPath, Some(zone)) => RULE_COUNT.saturating_add(ZONES).saturating_add(zone as usize),
        _ => rule as usize,
    }
}
