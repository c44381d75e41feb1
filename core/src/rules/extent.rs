//! `extent`: everything that can matter is within 50 km of launch and below 80 degrees of latitude.
//!
//! Distances are rounded up (by at most 0.007 % + 4 mm), so a Go is within 50 km for certain.

use crate::{
    arithmetic::{clamp_i32, divide_signed_floor},
    geometry::{frame::Frame, plane::PlanePoint, position::Position, predicate::Point},
    model::{store::Limits, zone::Shape},
    units::Length,
    verdict::{Cause, Finding, Measure, Place, Rule, Unit},
};

use super::margin::MILLIMETRES;

/// 50 km in mm.
const REACH: i64 = 50_000_000;

/// A point's distance from launch, and `beyond` (0.01 m) on top of it, held to 50 km.
fn within(frame: &Frame, point: Point, beyond: i32) -> Measure {
    let far = PlanePoint::ORIGIN.distance_ceil(frame.plane(point));
    let left = divide_signed_floor(REACH.saturating_sub(far), MILLIMETRES).saturating_sub(i64::from(beyond));
    Measure { clearance: clamp_i32(left), required: 0, unit: Unit::Metres }
}

/// A place that a step leads to.
pub(crate) fn of_step(frame: &Frame, step: u16, point: Point, height: i32) -> Finding {
    let place = Place { position: frame.position(point), height };
    Finding::measured(Rule::Extent, step, within(frame, point, 0)).at(place)
}

/// The ground station, where it isn't at launch.
pub(crate) fn of_station(frame: &Frame, station: Position) -> Finding {
    let found = match frame.local(station) {
        Some(point) => Finding::measured(Rule::Extent, 0, within(frame, point, 0)),
        None => Finding::of(Rule::Extent, 0, Cause::BeyondReach),
    };
    found.at(Place { position: station, height: 0 })
}

/// Every zone: the worst finding of each.
pub(crate) fn of_zones<'a>(frame: &'a Frame, limits: Limits<'a>) -> impl Iterator<Item = Finding> + 'a {
    limits.zones().flat_map(move |(index, zone)| {
        let circle = match zone.shape {
            Shape::Circle { center, radius } => Some((center, radius.get())),
            Shape::Polygon => None,
        };
        let vertices = limits.rings(index).flatten().map(|vertex| (*vertex, 0));
        circle.into_iter().chain(vertices).map(move |(position, beyond)| of_vertex(frame, index, position, beyond))
    })
}

fn of_vertex(frame: &Frame, zone: u8, position: Position, beyond: i32) -> Finding {
    let found = match frame.local(position) {
        Some(point) => Finding::measured(Rule::Extent, 0, within(frame, point, beyond)),
        None => Finding::of(Rule::Extent, 0, Cause::BeyondReach),
    };
    Finding { zone: Some(zone), ..found }.at(Place { position, height: 0 })
}

// A circle of the largest radius is out of reach, and saturates nothing.
const _: () = assert!(Length::MAX > 5_000_000);
