//! Lines of a GeoJSON file (RFC 7946). A position is longitude, latitude, and a height above the WGS 84 ellipsoid (section 4).

use jsonc_parser::ast::{Object, Value};

use super::{Line, Number, Point, Reference};
use crate::{
    arguments::route::Heights,
    problem::{Problem, Source},
    read::json::{Members, called, parse, span},
};

/// The reading of one file.
struct Reader<'s> {
    source: &'s Source,
    lines: Vec<Line>,
    /// Geometries that are no lines.
    passed_over: usize,
}

impl Members for Reader<'_> {
    fn problem(&self, span: std::ops::Range<usize>, say: impl Into<String>) -> Problem {
        self.source.problem(span, say)
    }
}

/// All lines of a file.
pub(super) fn lines(source: &Source, notes: &mut Vec<String>) -> Result<Vec<Line>, Problem> {
    let value = parse(source)?;
    let mut reader = Reader { source, lines: Vec::new(), passed_over: 0 };
    let root = reader.object(&value, "the file")?;
    reader.root(root)?;
    if reader.passed_over > 0 {
        notes.push(format!("geometries that are no lines are passed over: {}", reader.passed_over));
    }
    Ok(reader.lines)
}

impl Reader<'_> {
    fn root(&mut self, root: &Object<'_>) -> Result<(), Problem> {
        match self.word(root, "type", "the file")?.0 {
            "FeatureCollection" => {
                self.known_positions(root)?;
                let list = self.member(root, "features", "the FeatureCollection")?;
                for item in &self.array(list, "features")?.elements {
                    let feature = self.object(item, "a feature")?;
                    self.feature(feature)?;
                }
                Ok(())
            }
            "Feature" => self.feature(root),
            _ => self.geometry(root, None),
        }
    }

    /// Refuses what older files say of another reference of positions.
    fn known_positions(&self, root: &Object<'_>) -> Result<(), Problem> {
        match root.get("crs") {
            None => Ok(()),
            Some(member) => {
                let problem = self.problem(span(member), "`crs` is no part of GeoJSON any more (RFC 7946, section 4)");
                Err(problem.help("positions are WGS 84 longitude and latitude: convert them and take `crs` out"))
            }
        }
    }

    fn feature(&mut self, feature: &Object<'_>) -> Result<(), Problem> {
        self.known_positions(feature)?;
        match self.word(feature, "type", "a feature")? {
            ("Feature", _) => {}
            (other, at) => return Err(self.problem(at, format!("`{other}` stands where a Feature is to be"))),
        }
        let name = match feature.get("properties").map(|member| &member.value) {
            Some(Value::Object(properties)) => match properties.get("name").map(|member| &member.value) {
                Some(Value::StringLit(name)) => Some(name.value.to_string()),
                Some(_) | None => None,
            },
            Some(_) | None => None,
        };
        match self.member(feature, "geometry", "a feature")? {
            Value::NullKeyword(_) => Ok(()),
            geometry => {
                let geometry = self.object(geometry, "geometry")?;
                self.geometry(geometry, name)
            }
        }
    }

    fn geometry(&mut self, geometry: &Object<'_>, name: Option<String>) -> Result<(), Problem> {
        self.known_positions(geometry)?;
        match self.word(geometry, "type", "a geometry")? {
            ("LineString", _) => {
                let coordinates = self.member(geometry, "coordinates", "a LineString")?;
                self.line(coordinates, name)
            }
            ("MultiLineString", _) => {
                let list = self.member(geometry, "coordinates", "a MultiLineString")?;
                self.array(list, "coordinates")?.elements.iter().try_for_each(|line| self.line(line, name.clone()))
            }
            ("Point" | "MultiPoint" | "Polygon" | "MultiPolygon" | "GeometryCollection", _) => {
                self.passed_over += 1;
                Ok(())
            }
            (other, at) => Err(self.problem(at, format!("`{other}` is nothing that GeoJSON has"))),
        }
    }

    fn line(&mut self, coordinates: &Value<'_>, name: Option<String>) -> Result<(), Problem> {
        let list = self.array(coordinates, "coordinates")?;
        let points = list.elements.iter().map(|item| self.point(item)).collect::<Result<Vec<_>, _>>()?;
        let reference = Reference::ByFormat(Heights::Ellipsoid);
        let start = span(list).start;
        self.lines.push(Line { name, points, reference, span: start..start + 1 });
        Ok(())
    }

    fn point(&self, value: &Value<'_>) -> Result<Point, Problem> {
        let list = self.array(value, "a position")?;
        let numbers = list.elements.iter().take(3).map(|item| self.number(item)).collect::<Result<Vec<_>, _>>()?;
        let mut numbers = numbers.into_iter();
        let (Some(longitude), Some(latitude)) = (numbers.next(), numbers.next()) else {
            let problem = self.problem(span(list), "a position has a longitude and a latitude");
            return Err(problem.help("write [longitude, latitude] or [longitude, latitude, height]"));
        };
        Ok(Point { latitude, longitude, height: numbers.next(), speed: None, hold: None, span: span(list) })
    }

    fn number(&self, value: &Value<'_>) -> Result<Number, Problem> {
        match value {
            Value::NumberLit(number) => Ok(Number { text: number.value.to_owned(), span: span(value) }),
            other => Err(self.problem(span(other), format!("a coordinate is to be a number, not {}", called(other)))),
        }
    }
}
