//! Sites as people get them wrong by hand.

use crate::support::Copy;

fn site(old: &str, new: &str) -> Copy {
    Copy::new().edit("site.geojson", old, new)
}

/// A site with a keep-in square about the tour and these features too.
fn with_feature(feature: &str) -> Copy {
    site("] }\n", &format!(",\n{feature}\n] }}\n"))
}

#[test]
fn an_open_ring_is_shown() {
    site("[-17.400299, 46.199762]]", "[-17.400298, 46.199762]]")
        .is_unusable(&["a ring is closed", "repeat the first position"]);
}

#[test]
fn a_ring_that_crosses_itself_is_shown_with_the_place() {
    site(
        "[-17.397734, 46.199728],\n        [-17.397606, 46.200584]",
        "[-17.397606, 46.200584],\n        [-17.397734, 46.199728]",
    )
    .is_unusable(&["\"water meadow\": the edge to", "touch or cross", "order of the corners"]);
}

#[test]
fn a_ring_that_folds_back_is_refused() {
    site("[-17.397734, 46.199728],", "[-17.397734, 46.199728], [-17.400299, 46.199762],")
        .is_unusable(&["touch or cross"]);
}

#[test]
fn a_doubled_corner_and_the_other_direction_are_accepted() {
    let run = site("[-17.397734, 46.199728],", "[-17.397734, 46.199728], [-17.397734, 46.199728],").check();
    assert_eq!(run.code, 0, "{}", run.err);
}

#[test]
fn a_third_coordinate_is_passed_over() {
    assert_eq!(site("[-17.397734, 46.199728],", "[-17.397734, 46.199728, 12.5],").check().code, 0);
}

#[test]
fn there_is_one_keep_in_zone() {
    site("\"keep-in\"", "\"keep-out\"").is_unusable(&["there is no keep-in zone"]);
    site(
        "\"keep-out\", \"name\": \"power line\", \"ceiling_m\": 16.0, \"heights\": \"above-launch\"",
        "\"keep-in\", \"name\": \"line\"",
    )
    .is_unusable(&["this is a second keep-in zone"]);
}

#[test]
fn a_launch_outside_keep_in_is_no_go() {
    Copy::new()
        .edit("route.toml", "lat = 46.2\nlon = -17.4\n", "lat = 46.2\nlon = -17.401\n")
        .is_stopped_by("keep-in", Some(2));
}

#[test]
fn a_zone_of_people_has_no_heights() {
    let people = "\"zone\": \"people\", \"name\": \"ferry landing\"";
    for (member, place) in [
        ("\"ceiling_m\": 5.0, \"heights\": \"above-launch\"", "`ceiling_m` means"),
        ("\"floor_m\": 5.0, \"heights\": \"above-sea\"", "`floor_m` means"),
        ("\"heights\": \"above-launch\"", "`heights` means"),
        ("\"heights\": \"above-ground\"", "`heights` means"),
    ] {
        site(people, &format!("{people}, {member}")).is_unusable(&[
            place,
            "zone of people",
            "site.geojson:35:64",
            "as far away as it is high",
        ]);
    }
}

#[test]
fn people_can_be_a_polygon_several_or_a_circle() {
    let zone = |geometry: &str, more: &str| {
        format!(
            r#"{{ "type": "Feature", "properties": {{ "zone": "people", "name": "crowd"{more} }}, "geometry": {geometry} }}"#
        )
    };
    let ring = "[[-17.3995, 46.2005], [-17.3994, 46.2005], [-17.3994, 46.2006], [-17.3995, 46.2005]]";
    let far = "[[-17.3995, 46.2105], [-17.3994, 46.2105], [-17.3994, 46.2106], [-17.3995, 46.2105]]";
    let circle = "{ \"type\": \"Point\", \"coordinates\": [-17.39945, 46.20055] }";
    with_feature(&zone(circle, ", \"radius_m\": 5.0")).is_stopped_by("people", Some(3));
    with_feature(&zone(&format!("{{ \"type\": \"Polygon\", \"coordinates\": [{ring}] }}"), ""))
        .is_stopped_by("people", Some(3));
    with_feature(&zone(&format!("{{ \"type\": \"MultiPolygon\", \"coordinates\": [[{far}], [{ring}]] }}"), ""))
        .is_stopped_by("people", Some(3));
    with_feature(&zone(circle, "")).is_unusable(&["a Point is no area", "radius_m"]);
}

