//! Sites from GeoJSON (RFC 7946): each Feature is a zone.

use std::ops::Range;

use jsonc_parser::ast::{Array, Object, Value};
use pinfold_core::{
    geometry::position::Position,
    model::zone::{
        HeightBand, HeightReference, LimitsError, LimitsStore, RINGS, Shape, VERTICES, ZONES, Zone, ZoneKind,
    },
    units::{Height, Length},
};

use super::{
    json::{called, parse, span},
    quantity,
    take::fitting_name,
};
use crate::{
    problem::{Problem, Source, nearest},
    text::{
        decimal::{Counts, written},
        table::{Finer, Quantity, suggestion},
    },
};

/// Properties that mean something.
const PROPERTIES: [&str; 6] = ["zone", "name", "floor_m", "ceiling_m", "heights", "radius_m"];

/// A corner, and where it is written.
#[derive(Clone)]
struct Vertex {
    position: Position,
    span: Range<usize>,
}

/// A zone with its rings, and where it is written.
struct Feature {
    zone: Zone,
    rings: Vec<Vec<Vertex>>,
    span: Range<usize>,
}

/// All zones of a file.
pub(crate) struct Site {
    zones: Vec<Feature>,
    /// How many positions were finer than the unit.
    pub(crate) rounded: usize,
}

/// Reads a site.
pub(crate) fn read(source: &Source, notes: &mut Vec<String>) -> Result<Site, Problem> {
    let value = parse(source)?;
    let mut reader = Reader { source, notes, rounded: 0 };
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
            | LimitsError::Name(index)
            | LimitsError::Heights(index)
            | LimitsError::Few(index) => zone(index).map(|zone| zone.span.clone()),
            LimitsError::NoFigures
            | LimitsError::Contradiction(_)
            | LimitsError::TooManyZones
            | LimitsError::TooManyVertices
            | LimitsError::Misplaced
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
        LimitsError::Name(_) => "another zone has this name already".into(),
        LimitsError::Heights(_) => "the zone's floor is not below its ceiling".into(),
        LimitsError::Few(_) => "a ring needs three corners at least, a circle a radius".into(),
        LimitsError::Wide(..) => "this corner is more than 50 degrees away from the zone's first".into(),
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
        LimitsError::NoFigures
        | LimitsError::Contradiction(_)
        | LimitsError::TooManyZones
        | LimitsError::TooManyVertices
        | LimitsError::Misplaced
        | LimitsError::Few(_) => "correct the zone",
    }
}

/// The reading of one file.
struct Reader<'a> {
    source: &'a Source,
    notes: &'a mut Vec<String>,
    rounded: usize,
}

