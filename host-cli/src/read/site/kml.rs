//! Sites from KML: each Placemark is a zone. What GeoJSON has as properties stands in its ExtendedData.

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
        line::xml::{begin, child, children, parse, words},
        quantity,
    },
    text::decimal::Counts,
};
use pinfold_core::{
    geometry::position::Position,
    model::zone::{Shape, Zone, ZoneKind},
};

/// All zones of a file.
pub(super) fn zones(source: &Source, reader: &mut Reader<'_>) -> Result<Vec<Feature>, Problem> {
    let document = parse(source)?;
    let root = document.root_element();
    if root.tag_name().name() != "kml" || !root.tag_name().namespace().is_some_and(|name| name.contains("/kml/2.")) {
        let problem = source.problem(begin(root), "this is no KML 2");
        return Err(problem.help("a site is KML with a Placemark for each zone, or GeoJSON"));
    }
    let own = |node: &Node<'_, '_>| {
        node.tag_name().name() == "Placemark" && node.tag_name().namespace() == root.tag_name().namespace()
    };
    let mut zones = Vec::new();
    for placemark in root.descendants().filter(own) {
        zones.extend(reader.placemark(placemark)?);
    }
    Ok(zones)
}

impl Reader<'_> {
    fn placemark(&mut self, placemark: Node<'_, '_>) -> Result<Vec<Feature>, Problem> {
        let facts = facts(placemark);
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
            let center = corners.first().ok_or_else(|| self.problem(begin(point), "this Point has no position"))?;
            parts.push((Shape::Circle { center: center.position, radius: self.radius(fact)? }, Vec::new()));
        }
        if let Some(line) = child(node, "LineString") {
            let problem = self.problem(begin(line), "a LineString is no area");
            return Err(problem.help("draw a Polygon around it"));
        }
        for several in children(node, "MultiGeometry") {
            parts.extend(self.areas(several, radius)?);
        }
        Ok(parts)
    }

    fn polygon(&mut self, polygon: Node<'_, '_>) -> Result<Vec<Vec<Vertex>>, Problem> {
        let outline = child(polygon, "outerBoundaryIs")
            .ok_or_else(|| self.problem(begin(polygon), "this Polygon has no `outerBoundaryIs`"))?;
        let mut rings = vec![self.boundary(outline)?];
        for hole in children(polygon, "innerBoundaryIs") {
            rings.push(self.boundary(hole)?);
        }
        Ok(rings)
    }

    fn boundary(&mut self, boundary: Node<'_, '_>) -> Result<Vec<Vertex>, Problem> {
        let ring = child(boundary, "LinearRing")
            .ok_or_else(|| self.problem(begin(boundary), "there is no `LinearRing` in it"))?;
        let corners = self.coordinates(ring)?;
        self.closed(corners, begin(ring))
    }

    /// The positions in the `coordinates` of an element; heights are passed over.
    fn coordinates(&mut self, node: Node<'_, '_>) -> Result<Vec<Vertex>, Problem> {
        let coordinates = child(node, "coordinates").ok_or_else(|| {
            self.problem(begin(node), format!("this {} has no `coordinates`", node.tag_name().name()))
        })?;
        words(coordinates).into_iter().map(|(word, span)| self.corner(word, span)).collect()
    }

    fn corner(&mut self, word: &str, span: std::ops::Range<usize>) -> Result<Vertex, Problem> {
        let numbers: Vec<&str> = word.split(',').collect();
        let (&[longitude, latitude] | &[longitude, latitude, _]) = numbers.as_slice() else {
            let problem = self.problem(span, format!("`{word}` is no position"));
            return Err(problem.help("write longitude,latitude without blanks, and blanks between positions"));
        };
        let counts = |text: &str, what: &str| {
            Counts::parse(text, 7).map_err(|_| self.problem(span.clone(), format!("`{text}` is no {what} in degrees")))
        };
        let (latitude, longitude) = (counts(latitude, "latitude")?, counts(longitude, "longitude")?);
        self.rounded += usize::from(!latitude.is_whole() || !longitude.is_whole());
        let latitude = self.ranged(span.clone(), latitude.nearest(), quantity::LATITUDE)?;
        let longitude = self.ranged(span.clone(), longitude.nearest(), quantity::LONGITUDE)?;
        let place = i32::try_from(latitude).ok().zip(i32::try_from(longitude).ok());
        let position = place.and_then(|(latitude, longitude)| Position::new(latitude, longitude));
        position
            .map(|position| Vertex { position, span: span.clone() })
            .ok_or_else(|| self.problem(span, "this is no place on Earth"))
    }
}

/// What is said of a placemark: its name, and the data that are added to it.
fn facts(placemark: Node<'_, '_>) -> Facts {
    let data = child(placemark, "ExtendedData").into_iter().flat_map(|data| {
        children(data, "Data").filter_map(|data| {
            let value = child(data, "value");
            Some(Fact {
                key: data.attribute("name")?.to_owned(),
                said: Said::Words(value.and_then(|value| value.text()).unwrap_or("").trim().to_owned()),
                span: begin(data),
                value: value.map_or_else(|| begin(data), inside),
            })
        })
    });
    let mut list: Vec<Fact> = data.collect();
    let name = child(placemark, "name").filter(|_| !list.iter().any(|fact| fact.key == "name"));
    list.extend(name.map(|name| Fact {
        key: "name".to_owned(),
        said: Said::Words(name.text().unwrap_or("").trim().to_owned()),
        span: begin(name),
        value: inside(name),
    }));
    Facts { list, begin: begin(placemark) }
}

/// Where the text of an element stands.
fn inside(node: Node<'_, '_>) -> std::ops::Range<usize> {
    node.first_child().map_or_else(|| begin(node), |text| text.range())
}
