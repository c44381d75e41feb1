//! Where two verdicts on the same route differ, which they must not.

use std::fmt::Display;

use pinfold_core::verdict::{Energy, Finding, Verdict};

use crate::report::words::rule;

/// The first difference between the verdict made here and the board's.
pub(crate) fn first(here: &Verdict, board: &Verdict) -> Option<String> {
    let route = || named("the route", here.subject.route, board.subject.route);
    let limits = || named("the limits", here.subject.limits, board.subject.limits);
    let summary = || {
        let (here, board) = (here.summary, board.summary);
        named("the number of steps", here.steps, board.steps)
            .or_else(|| named_if("the length in 0.01 m", here.length, board.length))
            .or_else(|| named_if("the time in 0.01 s", here.duration, board.duration))
    };
    route().or_else(limits).or_else(summary).or_else(|| energy(here.energy, board.energy)).or_else(|| {
        let mut boards = board.findings.iter();
        let found = here.findings.iter().find_map(|ours| finding(Some(ours), boards.next()));
        found.or_else(|| finding(None, boards.next()))
    })
}

/// A difference of one thing.
fn named<T: PartialEq + Display>(what: &str, here: T, board: T) -> Option<String> {
    (here != board).then(|| format!("{what}: {here} here, {board} on the board"))
}

/// The same of what may be missing.
fn named_if<T: PartialEq + Display>(what: &str, here: Option<T>, board: Option<T>) -> Option<String> {
    let shown = |value: &Option<T>| value.as_ref().map_or_else(|| "none".to_owned(), ToString::to_string);
    (here != board).then(|| format!("{what}: {} here, {} on the board", shown(&here), shown(&board)))
}

fn energy(here: Option<Energy>, board: Option<Energy>) -> Option<String> {
    let differs = |what, of: fn(Energy) -> Option<i64>| named_if(what, here.and_then(of), board.and_then(of));
    differs("the charge needed in 0.001 Wh", |energy| Some(energy.needed.into()))
        .or_else(|| differs("the charge usable in 0.001 Wh", |energy| Some(energy.usable.into())))
        .or_else(|| differs("the charge held in 0.001 Wh", |energy| Some(energy.held.into())))
        .or_else(|| {
            differs("the worst wind's direction", |energy| energy.worst_wind_from.map(|from| from.get().into()))
        })
}

fn finding(here: Option<&Finding>, board: Option<&Finding>) -> Option<String> {
    let shown = |finding: &Finding| format!("{finding:?}");
    let of = rule(here.or(board)?.rule);
    named_if(&format!("a finding of {of}"), here.map(shown), board.map(shown))
}

#[cfg(test)]
mod tests {
    use pinfold_core::verdict::Energy;
    use pinfold_tests::{
        board::sample::{meadow, start, steps},
        sample::judge,
    };

    use super::*;

    fn verdict(height: i32) -> Verdict {
        let store = meadow(5_000, Default::default());
        judge(&store, start(), &steps(height))
    }

    #[test]
    fn the_same_verdict_has_no_difference() {
        assert_eq!(first(&verdict(2_000), &verdict(2_000)), None);
    }

    #[test]
    fn the_first_difference_is_named_with_both_values() {
        let here = verdict(2_000);
        let energy = here.energy.map(|energy| Energy { needed: energy.needed + 1, ..energy });
        let difference = first(&here, &Verdict { energy, ..here.clone() }).expect("one");
        let needed = here.energy.expect("a flight").needed;
        assert_eq!(difference, format!("the charge needed in 0.001 Wh: {needed} here, {} on the board", needed + 1));
        let mut summary = here.summary;
        summary.steps += 1;
        let difference = first(&here, &Verdict { summary, energy, ..here.clone() }).expect("one");
        assert_eq!(difference, "the number of steps: 3 here, 4 on the board");
    }

    #[test]
    fn another_finding_is_named_from_either_side() {
        let here = verdict(2_000);
        let none = judge(&meadow(5_000, Default::default()), start(), &[]);
        let other = Verdict { findings: none.findings, ..here.clone() };
        for (one, two, rule) in [(&here, &other, "extent"), (&other, &here, "sequence")] {
            let difference = first(one, two).expect("one");
            assert!(difference.starts_with(&format!("a finding of {rule}: ")), "{difference}");
        }
    }

    #[test]
    fn a_finding_more_is_a_difference() {
        let here = verdict(2_000);
        let higher = Verdict { findings: verdict(6_000).findings, ..here.clone() };
        assert!(first(&here, &higher).is_some() && first(&higher, &here).is_some());
    }
}
