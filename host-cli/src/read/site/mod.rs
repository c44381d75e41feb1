//! Sites from GeoJSON (RFC 7946), where each Feature is a zone, and from KML, where each Placemark is one.

mod facts;
mod feature;
mod kml;
mod shape;
mod wrong;

use std::ops::Range;

use pinfold_core::{
    geometry::position::Position,
    model::{
        store::{LimitsError, LimitsStore},
        zone::{RINGS, VERTICES, ZONES, Zone},
    },
};

use super::json::parse;
use crate::problem::{Problem, Source};
pub(crate) use wrong::describe;

/// A corner, and where it is written.
#[derive(Clone)]
pub(super) struct Vertex {
    pub(super) position: Position,
    span: Range<usize>,
}

/// A zone with its rings, and where it is written.
pub(super) struct Feature {
    pub(super) zone: Zone,
    pub(super) rings: Vec<Vec<Vertex>>,
    span: Range<usize>,
    /// Where it is written that the zone's heights are above ground; nothing once they are above the sea.
    pub(super) above_ground: Option<Range<usize>>,
}

/// All zones of a file.
pub(crate) struct Site {
    pub(super) zones: Vec<Feature>,
    /// How many positions were finer than the unit.
    pub(crate) rounded: usize,
}

/// The reading of one file.
struct Reader<'a> {
    source: &'a Source,
    notes: &'a mut Vec<String>,
    rounded: usize,
}

/// Reads a site.
pub(crate) fn read(source: &Source, notes: &mut Vec<String>) -> Result<Site, Problem> {
    let mut reader = Reader { source, notes, rounded: 0 };
    if source.text.trim_start().starts_with('<') {
        let zones = kml::zones(source, &mut reader)?;
        return Ok(Site { zones, rounded: reader.rounded });
    }
    let value = parse(source)?;
    let features = reader.features(&value)?;
    let mut zones = Vec::new();
    for feature in features {
        zones.extend(reader.feature(feature)?);
    }
    Ok(Site { zones, rounded: reader.rounded })
}

impl Site {
    /// Puts the zones into a store.
    pub(crate) fn fill(&self, source: &Source, store: &mut LimitsStore) -> Result<(), Problem> {
        let vertices = || self.zones.iter().flat_map(|zone| &zone.rings).map(Vec::len).sum::<usize>();
        for feature in &self.zones {
            if let Some(place) = &feature.above_ground {
                let problem = source.problem(place.clone(), "heights above ground need ground data");
                return Err(problem.help("name a file with `ground` in [heights] of the limits"));
            }
            let too_many = |error: LimitsError| {
                let say = match error {
                    LimitsError::TooManyZones => format!("{} zones; {ZONES} are the most", self.zones.len()),
                    _ => format!("{} corners in all; {VERTICES} are the most, in {RINGS} rings", vertices()),
                };
                source.problem(feature.span.clone(), say).help("leave out or simplify zones that are far away")
            };
            store.zone(feature.zone.clone()).map_err(too_many)?;
            for ring in &feature.rings {
                store.ring().map_err(too_many)?;
                for vertex in ring {
                    store.vertex(vertex.position).map_err(too_many)?;
                }
            }
        }
        Ok(())
    }
}
