//! Features: what their properties say of a zone.

use std::ops::Range;

use jsonc_parser::ast::{Object, ObjectProp, Value};
use pinfold_core::{
    model::zone::{HeightBand, HeightReference, Shape, Zone, ZoneKind},
    units::{Height, Length},
};

use super::{Feature, Reader, Vertex};
use crate::{
    problem::{Problem, nearest},
    read::{json::span, quantity, take::fitting_name},
    text::table::{Finer, suggestion},
};

/// Properties that mean something.
const PROPERTIES: [&str; 6] = ["zone", "name", "floor_m", "ceiling_m", "heights", "radius_m"];

/// An area: its shape, and its rings where it has any.
type Part = (Shape, Vec<Vec<Vertex>>);

impl Reader<'_> {
    pub(super) fn problem(&self, span: Range<usize>, say: impl Into<String>) -> Problem {
        self.source.problem(span, say)
    }

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
        let kind = self.kind(properties)?;
        if kind == ZoneKind::People {
            self.refuse_heights(properties)?;
        }
        let (name, at) = self.word(properties, "name", "a zone's properties")?;
        let name = fitting_name(name).map_err(|say| self.problem(at, say))?;
        let heights = self.heights(properties)?;
        let above_ground = match properties.get("heights").map(|property| &property.value) {
            Some(word @ Value::StringLit(text)) if text.value == "above-ground" => Some(span(word)),
            Some(_) | None => None,
        };
        let geometry = self.object(self.member(feature, "geometry", "a feature")?, "geometry")?;
        self.known_members(geometry, &["type", "coordinates", "bbox"])?;
        let parts = self.parts(geometry, properties.get("radius_m"))?;
        if parts.len() > 1 && kind == ZoneKind::KeepIn {
            let problem = self.problem(place, "a keep-in zone is one Polygon, not several");
            return Err(problem.help("draw the area to stay inside as one polygon"));
        }
        let zone = |shape| Zone { name: name.clone(), kind, heights, shape };
        let whole = |(shape, rings)| Feature {
            zone: zone(shape),
            rings,
            span: place.clone(),
            above_ground: above_ground.clone(),
        };
        Ok(parts.into_iter().map(whole).collect())
    }

    /// The areas of a geometry.
    fn parts(&mut self, geometry: &Object<'_>, radius: Option<&ObjectProp<'_>>) -> Result<Vec<Part>, Problem> {
        let (form, at) = self.word(geometry, "type", "a geometry")?;
        let coordinates = self.member(geometry, "coordinates", "a geometry")?;
        match (form, radius) {
            ("Polygon" | "MultiPolygon", Some(property)) => {
                let problem = self.problem(span(property), "`radius_m` means nothing on a polygon");
                Err(problem.help("a circle is a Point with radius_m"))
            }
            ("Polygon", None) => Ok(vec![(Shape::Polygon, self.rings(coordinates)?)]),
            ("MultiPolygon", None) => self.polygons(coordinates),
            ("Point", Some(property)) => Ok(vec![(self.circle(coordinates, property)?, Vec::new())]),
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

    fn circle(&mut self, coordinates: &Value<'_>, property: &ObjectProp<'_>) -> Result<Shape, Problem> {
        let center = self.position(coordinates)?.position;
        let count = self.count(&property.value, "radius_m", quantity::LENGTH, Finer::Up)?;
        let radius = i32::try_from(count).ok().and_then(Length::new);
        let radius = radius.ok_or_else(|| self.problem(span(property), "`radius_m` is out of range"))?;
        Ok(Shape::Circle { center, radius })
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
            let misplaced = PROPERTIES.contains(&word);
            if misplaced || word.ends_with("_m") || nearest(word, &[known, &PROPERTIES].concat()).is_some() {
                let problem = self.problem(span(member), format!("unknown member `{word}`"));
                let help = if misplaced { "it belongs into \"properties\"".into() } else { suggestion(word, known) };
                return Err(problem.help(help));
            }
            self.notes.push(format!("{}: `{word}` means nothing here and is passed over", self.source.path.display()));
        }
        Ok(())
    }

    fn kind(&self, properties: &Object<'_>) -> Result<ZoneKind, Problem> {
        let words = ["keep-in", "keep-out", "people"];
        let (word, at) = self.word(properties, "zone", "a zone's properties")?;
        match word {
            "keep-in" => Ok(ZoneKind::KeepIn),
            "keep-out" => Ok(ZoneKind::KeepOut),
            "people" => Ok(ZoneKind::People),
            _ => Err(self.problem(at, format!("`{word}` is no kind of zone")).help(suggestion(word, &words))),
        }
    }

    /// People are at no height of their own: the aircraft's above launch is the distance that counts.
    fn refuse_heights(&self, properties: &Object<'_>) -> Result<(), Problem> {
        match ["floor_m", "ceiling_m", "heights"].into_iter().find_map(|key| properties.get(key)) {
            None => Ok(()),
            Some(property) => {
                let say = format!("`{}` means nothing on a zone of people", property.name.as_str());
                Err(self.problem(span(property), say).help(
                    "leave floor_m, ceiling_m and heights out: the aircraft stays as far away as it is high, at any height",
                ))
            }
        }
    }

    fn heights(&mut self, properties: &Object<'_>) -> Result<Option<HeightBand>, Problem> {
        let mut end = |key: &str, finer| -> Result<Option<Height>, Problem> {
            let Some(property) = properties.get(key) else { return Ok(None) };
            let count = self.count(&property.value, key, quantity::HEIGHT, finer)?;
            Ok(i32::try_from(count).ok().and_then(Height::new))
        };
        let (floor, ceiling) = (end("floor_m", Finer::Down)?, end("ceiling_m", Finer::Up)?);
        if floor.is_none() && ceiling.is_none() {
            return match properties.get("heights") {
                Some(property) => Err(self
                    .problem(span(property), "`heights` without floor_m or ceiling_m means nothing")
                    .help("add floor_m or ceiling_m, or leave heights out: the zone then reaches over all heights")),
                None => Ok(None),
            };
        }
        let words = ["above-launch", "above-sea", "above-ground"];
        let Some(property) = properties.get("heights") else {
            return Err(self
                .problem(
                    span(properties).start..span(properties).start + 1,
                    "the zone's heights don't say what they are measured from",
                )
                .help("write \"heights\": \"above-launch\", \"above-sea\" or \"above-ground\" beside them"));
        };
        let (word, _) = self.word(properties, "heights", "a zone's properties")?;
        let reference = match word {
            "above-launch" => HeightReference::AboveLaunch,
            // What is above ground becomes so once the ground is known.
            "above-sea" | "above-ground" => HeightReference::AboveSea,
            _ => {
                return Err(self
                    .problem(span(property), format!("`{word}` is no reference of heights"))
                    .help(suggestion(word, &words)));
            }
        };
        Ok(Some(HeightBand { reference, floor, ceiling }))
    }
}
