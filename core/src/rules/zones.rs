//! Legs and zones: the distance that both zone rules start from.

use super::Scene;
use crate::{
    geometry::{
        plane::Nearest,
        predicate::{Point, edges},
        separation::{Line, Relation, nearer_floor, relate},
    },
    model::zone::{Shape, Zone},
};

/// What is reported where a zone is touched, entered or left: 1 cm less than nothing, in mm.
const TOUCHED: i64 = -10;

/// The relation of a line to the edges of a polygon.
fn relate_polygon(scene: &Scene<'_>, line: Line, zone: u8) -> Relation {
    relate(
        scene.frame,
        line,
        scene.limits.rings(zone).flat_map(|ring| edges(ring.iter().filter_map(|vertex| scene.frame.local(*vertex)))),
    )
}

/// How far a line stays from being outside a polygon: the distance to its edges, or [`TOUCHED`].
pub(crate) fn inside_floor(scene: &Scene<'_>, line: Line, zone: u8) -> Nearest {
    let relation = relate_polygon(scene, line, zone);
    let kept = relation.inside && !relation.touches;
    at_least_touched(relation.nearest, kept)
}

/// How far a line stays from a zone, in mm, or [`TOUCHED`].
pub(crate) fn outside_floor(scene: &Scene<'_>, line: Line, index: u8, zone: &Zone) -> Nearest {
    match zone.shape {
        Shape::Circle { center, radius } => {
            let center = scene.frame.local(center).unwrap_or(Point { x: 0, y: 0 });
            let far = Nearest { distance: i64::MAX, part: 0 };
            let radius = i64::from(radius.get()).saturating_mul(10);
            let near = nearer_floor(scene.frame, line, center, center, radius, far);
            at_least_touched(Nearest { distance: near.distance.saturating_sub(radius), ..near }, true)
        }
        Shape::Polygon => {
            let relation = relate_polygon(scene, line, index);
            at_least_touched(relation.nearest, !relation.inside && !relation.touches)
        }
    }
}

fn at_least_touched(nearest: Nearest, kept: bool) -> Nearest {
    let distance = if kept { nearest.distance.max(TOUCHED) } else { TOUCHED };
    Nearest { distance, ..nearest }
}
