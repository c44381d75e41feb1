//! What is wrong with a site's zones, shown where it is written.

use pinfold_core::{
    geometry::position::Position,
    model::{
        store::LimitsError,
        zone::{RINGS, VERTICES, ZONES},
    },
};

use super::Site;
use crate::{
    problem::{Problem, Source},
    text::decimal::written,
};

impl Site {
    /// What a store found wrong with the zones, shown where it is written.
    pub(crate) fn problem(&self, source: &Source, error: LimitsError) -> Problem {
        let zone = |index: u8| self.zones.get(usize::from(index));
        let vertex = |number: u16| self.zones.iter().flat_map(|zone| &zone.rings).flatten().nth(usize::from(number));
        let place = match error {
            LimitsError::Crossing(index, _, number)
            | LimitsError::Wide(index, number)
            | LimitsError::Hole(index, number) => {
                vertex(number).map(|vertex| vertex.span.clone()).or_else(|| zone(index).map(|zone| zone.span.clone()))
            }
            LimitsError::KeepInCount(Some(index))
            | LimitsError::KeepInShape(index)
            | LimitsError::PeopleHeights(index)
            | LimitsError::Name(index)
            | LimitsError::Heights(index)
            | LimitsError::Few(index) => zone(index).map(|zone| zone.span.clone()),
            LimitsError::NoFigures
            | LimitsError::Contradiction(_)
            | LimitsError::TooManyZones
            | LimitsError::TooManyVertices
            | LimitsError::Misplaced
            | LimitsError::NoGround
            | LimitsError::GroundCells
            | LimitsError::GroundWide
            | LimitsError::KeepInCount(None) => None,
        };
        let say = match error {
            LimitsError::Crossing(index, one, two) => {
                let name = zone(index).map_or("", |zone| zone.zone.name.as_str());
                let place = |number| vertex(number).map_or_else(String::new, |vertex| shown(vertex.position));
                format!("\"{name}\": the edge to {} and the edge to {} touch or cross", place(one), place(two))
            }
            _ => describe(error),
        };
        source.problem(place.unwrap_or(0..0), say).help(remedy(error))
    }
}

/// A position as people read it.
fn shown(position: Position) -> String {
    let text = |counts: i32| written(i64::from(counts), 7);
    format!("{}, {}", text(position.latitude.get()), text(position.longitude.get()))
}

/// What is wrong with limits, without their text.
pub(crate) fn describe(error: LimitsError) -> String {
    match error {
        LimitsError::NoFigures => "there are no figures".into(),
        LimitsError::Contradiction(why) => format!("figures contradict each other ({why:?})"),
        LimitsError::TooManyZones => format!("more than {ZONES} zones"),
        LimitsError::TooManyVertices => format!("more than {VERTICES} corners or {RINGS} rings"),
        LimitsError::Misplaced => "corners without a polygon".into(),
        LimitsError::KeepInCount(None) => "there is no keep-in zone".into(),
        LimitsError::KeepInCount(Some(_)) => "this is a second keep-in zone".into(),
        LimitsError::KeepInShape(_) => "a keep-in zone is a polygon without heights of its own".into(),
        LimitsError::PeopleHeights(_) => "a zone of people has no heights".into(),
        LimitsError::NoGround => "there are no ground data".into(),
        LimitsError::GroundCells => "the cells of the ground data aren't as many as their plan says".into(),
        LimitsError::GroundWide => "the ground data reach beyond a pole".into(),
        LimitsError::Name(_) => "another zone has this name already".into(),
        LimitsError::Heights(_) => "the zone's floor is not below its ceiling".into(),
        LimitsError::Few(_) => "a ring needs three corners at least, a circle a radius".into(),
        LimitsError::Wide(..) => "this corner is more than 53 degrees away from the zone's first".into(),
        LimitsError::Crossing(..) => "edges touch or cross".into(),
        LimitsError::Hole(..) => "this hole is not inside the outer ring, or inside another hole".into(),
    }
}

/// What to do about it.
fn remedy(error: LimitsError) -> &'static str {
    match error {
        LimitsError::KeepInCount(None) => "add a Feature with \"zone\": \"keep-in\": the area to stay inside",
        LimitsError::KeepInCount(Some(_)) => "draw the area to stay inside as one polygon",
        LimitsError::KeepInShape(_) => "use a Polygon; the ceiling and floor in the limits file hold everywhere in it",
        LimitsError::Name(_) => "give every zone a name of its own",
        LimitsError::Heights(_) => "exchange or correct floor_m and ceiling_m",
        LimitsError::Wide(..) => "in GeoJSON a position is [longitude, latitude]: are they exchanged?",
        LimitsError::Crossing(..) => "a zone's outline may not touch or cross itself: look at the order of the corners",
        LimitsError::Hole(..) => "the first ring of a Polygon is its outline, the others are holes in it",
        LimitsError::PeopleHeights(_) => "leave floor_m, ceiling_m and heights out: people are at every height",
        LimitsError::NoGround => "name a file with `ground` in [heights]",
        LimitsError::NoFigures
        | LimitsError::GroundCells
        | LimitsError::GroundWide
        | LimitsError::Contradiction(_)
        | LimitsError::TooManyZones
        | LimitsError::TooManyVertices
        | LimitsError::Misplaced
        | LimitsError::Few(_) => "correct the zone",
    }
}
