//! Verdicts against the slow oracles, on the scenes that the oracles' own campaigns are about. The input's first eight
//! bytes are a seed; the rest are the first of the random numbers that a scene is made from, so that a change of one
//! byte changes one decision.

use crate::oracle::{
    energy::{bombard as energy_bombard, scene::Scene as EnergyScene},
    space::{bombard as space_bombard, dice::Dice, scene::Scene as SpaceScene},
    tally::Fault,
};

/// Rules about space.
///
/// # Panics
/// A decision is unsafe or needless.
pub fn space(input: &[u8]) {
    let scene = SpaceScene::new(&mut Dice::given(input));
    for decision in space_bombard::hold(&scene).into_iter().flatten() {
        let wrong = decision.faults.iter().any(|fault| matches!(fault, Fault::Unsound | Fault::Needless));
        assert!(!wrong, "{:?} {:?}: {}{scene:?}", decision.faults, decision.rule, decision.say);
    }
}

/// Rules about energy.
///
/// # Panics
/// A claim is unsafe, loose or needless.
pub fn energy(input: &[u8]) {
    let scene = EnergyScene::new(&mut Dice::given(input));
    let wrong = energy_bombard::hold(&scene).map(|claims| claims.wrong).unwrap_or_default();
    assert!(wrong.is_empty(), "{:?}: {}\n{scene:?}", wrong[0].fault, wrong[0].say);
}
