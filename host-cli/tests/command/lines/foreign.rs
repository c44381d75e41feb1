//! Files that nobody here wrote (`tests/files/README.md` names their sources), and the standards' own examples.

use std::path::Path;

use super::{geojson, refused, route};

const FLAT: [&str; 4] = ["--speed", "4", "--height-m", "20"];

fn file(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/files").join(name)).expect("a file")
}

fn text(name: &str) -> String {
    String::from_utf8(file(name)).expect("text")
}

fn with_line<'a>(line: &'a str, options: &[&'a str]) -> Vec<&'a str> {
    [options, &["--line", line]].concat()
}

#[test]
fn rfc_7946_appendix_a_2_line_string() {
    let (route, _) = route("x.geojson", &geojson("[100.0, 0.0],\n[101.0, 1.0]"), &FLAT);
    for part in ["lat = 0.0\nlon = 100.0", "lat = 1.0\nlon = 101.0"] {
        assert!(route.contains(part), "no «{part}» in {route}");
    }
}

#[test]
fn geojson_line_and_collection() {
    assert!(route("good-linestring.geojson", &text("good-linestring.geojson"), &FLAT).0.contains("lon = 101.0"));
    let (line, said) = route("x.geojson", &text("good-featurecollection.geojson"), &FLAT);
    assert_eq!(line.matches("do = \"fly\"").count(), 3, "{line}");
    assert!(said.contains("geometries that are no lines are passed over: 2"), "{said}");
    refused("x.geojson", file("good-multilinestring.geojson"), &FLAT, &["2 lines may be the route"]);
    let second = route("x.geojson", &text("good-multilinestring.geojson"), &with_line("2", &FLAT)).0;
    assert!(second.contains("lon = 103.0"), "{second}");
    refused("x.geojson", file("nullgeometry.geojson"), &FLAT, &["no line of points"]);
}

#[test]
fn gpx_track_with_heights_here_and_there() {
    let name = "with_accuracy.gpx";
    let options = ["--speed", "4", "--heights", "above-sea", "--elevation-m", "3"];
    refused(name, file(name), &FLAT[..2], &["with_accuracy.gpx:13:22", "measured from"]);
    refused(name, file(name), &options, &["with_accuracy.gpx:34:13", "this point has no height"]);
    let whole = text(name).replace(
        "<trkpt lat=\"51.130122\" lon=\"3.773967\">",
        "<trkpt lat=\"51.130122\" lon=\"3.773967\"><ele>9.25</ele>",
    );
    let (route, said) = route(name, &whole, &options);
    assert!(
        route.contains("name = \"Cycling\"") && route.contains("height_m = 47.3") && route.contains("height_m = 6.25"),
        "{route}"
    );
    assert!(said.contains("times mean nothing here"), "{said}");
}

#[test]
fn gpx_with_an_empty_route_and_fifteen_digits() {
    let (route, said) = route("x.gpx", &text("with_route_extensions.gpx"), &FLAT);
    assert!(route.contains("name = \"Trace\"\n") && route.contains("lat = 40.7163116\nlon = -74.0110353"), "{route}");
    assert!(said.contains("5 positions to 1e-7 degree"), "{said}");
}

#[test]
fn kml_line_among_points_and_polygons() {
    let (route, said) = route("x.kml", &text("style-merging.kml"), &FLAT);
    assert!(route.contains("lat = -7.963539\nlon = -14.405821"), "{route}");
    assert!(route.contains("lat = -7.975707\nlon = -14.381448"), "{route}");
    assert!(said.contains("points and polygons are passed over"), "{said}");
    refused("x.kml", file("polygon.kml"), &FLAT, &["root `Polygon`"]);
}

#[test]
fn csv_of_places() {
    let (route, said) = route("uspop.csv", &text("uspop.csv"), &FLAT);
    assert!(route.contains("lat = 65.2419444\nlon = -165.2716667") && route.contains("lat = 60.5544444"), "{route}");
    assert!(said.contains("passed over: city, state, population"), "{said}");
    refused("x.csv", file("uspop-latin1.csv"), &FLAT, &["in line 4, is no UTF-8"]);
}
