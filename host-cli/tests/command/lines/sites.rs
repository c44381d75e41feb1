//! Sites from KML: the same zones as from GeoJSON, held to the same demands.

use std::fmt::Write as _;

use serde_json::Value;

use crate::support::{Copy, example};

/// The example's site as KML.
fn as_kml() -> String {
    let text = std::fs::read_to_string(example().join("site.geojson")).expect("a site");
    let site: Value = serde_json::from_str(&text).expect("JSON");
    let placemarks: String = site["features"].as_array().expect("features").iter().map(placemark).collect();
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document>\n{placemarks}</Document></kml>\n"
    )
}

fn placemark(feature: &Value) -> String {
    let (properties, geometry) = (&feature["properties"], &feature["geometry"]);
    let mut text =
        format!("<Placemark>\n<name>{}</name>\n<ExtendedData>", properties["name"].as_str().expect("a name"));
    for (key, value) in properties.as_object().expect("properties").iter().filter(|(key, _)| *key != "name") {
        let value = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        let _ = write!(text, "<Data name=\"{key}\"><value>{value}</value></Data>");
    }
    text.push_str("</ExtendedData>\n");
    let position = |position: &Value| format!("{},{} ", position[0], position[1]);
    let coordinates = &geometry["coordinates"];
    match geometry["type"].as_str() {
        Some("Point") => {
            let _ = write!(text, "<Point><coordinates>{}</coordinates></Point>", position(coordinates));
        }
        Some("Polygon") => {
            text.push_str("<Polygon>");
            for (ring, number) in coordinates.as_array().expect("rings").iter().zip(0..) {
                let side = if number == 0 { "outerBoundaryIs" } else { "innerBoundaryIs" };
                let corners: String = ring.as_array().expect("a ring").iter().map(position).collect();
                let _ =
                    write!(text, "<{side}><LinearRing><coordinates>\n{corners}</coordinates></LinearRing></{side}>");
            }
            text.push_str("</Polygon>");
        }
        other => panic!("{other:?}"),
    }
    text + "</Placemark>\n"
}

fn with_site(kml: &str) -> Copy {
    Copy::new().with("site.kml", kml).edit("limits.toml", "site.geojson", "site.kml")
}

fn changed(old: &str, new: &str) -> Copy {
    let text = as_kml();
    assert!(text.contains(old), "no {old} in {text}");
    with_site(&text.replacen(old, new, 1))
}

#[test]
fn the_same_site_gives_the_same_bytes() {
    let bytes = |copy: &Copy| {
        let run = copy.run(&["pack", "limits.toml", "-o", "limits.packed"]);
        assert_eq!(run.code, 0, "{}", run.err);
        std::fs::read(copy.path().join("limits.packed")).expect("bytes")
    };
    let geojson = bytes(&Copy::new());
    assert!(bytes(&with_site(&as_kml())) == geojson);
    // As some programs write data.
    let simple = as_kml()
        .replace("<ExtendedData><Data", "<ExtendedData><SchemaData schemaUrl=\"#zones\"><Data")
        .replace("</ExtendedData>", "</SchemaData></ExtendedData>")
        .replace("<Data ", "<SimpleData ")
        .replace("<value>", "")
        .replace("</value></Data>", "</SimpleData>");
    assert!(bytes(&with_site(&simple)) == geojson);
    with_site(&as_kml()).is_go();
}

#[test]
fn a_zone_says_what_it_is() {
    changed("<Data name=\"zone\"><value>keep-in</value></Data>", "").is_unusable(&[
        "site.kml:3:1",
        "no `zone`",
        "<Data name=\"zone\">",
    ]);
    changed("keep-in", "keepin").is_unusable(&["`keepin` is no kind of zone", "did you mean `keep-in`?"]);
    changed("<name>water meadow</name>", "").is_unusable(&["no `name`", "<name>...</name>"]);
    changed("name=\"ceiling_m\"", "name=\"cieling_m\"")
        .is_unusable(&["unknown member `cieling_m`", "did you mean `ceiling_m`?"]);
    changed("<Data name=\"heights\"><value>above-launch</value></Data>", "").is_unusable(&["measured from"]);
    changed("<value>16.0</value>", "<value>high</value>").is_unusable(&["ceiling_m is no number"]);
    changed("<value>16.0</value>", "<value>1_6</value>").is_unusable(&["ceiling_m is no number"]);
    changed("<Data name=\"zone\">", "<Data>").is_unusable(&["this `Data` has no `name`"]);
}

