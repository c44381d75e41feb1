//! `sight` (a caution): the aircraft stays near enough to be seen.
//!
//! Distance within which the attitude of a multirotor can be told by eye: 327 x largest dimension + 20 m. Source: the ALOS
//! figure of EASA's guidance to SORA 2.5 (part of the AMC since ED Decision 2025/018/R), as public texts restate it.

use super::{Scene, leg::Leg};
use crate::{
    arithmetic::{clamp_i32, clamp_i64, product, square_root_ceil},
    geometry::plane::PlanePoint,
    verdict::{Finding, Findings, Measure, Rule, Unit},
};

/// 20 m in 0.01 m.
const OFFSET: i64 = 2000;
/// Lengths of the aircraft.
const LENGTHS: i32 = 327;

pub(crate) fn judge(scene: &Scene<'_>, leg: &Leg, findings: &mut Findings) {
    let limit = product(LENGTHS, scene.figures().aircraft.size.get()).saturating_add(OFFSET);
    let (start, end) = (
        leg.slant_ceil(leg.line.chord.from, leg.piece.from.height),
        leg.slant_ceil(leg.line.chord.to, leg.piece.to.height),
    );
    let measure =
        Measure { clearance: clamp_i32(limit.saturating_sub(start.max(end))), required: 0, unit: Unit::Metres };
    findings
        .add(Finding::measured(Rule::Sight, leg.step, measure).at(leg.place(scene.frame, leg.end_part(end >= start))));
}

impl Leg {
    /// Distance from the launch point through the air, 0.01 m, rounded up. A distance from a point is largest at an end of a
    /// straight line; no reading of "straight" goes farther than the bow beyond that.
    fn slant_ceil(&self, place: PlanePoint, height: i32) -> i64 {
        let over_ground = PlanePoint::ORIGIN.distance_ceil(place).saturating_add(self.line.bow);
        let over_ground = clamp_i32(over_ground.saturating_add(9) / 10);
        let squares = product(over_ground, over_ground).saturating_add(product(height, height));
        clamp_i64(square_root_ceil(squares.unsigned_abs()))
    }
}
