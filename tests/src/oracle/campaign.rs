//! Many cases, each compared in both directions; what disagrees is counted by kind and made small.

use std::collections::{BTreeMap, BTreeSet};

use pinfold_core::{
    model::limits::Margins,
    verdict::{Outcome, Rule},
};
use proptest::{
    strategy::{Strategy, ValueTree},
    test_runner::{Config, RngAlgorithm, TestRng, TestRunner},
};

use super::{
    compare::disagreements,
    course::Home,
    distance::apart,
    flight::{Piece, home, pieces},
    generate::Case,
    tally::{Disagreement, Fault, Tally},
    zones::{Zone, zones},
};
use crate::sample::{judge, length};

/// Most attempts at making a case smaller.
const ATTEMPTS: u32 = 500;

/// A direction and a rule.
type Kind = (Fault, Rule);

/// What a campaign found.
#[derive(Debug)]
pub struct Findings {
    /// How often what was compared.
    pub tally: Tally,
    /// A paragraph for each kind of disagreement: how often, and a small case of it.
    pub wrong: Vec<String>,
}

/// Runs cases from a seed.
///
/// # Panics
/// The strategy gives no value.
#[must_use]
pub fn campaign(strategy: &impl Strategy<Value = Case>, cases: u32, seed: u8) -> Findings {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]);
    let mut runner = TestRunner::new_with_rng(Config { failure_persistence: None, ..Config::default() }, rng);
    let (mut tally, mut wrong) = (Tally::default(), BTreeMap::<Kind, (u32, String)>::new());
    for _ in 0..cases {
        let tree = strategy.new_tree(&mut runner).expect("a case");
        let found = compare(&tree.current(), &mut tally);
        let mut kinds: BTreeSet<Kind> = found.iter().map(|one| (one.fault, one.rule)).collect();
        for kind in &kinds {
            wrong.entry(*kind).or_default().0 += 1;
        }
        kinds.retain(|kind| wrong[kind].1.is_empty());
        if let Some(kind) = kinds.first() {
            wrong.entry(*kind).or_default().1 = smallest(tree, *kind);
        }
    }
    let say = |((fault, rule), (count, case)): (&Kind, &(u32, String))| {
        format!("{fault:?} {rule:?}: {count} cases, such as\n{case}")
    };
    Findings { tally, wrong: wrong.iter().map(say).collect() }
}

/// The smallest case found that shows a kind of disagreement.
fn smallest(mut tree: impl ValueTree<Value = Case>, kind: Kind) -> String {
    let shows =
        |case: &Case| compare(case, &mut Tally::default()).into_iter().find(|one| (one.fault, one.rule) == kind);
    let mut say = String::new();
    for _ in 0..ATTEMPTS {
        let case = tree.current();
        let more = match shows(&case) {
            Some(one) => {
                say = format!("{}\n{:?}", one.say, tuned(&case));
                tree.simplify()
            }
            None => tree.complicate(),
        };
        if !more {
            break;
        }
    }
    say
}

/// Judges a case and compares.
///
/// # Panics
/// Never: limits that were sealed are lent out.
pub fn compare(case: &Case, tally: &mut Tally) -> Vec<Disagreement> {
    let Some((case, store)) = tuned(case).and_then(|case| case.store().ok().map(|store| (case, store))) else {
        tally.count("zones that are no polygons");
        return Vec::new();
    };
    let verdict = judge(&store, case.launch.clone(), &case.steps);
    tally.count(if verdict.outcome() == Outcome::Go { "Go" } else { "No-go" });
    disagreements(store.limits().expect("sealed limits"), &case.launch, &case.steps, &verdict, tally)
}

/// The case with its fixed margin brought to the tightest distance from the zone that it names, give or take what it says; to be
/// kept, less what may be lost of that distance and of how far the readings are apart. None if its zones are no polygons.
#[must_use]
pub fn tuned(case: &Case) -> Option<Case> {
    let mut tuned = case.clone();
    let Some((number, beside)) = case.tune else { return Some(tuned) };
    let upright = number >= case.zones.len() && case.zones[number % case.zones.len()].1.is_some();
    let figure = |case: &mut Case, meters: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "clamped to what a length can be")]
        let figure = length((meters * 100.0).clamp(0.0, 9e6) as i32);
        let margins = &mut case.figures.margins;
        if upright { margins.up_fixed = figure } else { margins.fixed = figure }
    };
    figure(&mut tuned, 0.0);
    let store = tuned.store().ok()?;
    let home = home(&case.launch);
    let zones = zones(store.limits()?, &case.launch, home);
    let zone = &zones[number % zones.len()];
    let least = pieces(&tuned.figures, &case.launch, &case.steps)
        .iter()
        .map(|piece| spare(zone, &tuned.figures.margins, home, piece, beside < 0 && !upright))
        .fold(f64::INFINITY, f64::min);
    let lost = if beside < 0 { 0.001 * least } else { 0.0 };
    figure(&mut tuned, least - lost + f64::from(beside) / 100.0);
    Some(tuned)
}

fn spare(zone: &Zone, margins: &Margins, home: Home, piece: &Piece, ease: bool) -> f64 {
    let gap = || zone.gap(margins, home, piece);
    let spare = zone
        .spare(margins, home, piece)
        .map_or_else(|| gap().meters - gap().margin.0 - gap().apart.from_degrees, |spare| spare.worst);
    if ease { spare - 0.1 * apart(home, piece.from, piece.to).sideways } else { spare }
}
