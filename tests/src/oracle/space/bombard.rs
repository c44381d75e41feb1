//! Many cases on all processors, and a table of what they came to.

use std::{
    collections::BTreeMap,
    fmt::Write,
    sync::{
        Mutex,
        atomic::{AtomicU64, Ordering},
    },
    thread,
};

use super::{decision::Decision, dice::Dice, scene::Scene};
use crate::{oracle::tally::Fault, sample::judge_here};

/// What was found about one rule.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// Decisions compared.
    pub decisions: u64,
    /// How many of them were about obstacles within 10 cm of what is demanded.
    pub close: u64,
    /// By fault.
    pub faults: BTreeMap<Fault, u64>,
    /// How much less than what is there was reported, at most, where that is up to 50 m and no line longer than 500 m: metres
    /// beyond the thousandth, and the tenth of how far the readings are apart, that may be lost.
    pub looseness: f64,
}

/// What a campaign found.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// By rule.
    pub rows: BTreeMap<String, Row>,
    /// Cases whose zones were no polygons, or whose limits contradict themselves.
    pub unusable: u64,
    /// A case for each rule and fault.
    pub examples: BTreeMap<(String, Fault), String>,
}

impl Report {
    /// All decisions.
    #[must_use]
    pub fn decisions(&self) -> u64 {
        self.rows.values().map(|row| row.decisions).sum()
    }

    /// How often there was a fault.
    #[must_use]
    pub fn of(&self, fault: Fault) -> u64 {
        self.rows.values().filter_map(|row| row.faults.get(&fault)).sum()
    }

    fn take(&mut self, case: u64, scene: &Scene, decision: &Decision) {
        let name = format!("{:?}", decision.rule);
        let row = self.rows.entry(name.clone()).or_default();
        row.decisions += 1;
        row.close += u64::from(decision.most.abs() < 0.1);
        if decision.length <= 500.0 && (0.0..50.0).contains(&decision.fair) {
            row.looseness = row.looseness.max(decision.reported.map_or(0.0, |reported| decision.fair - reported));
        }
        for fault in &decision.faults {
            *row.faults.entry(*fault).or_default() += 1;
            self.examples
                .entry((name.clone(), *fault))
                .or_insert_with(|| format!("case {case}, zone {:?}: {}{scene:?}", decision.zone, decision.say));
        }
    }

    /// A line for each rule.
    #[must_use]
    pub fn table(&self) -> String {
        let mut text = format!(
            "{:<12} {:>9} {:>9} {:>7} {:>7} {:>8} {:>12}\n",
            "rule", "decisions", "in 10 cm", "unsafe", "loose", "needless", "largest loss"
        );
        for (rule, row) in &self.rows {
            let of = |fault: Fault| row.faults.get(&fault).copied().unwrap_or(0);
            let (unsound, loose, needless) = (of(Fault::Unsound), of(Fault::Loose), of(Fault::Needless));
            let _ = writeln!(
                text,
                "{rule:<12} {:>9} {:>9} {unsound:>7} {loose:>7} {needless:>8} {:>10.4} m",
                row.decisions, row.close, row.looseness
            );
        }
        text
    }
}

/// Runs cases until that many decisions have been compared.
///
/// # Panics
/// A thread did.
#[must_use]
pub fn bombard(seed: u64, decisions: u64, threads: usize) -> Report {
    let (next, done, report) = (AtomicU64::new(0), AtomicU64::new(0), Mutex::new(Report::default()));
    let work = || {
        while done.load(Ordering::Relaxed) < decisions {
            let case = next.fetch_add(1, Ordering::Relaxed);
            let (scene, found) = run(seed, case);
            let mut report = report.lock().expect("no thread panics");
            match found {
                None => report.unusable += 1,
                Some(found) => {
                    done.fetch_add(found.len() as u64, Ordering::Relaxed);
                    found.iter().for_each(|decision| report.take(case, &scene, decision));
                }
            }
        }
    };
    thread::scope(|scope| (0..threads).for_each(|_| drop(scope.spawn(work))));
    report.into_inner().expect("no thread panics")
}

/// One case.
#[must_use]
pub fn run(seed: u64, case: u64) -> (Scene, Option<Vec<Decision>>) {
    let scene = Scene::new(&mut Dice::of(seed, case));
    let found = hold(&scene);
    (scene, found)
}

/// What is decided about a scene.
#[must_use]
pub fn hold(scene: &Scene) -> Option<Vec<Decision>> {
    let store = scene.store().ok()?;
    let limits = store.limits()?;
    let verdict = judge_here(&store, scene.launch.clone(), scene.here, &scene.steps);
    // Where there is nothing to judge, no rule about space is asked.
    let unheld = |rule| crate::sample::found(&verdict, rule, None).is_some_and(|finding| finding.severity().is_some());
    if unheld(pinfold_core::verdict::Rule::Extent) || unheld(pinfold_core::verdict::Rule::Sequence) {
        return None;
    }
    Some(scene.judge().decisions(limits, scene.here, &verdict))
}