impl Reader<'_> {
    fn problem(&self, span: Range<usize>, say: impl Into<String>) -> Problem {
        self.source.problem(span, say)
    }

    fn features<'v>(&self, value: &'v Value<'v>) -> Result<Vec<&'v Object<'v>>, Problem> {
        let root = self.object(value, "the file")?;
        match self.word(root, "type", "the file")?.0 {
            "FeatureCollection" => {}
            other => {
                return Err(self
                    .problem(span(root).start..span(root).start + 1, format!("a {other} is no FeatureCollection"))
                    .help("a site is a GeoJSON FeatureCollection (RFC 7946); each Feature is a zone"));
            }
        }
        let list = self.member(root, "features", "the FeatureCollection")?;
        self.array(list, "features")?.elements.iter().map(|item| self.object(item, "a feature")).collect()
    }

    /// The zones of a feature: a MultiPolygon is several of one name.
    fn feature(&mut self, feature: &Object<'_>) -> Result<Vec<Feature>, Problem> {
        let place = span(feature).start..span(feature).start + 1;
        match self.word(feature, "type", "a feature")? {
            ("Feature", _) => {}
            (other, at) => return Err(self.problem(at, format!("`{other}` stands where a Feature is to be"))),
        }
        let properties = self.object(self.member(feature, "properties", "a feature")?, "properties")?;
        self.known_properties(properties)?;
        let kind = self.kind(properties)?;
        let (name, at) = self.word(properties, "name", "a zone's properties")?;
        let name = fitting_name(name).map_err(|say| self.problem(at, say))?;
        let heights = self.heights(properties)?;
        let geometry = self.object(self.member(feature, "geometry", "a feature")?, "geometry")?;
        let (form, at) = self.word(geometry, "type", "a geometry")?;
        let coordinates = self.member(geometry, "coordinates", "a geometry")?;
        let zone = |shape| Zone { name: name.clone(), kind, heights, shape };
        let radius = properties.get("radius_m");
        if form != "Point"
            && let Some(property) = radius
        {
            return Err(self
                .problem(span(property), "`radius_m` means nothing on a polygon")
                .help("a circle is a Point with radius_m"));
        }
        match form {
            "Polygon" => {
                let rings = self.rings(coordinates)?;
                Ok(vec![Feature { zone: zone(Shape::Polygon), rings, span: place }])
            }
            "MultiPolygon" if kind == ZoneKind::KeepIn => Err(self
                .problem(at, "a keep-in zone is one Polygon, not several")
                .help("draw the area to stay inside as one polygon")),
            "MultiPolygon" => {
                let parts = &self.array(coordinates, "coordinates")?.elements;
                let part = |part| {
                    self.rings(part).map(|rings| Feature { zone: zone(Shape::Polygon), rings, span: place.clone() })
                };
                parts.iter().map(part).collect()
            }
            "Point" => {
                let center = self.position(coordinates)?.position;
                let Some(radius) = radius else {
                    let problem = self.problem(at, "a Point is no area");
                    return Err(problem.help("write \"radius_m\": … in its properties: a circle"));
                };
                let count = self.count(&radius.value, "radius_m", quantity::LENGTH, Finer::Up)?;
                let radius = i32::try_from(count).ok().and_then(Length::new);
                let radius = radius.ok_or_else(|| self.problem(place.clone(), "`radius_m` is out of range"))?;
                Ok(vec![Feature { zone: zone(Shape::Circle { center, radius }), rings: Vec::new(), span: place }])
            }
            other => Err(self
                .problem(at, format!("a {other} is no zone"))
                .help("use a Polygon, a MultiPolygon, or a Point with radius_m")),
        }
    }

    /// Unknown properties are passed over, and that is said, unless they look like a slip of a known one or like a measure.
    fn known_properties(&mut self, properties: &Object<'_>) -> Result<(), Problem> {
        for property in &properties.properties {
            let word = property.name.as_str();
            if PROPERTIES.contains(&word) {
                continue;
            }
            let near = nearest(word, &PROPERTIES);
            if near.is_some() || word.ends_with("_m") {
                let help = suggestion(word, &PROPERTIES);
                return Err(self.problem(span(property), format!("unknown property `{word}`")).help(help));
            }
            self.notes.push(format!(
                "{}: the property `{word}` means nothing here and is passed over",
                self.source.path.display()
            ));
        }
        Ok(())
    }

    fn kind(&self, properties: &Object<'_>) -> Result<ZoneKind, Problem> {
        let words = ["keep-in", "keep-out", "people"];
        let (word, at) = self.word(properties, "zone", "a zone's properties")?;
        match word {
            "keep-in" => Ok(ZoneKind::KeepIn),
            "keep-out" => Ok(ZoneKind::KeepOut),
            "people" => Err(self
                .problem(at, "zones of people need the rule `people`, which this version doesn't have")
                .help("make it a keep-out zone, larger than the distance to people that you must keep")),
            _ => Err(self.problem(at, format!("`{word}` is no kind of zone")).help(suggestion(word, &words))),
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
                .help("write \"heights\": \"above-launch\" or \"above-sea\" beside them"));
        };
        let (word, at) = self.word(properties, "heights", "a zone's properties")?;
        let reference = match word {
            "above-launch" => HeightReference::AboveLaunch,
            "above-sea" => HeightReference::AboveSea,
            "above-ground" => {
                return Err(self
                    .problem(at, "heights above ground need ground data, which this version doesn't read")
                    .help("give the heights above launch or above the sea"));
            }
            _ => {
                return Err(self
                    .problem(span(property), format!("`{word}` is no reference of heights"))
                    .help(suggestion(word, &words)));
            }
        };
        Ok(Some(HeightBand { reference, floor, ceiling }))
    }

    fn rings(&mut self, value: &Value<'_>) -> Result<Vec<Vec<Vertex>>, Problem> {
        let rings = self.array(value, "a polygon's coordinates")?;
        if rings.elements.is_empty() {
            return Err(self.problem(span(rings), "a polygon without rings"));
        }
        rings.elements.iter().map(|ring| self.ring(ring)).collect()
    }

    /// A closed ring, without its repeated last position and without doubled corners.
    fn ring(&mut self, value: &Value<'_>) -> Result<Vec<Vertex>, Problem> {
        let list = self.array(value, "a ring")?;
        let mut ring = list.elements.iter().map(|item| self.position(item)).collect::<Result<Vec<_>, _>>()?;
        let closed = ring.first().map(|vertex| vertex.position) == ring.last().map(|vertex| vertex.position);
        if ring.len() < 4 || !closed {
            let at = ring.last().map_or_else(|| span(list), |vertex| vertex.span.clone());
            return Err(self
                .problem(at, "a ring is closed: it has four positions at least, and the last is the first again")
                .help("repeat the first position at the end of the ring"));
        }
        ring.pop();
        ring.dedup_by(|one, two| one.position == two.position);
        while ring.len() > 1 && ring.first().map(|vertex| vertex.position) == ring.last().map(|vertex| vertex.position)
        {
            ring.pop();
        }
        Ok(ring)
    }

    /// A position: longitude, latitude, and a height that is passed over.
    fn position(&mut self, value: &Value<'_>) -> Result<Vertex, Problem> {
        let list = self.array(value, "a position")?;
        let (Some(longitude), Some(latitude)) = (list.elements.first(), list.elements.get(1)) else {
            return Err(self
                .problem(span(list), "a position has a longitude and a latitude")
                .help("write [longitude, latitude]"));
        };
        let rounded = self.rounded;
        let (latitude, longitude) =
            (self.degrees(latitude, quantity::LATITUDE)?, self.degrees(longitude, quantity::LONGITUDE)?);
        self.rounded = self.rounded.min(rounded + 1);
        let place = i32::try_from(latitude).ok().zip(i32::try_from(longitude).ok());
        let position = place.and_then(|(latitude, longitude)| Position::new(latitude, longitude));
        position
            .map(|position| Vertex { position, span: span(list) })
            .ok_or_else(|| self.problem(span(list), "this is no place on Earth"))
    }

    /// Degrees to the nearest 1e-7; how often digits were lost is counted.
    fn degrees(&mut self, value: &Value<'_>, quantity: Quantity) -> Result<i64, Problem> {
        let counts = self.counts(value, "a coordinate", quantity)?;
        self.rounded += usize::from(!counts.is_whole());
        self.ranged(value, counts.nearest(), quantity)
            .map_err(|problem| problem.help("in GeoJSON a position is [longitude, latitude]: are they exchanged?"))
    }

    /// A measure, rounded where it is finer than the unit, and that is said.
    fn count(&mut self, value: &Value<'_>, key: &str, quantity: Quantity, finer: Finer) -> Result<i64, Problem> {
        let counts = self.counts(value, key, quantity)?;
        let count = if finer == Finer::Down { counts.floor() } else { counts.ceil() };
        let count = self.ranged(value, count, quantity)?;
        if !counts.is_whole() {
            let taken = written(count, quantity.digits);
            self.notes.push(format!("{}: `{key}` is rounded to {taken} {}", self.source.path.display(), quantity.unit));
        }
        Ok(count)
    }

    fn counts(&self, value: &Value<'_>, what: &str, quantity: Quantity) -> Result<Counts, Problem> {
        let wrong = |say: String| self.problem(span(value), say).help(format!("write a number in {}", quantity.unit));
        let Value::NumberLit(number) = value else {
            return Err(wrong(format!("{what} is to be a number, not {}", called(value))));
        };
        Counts::parse(number.value, quantity.digits)
            .map_err(|_| wrong(format!("{what} is no number that can be meant here")))
    }

    fn ranged(&self, value: &Value<'_>, count: Option<i64>, quantity: Quantity) -> Result<i64, Problem> {
        let (least, most) = quantity.range;
        count.filter(|count| (least..=most).contains(count)).ok_or_else(|| {
            let [least, most] = [least, most].map(|end| written(end, quantity.digits));
            self.problem(span(value), format!("out of range: from {least} to {most} {}", quantity.unit))
        })
    }

    fn member<'v>(&self, object: &'v Object<'v>, key: &str, what: &str) -> Result<&'v Value<'v>, Problem> {
        let start = span(object).start;
        let missing =
            || self.problem(start..start + 1, format!("{what} has no `{key}`")).help(format!("add \"{key}\": …"));
        object.get(key).map(|property| &property.value).ok_or_else(missing)
    }

    fn word<'v>(&self, object: &'v Object<'v>, key: &str, what: &str) -> Result<(&'v str, Range<usize>), Problem> {
        let value = self.member(object, key, what)?;
        match value {
            Value::StringLit(text) => Ok((&text.value, span(value))),
            other => Err(self.problem(span(value), format!("`{key}` is to be a text, not {}", called(other)))),
        }
    }

    fn object<'v>(&self, value: &'v Value<'v>, what: &str) -> Result<&'v Object<'v>, Problem> {
        value
            .as_object()
            .ok_or_else(|| self.problem(span(value), format!("{what} is to be an object, not {}", called(value))))
    }

    fn array<'v>(&self, value: &'v Value<'v>, what: &str) -> Result<&'v Array<'v>, Problem> {
        value
            .as_array()
            .ok_or_else(|| self.problem(span(value), format!("{what} is to be a list, not {}", called(value))))
    }
}
