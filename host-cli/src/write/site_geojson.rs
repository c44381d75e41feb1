//! The zones of limits as a GeoJSON site.

use std::fmt::Write as _;

use pinfold_core::{
    geometry::position::Position,
    model::{
        store::Limits,
        zone::{HeightReference, Shape, Zone, ZoneKind},
    },
};
use serde_json::{Map, Value, json};

use super::{degrees, hundredths};

/// The text of a site. Numbers are written digit by digit, so that no binary fraction stands in between.
pub(crate) fn text(limits: Limits<'_>) -> String {
    let zones: Vec<_> = limits.zones().collect();
    let mut features: Vec<String> = Vec::new();
    let mut rest = zones.as_slice();
    while let Some((first, _)) = rest.split_first() {
        // Parts of one zone stand together and are written as one.
        let parts = rest.iter().take_while(|(_, zone)| *zone == first.1).count().max(1);
        let (group, after) = rest.split_at(parts);
        features.push(feature(limits, group));
        rest = after;
    }
    format!("{{ \"type\": \"FeatureCollection\", \"features\": [\n{}\n] }}\n", features.join(",\n"))
}

fn feature(limits: Limits<'_>, parts: &[(u8, &Zone)]) -> String {
    let Some((_, zone)) = parts.first() else { return String::new() };
    let geometry = match zone.shape {
        Shape::Circle { center, .. } => format!("\"Point\", \"coordinates\": {}", position(&center)),
        Shape::Polygon if parts.len() == 1 => format!("\"Polygon\", \"coordinates\": {}", rings(limits, parts[0].0)),
        Shape::Polygon => {
            let all: Vec<String> = parts.iter().map(|(index, _)| rings(limits, *index)).collect();
            format!("\"MultiPolygon\", \"coordinates\": [{}]", all.join(", "))
        }
    };
    format!(
        "  {{ \"type\": \"Feature\", \"properties\": {},\n    \"geometry\": {{ \"type\": {geometry} }} }}",
        properties(zone)
    )
}

fn properties(zone: &Zone) -> String {
    let kind = match zone.kind {
        ZoneKind::KeepIn => "keep-in",
        ZoneKind::KeepOut => "keep-out",
        ZoneKind::People => "people",
    };
    let texts = [("zone", json!(kind)), ("name", json!(zone.name.as_str()))];
    let mut map: Map<String, Value> = texts.into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
    let mut numbers = Vec::new();
    if let Some(heights) = zone.heights {
        let reference = match heights.reference {
            HeightReference::AboveLaunch => "above-launch",
            HeightReference::AboveSea => "above-sea",
        };
        map.insert("heights".to_owned(), json!(reference));
        numbers.extend(heights.floor.map(|floor| ("floor_m", hundredths(floor.get()))));
        numbers.extend(heights.ceiling.map(|ceiling| ("ceiling_m", hundredths(ceiling.get()))));
    }
    if let Shape::Circle { radius, .. } = zone.shape {
        numbers.push(("radius_m", hundredths(radius.get())));
    }
    let mut text = Value::Object(map).to_string();
    text.pop();
    for (key, number) in numbers {
        let _ = write!(text, ",\"{key}\":{number}");
    }
    text.push('}');
    text
}

fn rings(limits: Limits<'_>, zone: u8) -> String {
    let ring = |ring: &[Position]| {
        // The last position of a ring is its first again.
        let positions: Vec<String> = ring.iter().chain(ring.first()).map(position).collect();
        format!("[{}]", positions.join(", "))
    };
    let rings: Vec<String> = limits.rings(zone).map(ring).collect();
    format!("[{}]", rings.join(", "))
}

fn position(position: &Position) -> String {
    format!("[{}, {}]", degrees(position.longitude.get()), degrees(position.latitude.get()))
}
