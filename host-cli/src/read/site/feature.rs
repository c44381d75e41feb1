//! Features: what their properties say of a zone.

use std::ops::Range;

use jsonc_parser::ast::{Object, Value};
use pinfold_core::model::zone::{Shape, Zone, ZoneKind};

use super::{
    Feature, Reader, Vertex,
    facts::{Fact, Facts, PROPERTIES},
};
use crate::{
    problem::Problem,
    read::json::{Members, span},
};

/// An area: its shape, and its rings where it has any.
pub(super) type Part = (Shape, Vec<Vec<Vertex>>);

impl Members for Reader<'_> {
    fn problem(&self, span: Range<usize>, say: impl Into<String>) -> Problem {
        self.source.problem(span, say)
    }
}

impl Reader<'_> {
    pub(super) fn features<'v>(&mut self, value: &'v Value<'v>) -> Result<Vec<&'v Object<'v>>, Problem> {
        let root = self.object(value, "the file")?;
        match self.word(root, "type", "the file")?.0 {
            "FeatureCollection" => {}
            other => {
                return Err(self
                    .problem(span(root).start..span(root).start + 1, format!("a {other} is no FeatureCollection"))
                    .help("a site is a GeoJSON FeatureCollection (RFC 7946); each Feature is a zone"));
            }
        }
        self.known_members(root, &["type", "features", "bbox", "name"])?;
        let list = self.member(root, "features", "the FeatureCollection")?;
        self.array(list, "features")?.elements.iter().map(|item| self.object(item, "a feature")).collect()
    }

    /// The zones of a feature: a MultiPolygon is several of one name.
    pub(super) fn feature(&mut self, feature: &Object<'_>) -> Result<Vec<Feature>, Problem> {
        let place = span(feature).start..span(feature).start + 1;
        match self.word(feature, "type", "a feature")? {
            ("Feature", _) => {}
            (other, at) => return Err(self.problem(at, format!("`{other}` stands where a Feature is to be"))),
        }
        let properties = self.object(self.member(feature, "properties", "a feature")?, "properties")?;
        self.known_members(feature, &["type", "id", "bbox", "properties", "geometry"])?;
        self.known_members(properties, &PROPERTIES)?;
        let facts = Facts::of_json(properties);
        let character = self.character(&facts)?;
        let geometry = self.object(self.member(feature, "geometry", "a feature")?, "geometry")?;
        self.known_members(geometry, &["type", "coordinates", "bbox"])?;
        let parts = self.parts(geometry, facts.get("radius_m"))?;
        if parts.len() > 1 && character.kind == ZoneKind::KeepIn {
            let problem = self.problem(place, "a keep-in zone is one Polygon, not several");
            return Err(problem.help("draw the area to stay inside as one polygon"));
        }
        let zone =
            |shape| Zone { name: character.name.clone(), kind: character.kind, heights: character.heights, shape };
        let whole = |(shape, rings)| Feature {
            zone: zone(shape),
            rings,
            span: place.clone(),
            above_ground: character.above_ground.clone(),
        };
        Ok(parts.into_iter().map(whole).collect())
    }

    /// The areas of a geometry.
    fn parts(&mut self, geometry: &Object<'_>, radius: Option<&Fact>) -> Result<Vec<Part>, Problem> {
        let (form, at) = self.word(geometry, "type", "a geometry")?;
        let coordinates = self.member(geometry, "coordinates", "a geometry")?;
        match (form, radius) {
            ("Polygon" | "MultiPolygon", Some(fact)) => {
                let problem = self.problem(fact.span.clone(), "`radius_m` means nothing on a polygon");
                Err(problem.help("a circle is a Point with radius_m"))
            }
            ("Polygon", None) => Ok(vec![(Shape::Polygon, self.rings(coordinates)?)]),
            ("MultiPolygon", None) => self.polygons(coordinates),
            ("Point", Some(fact)) => {
                let center = self.position(coordinates)?.position;
                Ok(vec![(Shape::Circle { center, radius: self.radius(fact)? }, Vec::new())])
            }
            ("Point", None) => {
                let problem = self.problem(at, "a Point is no area");
                Err(problem.help("write \"radius_m\": … in its properties: a circle"))
            }
            (other, _) => {
                let problem = self.problem(at, format!("a {other} is no zone"));
                Err(problem.help("use a Polygon, a MultiPolygon, or a Point with radius_m"))
            }
        }
    }

    fn polygons(&mut self, coordinates: &Value<'_>) -> Result<Vec<Part>, Problem> {
        let parts = self.array(coordinates, "coordinates")?;
        if parts.elements.is_empty() {
            return Err(self.problem(span(parts), "a MultiPolygon without polygons"));
        }
        parts.elements.iter().map(|part| Ok((Shape::Polygon, self.rings(part)?))).collect()
    }

    /// Unknown members are passed over, and that is said, unless they look like a slip of a known one, like a measure, or
    /// like something that says where positions are.
    fn known_members(&mut self, object: &Object<'_>, known: &[&str]) -> Result<(), Problem> {
        for member in &object.properties {
            let word = member.name.as_str();
            if known.contains(&word) {
                continue;
            }
            if word == "crs" {
                let problem = self.problem(span(member), "`crs` is no part of GeoJSON any more (RFC 7946, section 4)");
                return Err(
                    problem.help("positions are WGS 84 longitude and latitude: convert them and take `crs` out")
                );
            }
            self.pass_over(word, span(member), known)?;
        }
        Ok(())
    }
}