#[test]
fn an_unknown_word_names_its_nearest() {
    site("\"keep-in\"", "\"keepin\"").is_unusable(&["`keepin`", "did you mean `keep-in`?"]);
    site("\"radius_m\"", "\"radus_m\"").is_unusable(&["did you mean `radius_m`?"]);
    site("\"radius_m\": 4.0", "\"radius_m\": 4.0, \"depth_m\": 3.0").is_unusable(&["unknown member `depth_m`"]);
}

#[test]
fn a_property_that_means_nothing_is_passed_over_and_that_is_said() {
    let run = site("\"radius_m\": 4.0", "\"radius_m\": 4.0, \"colour\": \"red\"").check();
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.err.contains("`colour` means nothing here"), "{}", run.err);
}

#[test]
fn heights_of_a_zone_say_what_they_are_measured_from() {
    site(", \"heights\": \"above-launch\"", "").is_unusable(&["measured from"]);
    site("\"ceiling_m\": 16.0, ", "").is_unusable(&["`heights` without floor_m or ceiling_m"]);
    site("\"ceiling_m\": 16.0", "\"floor_m\": 20.0, \"ceiling_m\": 16.0")
        .is_unusable(&["floor is not below its ceiling"]);
    site("\"ceiling_m\": 16.0", "\"ceiling_m\": \"16\"").is_unusable(&["a number, not a text"]);
}

#[test]
fn a_keep_in_zone_is_one_polygon_without_heights() {
    site(
        "\"name\": \"water meadow\"",
        "\"name\": \"water meadow\", \"ceiling_m\": 50.0, \"heights\": \"above-launch\"",
    )
    .is_unusable(&["without heights of its own"]);
}

#[test]
fn two_zones_are_not_called_the_same() {
    site("old chimney", "boat house").is_unusable(&["another zone has this name already"]);
}

#[test]
fn a_point_without_a_radius_is_no_area() {
    site(", \"radius_m\": 4.0", "").is_unusable(&["a Point is no area", "radius_m"]);
    site("\"radius_m\": 4.0", "\"radius_m\": 0.0").is_unusable(&["a circle a radius"]);
}

#[test]
fn exchanged_longitude_and_latitude_are_suspected() {
    site("[-17.397734, 46.199728]", "[46.199728, -97.397734]").is_unusable(&["are they exchanged?"]);
}

#[test]
fn a_zone_on_the_other_side_of_the_world_is_out_of_reach() {
    let far = r#"{ "type": "Feature", "properties": { "zone": "keep-out", "name": "far" },
        "geometry": { "type": "Polygon", "coordinates": [[[10.0, 50.0], [10.1, 50.0], [10.0, 50.1], [10.0, 50.0]]] } }"#;
    with_feature(far).is_stopped_by("extent", None);
}

#[test]
fn a_hole_is_inside_its_ring_and_does_not_touch_it() {
    let zone = |hole: &str| {
        format!(
            r#"{{ "type": "Feature", "properties": {{ "zone": "keep-out", "name": "pond" }}, "geometry": {{ "type": "Polygon",
            "coordinates": [[[-17.41, 46.21], [-17.40, 46.21], [-17.40, 46.22], [-17.41, 46.22], [-17.41, 46.21]], {hole}] }} }}"#
        )
    };
    let inside = "[[-17.408, 46.212], [-17.402, 46.212], [-17.402, 46.218], [-17.408, 46.212]]";
    assert_eq!(with_feature(&zone(inside)).check().code, 0);
    let touching = "[[-17.41, 46.212], [-17.402, 46.212], [-17.402, 46.218], [-17.41, 46.212]]";
    with_feature(&zone(touching)).is_unusable(&["\"pond\"", "touch or cross"]);
    let outside = "[[-17.398, 46.212], [-17.392, 46.212], [-17.392, 46.218], [-17.398, 46.212]]";
    with_feature(&zone(outside)).is_unusable(&["this hole is not inside"]);
}

#[test]
fn the_parts_of_a_zone_are_reported_as_one() {
    let parts = r#"{ "type": "Feature", "properties": { "zone": "keep-out", "name": "ponds" }, "geometry": { "type":
        "MultiPolygon", "coordinates": [[[[-17.41, 46.21], [-17.40, 46.21], [-17.40, 46.22], [-17.41, 46.21]]],
        [[[-17.41, 46.23], [-17.40, 46.23], [-17.40, 46.24], [-17.41, 46.23]]]] } }"#;
    let (code, json) = with_feature(parts).check_json();
    assert_eq!(code, 0);
    let ponds = json["closest"]
        .as_array()
        .expect("a list")
        .iter()
        .filter(|place| place["zone"] == "ponds" && place["rule"] == "keep-out")
        .count();
    assert_eq!(ponds, 1);
}

