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

use pinfold_core::verdict::Rule;

use super::{
    back::Effort,
    claims::{Claims, claims},
    judge::Truth,
    scene::Scene,
};
use crate::{
    oracle::{space::dice::Dice, tally::Fault},
    sample::{found, judge_with},
};

/// What a campaign found.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// Cases compared.
    pub cases: u64,
    /// Cases that couldn't be.
    pub unusable: u64,
    /// How often what happened.
    pub counts: BTreeMap<&'static str, u64>,
    /// The largest of each ratio, and its case.
    pub ratios: BTreeMap<&'static str, (f64, u64)>,
    /// How often, and a case, for each rule and fault.
    pub faults: BTreeMap<(Rule, Fault), (u64, String)>,
}

impl Report {
    /// How often there was a fault.
    #[must_use]
    pub fn of(&self, fault: Fault) -> u64 {
        self.faults.iter().filter(|(kind, _)| kind.1 == fault).map(|(_, found)| found.0).sum()
    }

    /// How often something happened.
    #[must_use]
    pub fn count(&self, what: &str) -> u64 {
        self.counts.get(what).copied().unwrap_or(0)
    }

    fn take(&mut self, case: u64, scene: &Scene, claims: Claims) {
        self.cases += 1;
        for (what, count) in claims.counts {
            *self.counts.entry(what).or_default() += count;
        }
        for (what, ratio) in claims.ratios {
            let most = self.ratios.entry(what).or_insert((f64::NEG_INFINITY, 0));
            if ratio > most.0 {
                *most = (ratio, case);
            }
        }
        for one in claims.wrong {
            let fault = self.faults.entry((one.rule, one.fault)).or_default();
            fault.0 += 1;
            if fault.1.is_empty() {
                fault.1 = format!("case {case}: {}\n{scene:?}", one.say);
            }
        }
    }

    /// Lines for a person.
    #[must_use]
    pub fn table(&self) -> String {
        let mut text = format!("{} cases, {} unusable\n", self.cases, self.unusable);
        for (what, count) in &self.counts {
            let _ = writeln!(text, "{count:>10} {what}");
        }
        for (what, (ratio, case)) in &self.ratios {
            let _ = writeln!(text, "{ratio:>10.4} at most: {what} (case {case})");
        }
        for ((rule, fault), (count, example)) in &self.faults {
            let _ = writeln!(text, "{count:>10} {fault:?} {rule:?}, such as {example}");
        }
        text
    }
}

/// Runs so many cases.
///
/// # Panics
/// A thread did.
#[must_use]
pub fn bombard(seed: u64, cases: u64, threads: usize) -> Report {
    let (next, report) = (AtomicU64::new(0), Mutex::new(Report::default()));
    let work = || loop {
        let case = next.fetch_add(1, Ordering::Relaxed);
        if case >= cases {
            break;
        }
        let (scene, found) = run(seed, case);
        let mut report = report.lock().expect("no thread panics");
        match found {
            None => report.unusable += 1,
            Some(claims) => report.take(case, &scene, claims),
        }
    };
    thread::scope(|scope| (0..threads).for_each(|_| drop(scope.spawn(work))));
    report.into_inner().expect("no thread panics")
}

/// One case.
#[must_use]
pub fn run(seed: u64, case: u64) -> (Scene, Option<Claims>) {
    let scene = Scene::new(&mut Dice::of(seed, case));
    let found = hold(&scene);
    (scene, found)
}

/// Holds the verdict on a scene to what is true; `None` where there is nothing to judge.
#[must_use]
pub fn hold(scene: &Scene) -> Option<Claims> {
    let store = scene.store().ok()?;
    let verdict = judge_with(&store, scene.launch.clone(), scene.readings, &scene.steps);
    let barred = |rule| found(&verdict, rule, None).is_some_and(|finding| finding.severity().is_some());
    if barred(Rule::Extent) || barred(Rule::Sequence) {
        return None;
    }
    let truth = Truth::of(&scene.case(), Effort::QUICK)?;
    Some(claims(&scene.case(), truth, &verdict))
}
