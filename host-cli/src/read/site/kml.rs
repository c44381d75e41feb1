//! Sites from KML: each Placemark is a zone. What GeoJSON has as properties stands in its ExtendedData.

use std::collections::HashSet;

use roxmltree::Node;

use super::{
    Feature, Reader, Vertex,
    facts::{Fact, Facts, PROPERTIES, Said},
    feature::Part,
};
use crate::{
    problem::{Problem, Source},
    read::{
        json::Members as _,
        kml::{Tuple, demand, positions},
        quantity,
        xml::{begin, called, children, inside, needed, only, parse, place_of_text, text},
    },
};
use pinfold_core::{
    geometry::position::Position,
    model::zone::{Shape, Zone, ZoneKind},
};

/// All zones of a file.
pub(super) fn zones(source: &Source, reader: &mut Reader<'_>) -> Result<Vec<Feature>, Problem> {
    let document = parse(source)?;
    let root = document.root_element();
    demand(source, root)?;
    if let Some(link) = root.descendants().find(|node| ["NetworkLink", "Update"].contains(&called(*node))) {
        let problem = source.problem(begin(link), "a part of this site is elsewhere, and isn't looked at");
        return Err(problem.help("put all zones into this file, and take the link out"));
    }
    let mut zones = Vec::new();
    for placemark in inside(root, "Placemark") {
        zones.extend(reader.placemark(placemark)?);
    }
    Ok(zones)
}

impl Reader<'_> {
    fn placemark(&mut self, placemark: Node<'_, '_>) -> Result<Vec<Feature>, Problem> {
        let facts = self.facts(placemark)?;
        for fact in facts.list.iter().filter(|fact| !PROPERTIES.contains(&fact.key.as_str())) {
            self.pass_over(&fact.key, fact.span.clone(), &PROPERTIES)?;
        }
        let character = self.character(&facts)?;
        let span = begin(placemark);
        let parts = self.areas(placemark, facts.get("radius_m"))?;
        if parts.is_empty() {
            let problem = self.problem(span, "this zone has no area");
            return Err(
                problem.help("a zone is a Polygon, several of them in a MultiGeometry, or a Point with radius_m")
            );
        }
        if parts.len() > 1 && character.kind == ZoneKind::KeepIn {
            let problem = self.problem(span, "a keep-in zone is one Polygon, not several");
            return Err(problem.help("draw the area to stay inside as one polygon"));
        }
        let whole = |(shape, rings)| Feature {
            zone: Zone { name: character.name.clone(), kind: character.kind, heights: character.heights, shape },
            rings,
            span: span.clone(),
            above_ground: character.above_ground.clone(),
        };
        Ok(parts.into_iter().map(whole).collect())
    }

    /// The areas in a placemark or in a part of one.
    fn areas(&mut self, node: Node<'_, '_>, radius: Option<&Fact>) -> Result<Vec<Part>, Problem> {
        let mut parts = Vec::new();
        for polygon in children(node, "Polygon") {
            if let Some(fact) = radius {
                let problem = self.problem(fact.span.clone(), "`radius_m` means nothing on a polygon");
                return Err(problem.help("a circle is a Point with radius_m"));
            }
            parts.push((Shape::Polygon, self.polygon(polygon)?));
        }
        for point in children(node, "Point") {
            let Some(fact) = radius else {
                let problem = self.problem(begin(point), "a Point is no area");
                return Err(problem.help("add <Data name=\"radius_m\"> to its ExtendedData: a circle"));
            };
            let corners = self.coordinates(point)?;
            let [center] = &corners[..] else {
                return Err(self.problem(begin(point), "a Point has one position"));
            };
            parts.push((Shape::Circle { center: center.position, radius: self.radius(fact)? }, Vec::new()));
        }
        let others = ["LineString", "LinearRing", "Track", "MultiTrack", "Model"];
        if let Some(other) = node.children().find(|other| others.contains(&called(*other))) {
            let problem = self.problem(begin(other), format!("a {} is no area", called(other)));
            return Err(problem.help("draw a Polygon around it"));
        }
        for several in children(node, "MultiGeometry") {
            parts.extend(self.areas(several, radius)?);
        }
        Ok(parts)
    }

    fn polygon(&mut self, polygon: Node<'_, '_>) -> Result<Vec<Vec<Vertex>>, Problem> {
        let outline = needed(self.source, polygon, "outerBoundaryIs")?;
        let mut rings = vec![self.boundary(outline)?];
        for hole in children(polygon, "innerBoundaryIs") {
            rings.push(self.boundary(hole)?);
        }
        Ok(rings)
    }

    fn boundary(&mut self, boundary: Node<'_, '_>) -> Result<Vec<Vertex>, Problem> {
        let ring = needed(self.source, boundary, "LinearRing")?;
        let corners = self.coordinates(ring)?;
        self.closed(corners, begin(ring))
    }

    /// The positions in the `coordinates` of an element; heights are passed over.
    fn coordinates(&mut self, node: Node<'_, '_>) -> Result<Vec<Vertex>, Problem> {
        positions(self.source, node)?.into_iter().map(|tuple| self.corner(tuple)).collect()
    }

    fn corner(&mut self, tuple: Tuple) -> Result<Vertex, Problem> {
        let latitude = tuple.latitude.nearest(self.source, "the latitude", quantity::LATITUDE)?;
        let longitude = tuple.longitude.nearest(self.source, "the longitude", quantity::LONGITUDE)?;
        self.rounded += usize::from(latitude.moved || longitude.moved);
        let position = Position::new(latitude.count, longitude.count);
        let position = position.ok_or_else(|| self.problem(tuple.span.clone(), "this is no place on Earth"))?;
        Ok(Vertex { position, span: tuple.span })
    }

    /// What is said of a placemark: its name, and the data that are added to it, each once.
    fn facts(&self, placemark: Node<'_, '_>) -> Result<Facts, Problem> {
        let mut list = Vec::new();
        if let Some(name) = only(self.source, placemark, "name")? {
            list.push(fact("name".to_owned(), name, name));
        }
        if let Some(extended) = only(self.source, placemark, "ExtendedData")? {
            for data in children(extended, "Data") {
                let value = only(self.source, data, "value")?.unwrap_or(data);
                list.push(fact(self.key(data)?, data, value));
            }
            for data in children(extended, "SchemaData").flat_map(|schema| children(schema, "SimpleData")) {
                list.push(fact(self.key(data)?, data, data));
            }
        }
        let mut seen = HashSet::new();
        match list.iter().find(|fact: &&Fact| !seen.insert(fact.key.as_str())) {
            None => Ok(Facts { list, begin: begin(placemark), write: data_named }),
            Some(again) => {
                let problem = self.problem(again.span.clone(), format!("`{}` is said twice here", again.key));
                Err(problem.help("programs differ in which of the two they take: take one out"))
            }
        }
    }

    /// What data are called.
    fn key(&self, data: Node<'_, '_>) -> Result<String, Problem> {
        let missing = || self.problem(begin(data), format!("this `{}` has no `name`", called(data)));
        data.attribute("name").map(str::to_owned).ok_or_else(missing)
    }
}

fn fact(key: String, whole: Node<'_, '_>, value: Node<'_, '_>) -> Fact {
    let words = text(value).unwrap_or_default();
    Fact { key, said: Said::Words(words), span: begin(whole), value: place_of_text(value) }
}

/// How something is said of a zone in KML.
fn data_named(key: &str) -> String {
    match key {
        "name" => "<name>...</name>".to_owned(),
        _ => format!("<Data name=\"{key}\"><value>...</value></Data> to its <ExtendedData>"),
    }
}