#[test]
fn what_is_said_twice_is_refused() {
    let zone = "<Data name=\"zone\"><value>keep-in</value></Data>";
    changed(zone, &format!("{zone}{}", zone.replace("keep-in", "people"))).is_unusable(&["`zone` is said twice"]);
    changed(zone, &format!("{zone}<Data name=\"name\"><value>x</value></Data>")).is_unusable(&["`name` is said twice"]);
    changed("<name>water meadow</name>", "<name>a</name><name>b</name>").is_unusable(&["a second `name`"]);
    changed("<value>keep-in</value>", "<value>keep-in</value><value>people</value>").is_unusable(&["a second `value`"]);
}

#[test]
fn no_ring_is_dropped() {
    let text = as_kml();
    let ring = "<LinearRing><coordinates>-17.3991,46.2003 -17.399,46.2003 -17.399,46.2004 -17.3991,46.2003</coordinates></LinearRing>";
    let hole = format!("<innerBoundaryIs>{ring}</innerBoundaryIs></Polygon>");
    let stopped = with_site(&text.replacen("</Polygon>", &hole, 1)).check();
    assert!(
        stopped.code == 1 && stopped.out.contains("keep-in"),
        "a hole in keep-in counts: {}{}",
        stopped.out,
        stopped.err
    );
    with_site(&text.replacen(
        "</Polygon>",
        &hole.replace("</innerBoundaryIs>", &format!("{ring}</innerBoundaryIs>")),
        1,
    ))
    .is_unusable(&["a second `LinearRing`"]);
    changed("</outerBoundaryIs>", &format!("{ring}</outerBoundaryIs>")).is_unusable(&["a second `LinearRing`"]);
}

#[test]
fn corners_behind_a_comment_count() {
    let text = as_kml().replacen("-17.397734,46.199728 ", "<!-- the gate --> -17.397734,46.199728 ", 1);
    with_site(&text).is_go();
}

#[test]
fn an_open_ring_or_a_crossing_is_shown() {
    changed("-17.400299,46.199762 </coordinates>", "</coordinates>").is_unusable(&["a ring is closed"]);
    changed("-17.397734,46.199728 -17.397606,46.200584", "-17.397606,46.200584 -17.397734,46.199728").is_unusable(&[
        "site.kml:",
        "\"water meadow\": the edge to",
        "touch or cross",
    ]);
}

#[test]
fn what_is_no_area_is_refused() {
    let line = "<LineString><coordinates>1,2 3,4</coordinates></LineString>";
    changed("</Polygon>", &format!("</Polygon>{line}")).is_unusable(&["a LineString is no area"]);
    changed("<Data name=\"radius_m\"><value>4.0</value></Data>", "").is_unusable(&["a Point is no area", "radius_m"]);
    changed(
        "<value>keep-in</value></Data>",
        "<value>keep-in</value></Data><Data name=\"radius_m\"><value>4</value></Data>",
    )
    .is_unusable(&["`radius_m` means nothing on a polygon"]);
    changed("<Document>", "<Document><Placemark><name>x</name><ExtendedData><Data name=\"zone\"><value>people</value></Data></ExtendedData></Placemark>")
        .is_unusable(&["this zone has no area"]);
    changed("<Document>", "<Document><NetworkLink/>").is_unusable(&["a part of this site is elsewhere"]);
    changed("http://www.opengis.net/kml/2.2", "http://example.org").is_unusable(&["no KML 2"]);
    changed("</kml>", "").is_unusable(&["not XML"]);
}

#[test]
fn several_polygons_are_one_zone_but_not_for_keep_in() {
    let text = as_kml();
    let both = |text: &str, from: usize| {
        let start = from + text[from..].find("<Polygon>").expect("a polygon");
        let end = start + text[start..].find("</Polygon>").expect("its end") + "</Polygon>".len();
        let moved = text[start..end].replace("46.2", "46.3").replace("46.199", "46.299");
        format!("{}<MultiGeometry>{}{moved}</MultiGeometry>{}", &text[..start], &text[start..end], &text[end..])
    };
    with_site(&both(&text, 0)).is_unusable(&["a keep-in zone is one Polygon"]);
    with_site(&both(&text, text.find("power line").expect("a zone"))).is_go();
}
