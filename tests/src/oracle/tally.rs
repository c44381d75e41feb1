//! What comparisons find, and how many there were.

use std::collections::BTreeMap;

use pinfold_core::verdict::Rule;

/// In which direction a verdict is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// It promises more than is there.
    Unsound,
    /// It gives away more than rounding explains.
    Loose,
    /// It refuses what is clear.
    Needless,
}

/// A place where a verdict and the oracle disagree.
#[derive(Clone, Debug)]
pub struct Disagreement {
    /// In which direction.
    pub fault: Fault,
    /// About which rule.
    pub rule: Rule,
    /// With what numbers.
    pub say: String,
}

/// How often what was compared.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    counts: BTreeMap<String, u64>,
}

impl Tally {
    /// Counts one more.
    pub fn count(&mut self, what: &str) {
        *self.counts.entry(what.to_owned()).or_default() += 1;
    }

    /// How many there were.
    #[must_use]
    pub fn of(&self, what: &str) -> u64 {
        self.counts.get(what).copied().unwrap_or(0)
    }

    /// One line for each.
    #[must_use]
    pub fn report(&self) -> String {
        self.counts.iter().map(|(what, count)| format!("{count:>8} {what}\n")).collect()
    }
}
