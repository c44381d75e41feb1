//! `return-path`: every automatic return that could start on the path stays inside keep-in, out of keep-out zones, away from
//! people, above the ground and below the ceilings.
//!
//! A return can start anywhere on a climb, a leg, a hold or a landing: straight up to the return height, if that is higher,
//! and straight to launch, where it descends. The ways home from a leg fill a triangle with the launch point as its apex;
//! that triangle is held to the zones, not some lines in it. Its heights: all of a way home has the greater of the return
//! height and the height where it starts. The rise has the horizontal margin of the leg it starts from; everything that keeps
//! its demands on the leg itself keeps them on the rise, but for zones with heights and ceilings, which are asked here. The
//! descent at launch needs no question of its own: heights along a path have no gaps, so each height that it passes has been
//! asked about above launch: on the climb, on its rises, or at the end of some way home, with margins that are no smaller.

use super::{Scene, ceiling, ground, keep_in, keep_out, leg::Leg, people, sweep::Sweep};
use crate::{
    model::path::Motion,
    verdict::{Findings, Rule},
};

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let starts = match leg.piece.motion {
        Motion::Aloft | Motion::Climb | Motion::Fly => true,
        // The return's own descent at launch starts none; neither does a hold that the leg before led to.
        Motion::Descent => !scene.journey.returning,
        Motion::Hold | Motion::Rise | Motion::WayHome => false,
    };
    if starts {
        ways_home(scene, leg, findings);
        if scene.figures().homeward.height.get() > leg.lowest() {
            keep_out::outside_all_with_heights(&Sweep::of_rises(scene, leg), Rule::ReturnPath, findings);
        }
    }
}

fn ways_home(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let ways = Sweep::of_ways_home(scene, leg);
    keep_in::inside_all(&ways, Rule::ReturnPath, findings);
    keep_out::outside_all(&ways, Rule::ReturnPath, findings);
    people::away_from_all(&ways, Rule::ReturnPath, findings);
    ceiling::below_all(&ways, Rule::ReturnPath, findings);
    ground::under(&Sweep::of_rises(scene, leg), Rule::ReturnPath, findings);
    if !leg.at_launch() {
        ground::over(&ways, Rule::ReturnPath, findings);
    }
}
