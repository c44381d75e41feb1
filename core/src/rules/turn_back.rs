//! `turn-back`: at every point of the path the charge that is left brings the aircraft home with the reserve.
//!
//! A return can start anywhere on a climb, a leg, a hold or a landing. Why looking at both ends of parts of a leg is enough,
//! and what the bound costs: see [`super::energy`].

use super::{
    Scene,
    energy::{
        charge::usable_floor,
        effort::microjoules,
        homeward::{Begin, Stretch, WaysHome},
        watt_hours_ceil,
    },
    journey::Journey,
    leg::Leg,
};
use crate::{
    arithmetic::{clamp_i32, clamp_i64},
    model::path::Motion,
    verdict::{Cause, Finding, Findings, Measure, Rule, Unit},
};

/// Whether returns can start on a leg: on all but those of a return.
pub(crate) const fn starts(journey: &Journey, motion: Motion) -> bool {
    match motion {
        Motion::Aloft | Motion::Climb | Motion::Fly | Motion::Hold | Motion::Descent => !journey.returning,
        Motion::Rise | Motion::WayHome => false,
    }
}

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    if !starts(scene.journey, leg.piece.motion) {
        return;
    }
    let ways = WaysHome::new(scene.figures(), &scene.around.frame, leg);
    let usable = clamp_i32(clamp_i64(usable_floor(scene.figures(), scene.readings)));
    for stretch in ways.stretches() {
        // Only more than is known to be needed is news.
        let known = i64::from(usable).saturating_sub(findings.spare(Rule::TurnBack, None));
        if at_most(scene, &ways, &stretch).is_some_and(|most| i64::from(watt_hours_ceil(most)) <= known) {
            continue;
        }
        let Some(needs) = needs(scene, &ways, &stretch) else { return findings.add_some(undecided(scene, leg)) };
        for (begin, need) in stretch.ends.iter().zip(needs) {
            let measure = Measure { clearance: usable, required: watt_hours_ceil(need), unit: Unit::WattHours };
            let place = leg.place(&scene.around.frame, begin.part);
            findings.add(Finding::measured(Rule::TurnBack, leg.step, measure).at(place));
        }
    }
}

/// Where what was flown so far is known, but not the way home: the power table ends before the airspeeds that it may need.
fn undecided(scene: &Scene<'_>, leg: &Leg) -> Option<Finding> {
    let flown = scene.journey.used.is_some() && scene.effort.powers.is_some();
    flown.then(|| Finding::of(Rule::TurnBack, leg.step, Cause::PowerTableEnds))
}

/// What is surely enough for a flight that turns back on a stretch, µJ: as if the winds that are worst for each part of it came
/// together.
fn at_most(scene: &Scene<'_>, ways: &WaysHome<'_>, stretch: &Stretch) -> Option<i64> {
    let used = scene.journey.used.as_ref()?.iter().max()?;
    let (flying, home) = (scene.effort.powers.as_ref()?.iter().max()?, ways.power_anyhow()?);
    let time = scene.effort.time?;
    let more = |begin: &Begin| {
        let (before, back) = begin_times(ways, begin, time);
        let moving = microjoules(*flying, before).saturating_add(microjoules(home, back));
        Some(moving.saturating_add(ways.upright_ceil(begin)?))
    };
    let [start, end] = &stretch.ends;
    Some(used.saturating_add(more(start)?.max(more(end)?)))
}

/// What a flight that turns back takes in all, from both ends of a stretch and in the worst sector, µJ; `None` where that can't be
/// told: then `speed` or `reserve` says why.
#[inline(never)]
fn needs(scene: &Scene<'_>, ways: &WaysHome<'_>, stretch: &Stretch) -> Option<[i64; 2]> {
    let (used, time) = (scene.journey.used.as_ref()?, scene.effort.time?);
    let (flying, homeward) = (scene.effort.powers.as_ref()?, ways.powers(stretch)?);
    let one = |begin: &Begin| Some((begin_times(ways, begin, time), ways.upright_ceil(begin)?));
    let [start, end] = &stretch.ends;
    let ends = [one(start)?, one(end)?];
    let mut most = [0; 2];
    for ((used, flying), home) in used.iter().zip(flying).zip(homeward) {
        for (most, ((before, back), upright)) in most.iter_mut().zip(ends) {
            let moving = microjoules(*flying, before).saturating_add(microjoules(home, back));
            *most = used.saturating_add(moving).saturating_add(upright).max(*most);
        }
    }
    Some(most)
}

/// Time to there from the beginning of the leg, and time of flying home from there.
fn begin_times(ways: &WaysHome<'_>, begin: &Begin, time: u64) -> (u64, u64) {
    (WaysHome::time_before_ceil(begin, time), ways.time_ceil(begin))
}
