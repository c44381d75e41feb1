//! Zones whose heights are above ground: they get heights above the sea.

use pinfold_core::{
    geometry::position::Position,
    model::{
        ground::Relief,
        zone::{HeightBand, Shape},
    },
    units::Height,
};

use super::{Ground, Unknown, survey::both, under::Area};
use crate::{
    problem::{Problem, Source},
    read::site::{Feature, Site},
    text::decimal::written,
};

impl Feature {
    /// A position of the zone.
    pub(super) fn about(&self) -> Option<Position> {
        match self.zone.shape {
            Shape::Circle { center, .. } => Some(center),
            Shape::Polygon => self.rings.first().and_then(|ring| ring.first()).map(|vertex| vertex.position),
        }
    }

    pub(super) fn area(&self, about: Position) -> Area {
        let rings = self.rings.iter().map(|ring| ring.iter().map(|vertex| &vertex.position).collect());
        Area::new(&self.zone.shape, rings, about)
    }
}

impl Ground {
    /// Gives zones whose heights are above ground such above the sea, and says what was made of them: the floor is above the lowest
    /// ground under the zone, the ceiling above the highest, so the zone is at least as high as what is meant everywhere in it.
    /// Parts of one zone stay one: the ground under all of them counts.
    pub(crate) fn settle(&self, site: &mut Site, source: &Source, notes: &mut Vec<String>) -> Result<(), Problem> {
        while let Some(first) = site.zones.iter().find(|zone| zone.above_ground.is_some()) {
            let (zone, place) = (first.zone.clone(), first.above_ground.clone().unwrap_or_default());
            let is_part = |part: &Feature| part.above_ground.is_some() && part.zone == zone;
            let parts = site.zones.iter().filter(|part| is_part(part));
            let relief = self.relief(parts).map_err(|why| {
                let say = format!("\"{}\" has heights above ground: {}", zone.name, why.say);
                source.problem(place.clone(), say).help(why.help)
            })?;
            let band = zone.heights.and_then(|band| above_sea(band, relief));
            let band =
                band.ok_or_else(|| source.problem(place.clone(), "these heights above the sea are out of range"))?;
            notes.push(note(source, &zone.name, zone.heights, band, relief));
            for part in site.zones.iter_mut().filter(|part| is_part(part)) {
                part.zone.heights = Some(band);
                part.above_ground = None;
            }
        }
        Ok(())
    }

    /// Between which heights the ground under all parts of a zone is.
    fn relief<'f>(&self, mut parts: impl Iterator<Item = &'f Feature>) -> Result<Relief, Unknown> {
        let survey = self.survey.as_ref().ok_or(Unknown::NO_SURVEY)?;
        let mut next = || parts.next().map(|part| part.area(self.about).relief(survey).ok_or(Unknown::UNDER));
        let mut all = next().ok_or(Unknown::UNDER)??;
        while let Some(relief) = next() {
            all = both(all, relief?);
        }
        Ok(all)
    }
}

/// Heights above ground as heights above the sea.
fn above_sea(band: HeightBand, relief: Relief) -> Option<HeightBand> {
    let raised = |height: Option<Height>, by: i32| match height {
        None => Some(None),
        Some(height) => Height::new(height.get() + by).map(Some),
    };
    let (floor, ceiling) = (raised(band.floor, relief.lowest)?, raised(band.ceiling, relief.highest)?);
    Some(HeightBand { floor, ceiling, ..band })
}

fn note(source: &Source, name: &str, before: Option<HeightBand>, after: HeightBand, relief: Relief) -> String {
    let metres = |height: i32| written(i64::from(height), 2);
    let end = |height: Option<Height>, none: &str| {
        height.map_or_else(|| none.to_owned(), |height| metres(height.get()) + " m")
    };
    let said =
        |band: HeightBand| format!("from {} to {}", end(band.floor, "any depth"), end(band.ceiling, "any height"));
    format!(
        "{}: \"{name}\", {} above ground, is taken {} above the sea: the ground under it is {} to {} m high",
        source.path.display(),
        before.map_or_else(String::new, said),
        said(after),
        metres(relief.lowest),
        metres(relief.highest)
    )
}