#[test]
fn too_many_zones_and_corners_are_counted() {
    let circles: Vec<String> = (0..11)
        .map(|number| {
            format!(
                r#"{{ "type": "Feature", "properties": {{ "zone": "keep-out", "name": "n{number}", "radius_m": 1.0 }},
                "geometry": {{ "type": "Point", "coordinates": [-17.41, 46.21] }} }}"#
            )
        })
        .collect();
    with_feature(&circles.join(",\n")).is_unusable(&["17 zones; 16 are the most"]);
    let corners: Vec<String> =
        (0..260).map(|number| format!("[-17.41, {}]", 46.21 + f64::from(number) * 1e-5)).collect();
    let many = format!(
        r#"{{ "type": "Feature", "properties": {{ "zone": "keep-out", "name": "many" }}, "geometry": {{ "type": "Polygon",
        "coordinates": [[[-17.42, 46.21], {}, [-17.42, 46.21]]] }} }}"#,
        corners.join(", ")
    );
    with_feature(&many).is_unusable(&["256 are the most"]);
}

#[test]
fn positions_finer_than_the_unit_widen_the_margin() {
    let copy = site("[-17.397734, 46.199728]", "[-17.39773412345, 46.199728]");
    let run = copy.check();
    assert_eq!(run.code, 0);
    assert!(run.err.contains("1 positions are finer than 1e-7 degree"), "{}", run.err);
    let (_, json) = copy.check_json();
    let keep_in = json["closest"].as_array().expect("a list").iter().find(|place| place["rule"] == "keep-in");
    assert_eq!(keep_in.expect("keep-in")["required"], 11.83, "7.01 m instead of 7 m fixed");
}

#[test]
fn what_is_no_geojson_is_explained() {
    Copy::new().with("site.geojson", "[1, 2").is_unusable(&["not JSON"]);
    Copy::new().with("site.geojson", "").is_unusable(&["the file is empty"]);
    Copy::new().with("site.geojson", "{ \"type\": \"Feature\" }").is_unusable(&["no FeatureCollection"]);
    Copy::new().with("site.geojson", "[".repeat(200_000)).is_unusable(&["nested deeper"]);
    site("[-17.397734, 46.199728]", "[NaN, 46.199728]").is_unusable(&["not JSON"]);
    site("[-17.397734, 46.199728]", "[1e999, 46.199728]").is_unusable(&["a coordinate"]);
    site("[-17.397734, 46.199728]", "[null, 46.199728]").is_unusable(&["a number, not null"]);
    site("\"Point\", \"coordinates\": [", "\"MultiPolygon\", \"coordinates\": [], \"x\": [")
        .edit("site.geojson", ", \"radius_m\": 4.0", "")
        .is_unusable(&["a MultiPolygon without polygons"]);
    site("\"Polygon\"", "\"LineString\"").is_unusable(&["a LineString is no zone"]);
}

#[test]
fn a_member_that_stands_twice_is_refused() {
    site("\"radius_m\": 4.0", "\"radius_m\": 4.0, \"radius_m\": 40.0").is_unusable(&["`radius_m` stands here twice"]);
    site("\"features\": [", "\"features\": [], \"features\": [").is_unusable(&["`features` stands here twice"]);
}

#[test]
fn a_member_in_the_wrong_place_is_not_passed_over() {
    let circle = "\"properties\": { \"zone\": \"keep-out\", \"name\": \"old chimney\"";
    site(circle, &format!("\"ceiling_m\": 5.0, {circle}")).is_unusable(&["`ceiling_m`", "belongs into \"properties\""]);
    site(circle, &format!("\"zonne\": \"people\", {circle}")).is_unusable(&["unknown member `zonne`"]);
    site("\"features\"", "\"crs\": { \"type\": \"name\" }, \"features\"").is_unusable(&["`crs`", "WGS 84"]);
    let run = site("\"features\"", "\"generator\": \"by hand\", \"features\"").check();
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.err.contains("`generator` means nothing here"), "{}", run.err);
}

#[test]
fn two_circles_of_one_name_are_two_zones() {
    let circle = r#"{ "type": "Feature", "properties": { "zone": "keep-out", "name": "old chimney", "radius_m": 4.0 },
        "geometry": { "type": "Point", "coordinates": [-17.399145, 46.200891] } }"#;
    with_feature(&format!("{circle},\n{}", circle.replace("old", "new"))).is_unusable(&["another zone has this name"]);
}
