//! Rules about the steps as they stand: their order, repeats, a height of its own.

use pinfold_core::model::route::{Launch, Step};

use super::{exact::Local, flight::local};

/// Whether the steps make a flight: up first, then whatever, down last.
#[must_use]
pub fn is_flight(steps: &[Step]) -> bool {
    let ends = |step: &Step| matches!(step, Step::Land | Step::Return);
    let Some((last, before)) = steps.split_last() else { return false };
    matches!(steps[0], Step::Climb { .. }) && ends(last) && !before.iter().any(ends) && climbs_rise(steps)
}

fn climbs_rise(steps: &[Step]) -> bool {
    let mut height = 0;
    steps.iter().all(|step| match step {
        Step::Climb { height: to } => std::mem::replace(&mut height, to.get()) < to.get(),
        Step::Fly { height: to, .. } => {
            height = to.get();
            true
        }
        Step::Hold { .. } | Step::Land | Step::Return => true,
    })
}

/// The steps that end where and as high as the step right before them. Climbs and fly steps count.
#[must_use]
pub fn repeats(launch: &Launch, steps: &[Step]) -> Vec<u16> {
    let ends: Vec<Option<(Local, i32)>> = steps
        .iter()
        .map(|step| match step {
            Step::Climb { height } => Some(((0, 0), height.get())),
            Step::Fly { to, height, .. } => Some((local(launch, *to), height.get())),
            Step::Hold { .. } | Step::Land | Step::Return => None,
        })
        .collect();
    let same = |pair: &[Option<(Local, i32)>]| pair[0].is_some() && pair[0] == pair[1];
    (2..).zip(ends.windows(2)).filter(|(_, pair)| same(pair)).map(|(number, _)| number).collect()
}

/// The fly steps, if there are three or more, whose height differs from that of all others while those agree.
#[must_use]
pub fn odd_heights(steps: &[Step]) -> Vec<u16> {
    let height = |(number, step): (u16, &Step)| match step {
        Step::Fly { height, .. } => Some((number, height.get())),
        Step::Climb { .. } | Step::Hold { .. } | Step::Land | Step::Return => None,
    };
    let flown: Vec<_> = (1..).zip(steps).filter_map(height).collect();
    let odd = |one: &&(u16, i32)| {
        let mut others = flown.iter().filter(|other| other.0 != one.0).map(|other| other.1);
        let first = others.next();
        first != Some(one.1) && others.all(|height| Some(height) == first)
    };
    if flown.len() < 3 { Vec::new() } else { flown.iter().filter(odd).map(|one| one.0).collect() }
}
