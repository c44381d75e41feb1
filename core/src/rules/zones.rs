//! Shapes and zones: the distance that all rules about zones start from.

use super::Scene;
use crate::{
    arithmetic::{clamp_i32, divide_signed_floor},
    geometry::{
        predicate::Point,
        shape::{Approach, Shape},
    },
    model::zone::{Shape as Outline, Zone},
    verdict::{Measure, Unit},
};

use super::margin::MILLIMETRES;

/// What is reported where a zone is touched, entered or left: 1 cm less than nothing, in mm.
const TOUCHED: i64 = -10;

/// How far a shape stays from being outside a polygon, where that is less than `limit` (mm): the distance to its edges, or
/// [`TOUCHED`]. Never above the true one.
pub(crate) fn inside_floor(scene: &Scene<'_>, shape: &Shape, zone: u8, limit: i64) -> Approach {
    if limit <= TOUCHED {
        return Approach::none_within(limit);
    }
    let rings = scene.around.outline(scene.limits, zone);
    let relation = shape.relate(&scene.around.frame, rings, scene.around.extent(zone).bow, limit);
    kept_or_touched(relation.nearest, relation.inside && !relation.touches)
}

/// How far a shape stays from a zone, where that is less than `limit` (mm), or [`TOUCHED`]. Never above the true one.
pub(crate) fn outside_floor(scene: &Scene<'_>, shape: &Shape, index: u8, zone: &Zone, limit: i64) -> Approach {
    let frame = &scene.around.frame;
    if limit <= TOUCHED {
        return Approach::none_within(limit);
    }
    match zone.shape {
        Outline::Circle { center, radius } => {
            let center = frame.local(center).unwrap_or(Point { x: 0, y: 0 });
            let radius = i64::from(radius.get()).saturating_mul(10);
            let far = Approach::none_within(limit.max(1).saturating_add(radius));
            let near = shape.nearer_line(frame, scene.around.dot(center), radius, far);
            let apart = Approach { distance: near.distance.saturating_sub(radius), ..near };
            // Whether a circle is touched isn't told exactly: a bound below 0 may mean it.
            kept_or_touched(apart, apart.distance > 0 && !shape.encloses(center))
        }
        Outline::Polygon => {
            let extent = scene.around.extent(index);
            if shape.is_beyond(limit, extent) {
                return Approach::none_within(limit);
            }
            let relation = shape.relate(frame, scene.around.outline(scene.limits, index), extent.bow, limit);
            kept_or_touched(relation.nearest, !relation.inside && !relation.touches)
        }
    }
}

fn kept_or_touched(nearest: Approach, kept: bool) -> Approach {
    // What the exact predicates say isn't touched is some distance away, even where the bound is lower.
    let distance = if kept { nearest.distance.max(0) } else { TOUCHED };
    Approach { distance, ..nearest }
}

/// The distance (mm) from which a finding that has less than `spare` (0.01 m) is no news where `required` (0.01 m) is needed.
pub(crate) fn limit_of(spare: i64, required: i32) -> i64 {
    spare.saturating_add(i64::from(required)).saturating_mul(10)
}

/// A horizontal distance (mm, a lower bound) against what is required (0.01 m).
pub(crate) fn measure_of(distance: i64, required: i32) -> Measure {
    let clearance = clamp_i32(divide_signed_floor(distance, MILLIMETRES));
    Measure { clearance, required, unit: Unit::Metres }
}
