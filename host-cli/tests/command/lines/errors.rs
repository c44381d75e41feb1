//! What is no route, or can't be told for one: a clear error with its place.

use super::{geojson, gpx, kml, kml_line, refused};

const FLAT: [&str; 4] = ["--speed", "4", "--height-m", "20"];

fn points(inside: &str) -> String {
    gpx(&format!("<rte>\n{inside}</rte>"))
}

#[test]
fn what_is_of_no_kind_is_said() {
    refused(
        "x.txt",
        "hello",
        &[],
        &["x.txt:1:1", "neither TOML, GeoJSON, GPX, KML nor packed bytes", "`lat` and `lon`"],
    );
    refused("x.gpx", "hello", &[], &["this is no XML, though its name says so"]);
    refused("x.geojson", "hello", &[], &["this is no GeoJSON, though its name says so"]);
    refused("x.toml", "hello", &[], &["this is not TOML"]);
    refused("x.xml", "<?xml version=\"1.0\"?>\n<osm/>", &[], &["x.xml:2:1", "root `osm`", "give GPX 1.1"]);
    refused("x.kmz", b"PK\x03\x04\x14\x00\xff\xff", &[], &["compressed", "KMZ", "unpack it"]);
    let wide = |order: fn(u16) -> [u8; 2]| "\u{feff}<gpx/>".encode_utf16().flat_map(order).collect::<Vec<u8>>();
    for bytes in [wide(u16::to_le_bytes), wide(u16::to_be_bytes)] {
        refused("x.gpx", bytes, &[], &["UTF-16", "save it as UTF-8"]);
    }
    refused("x.csv", b"lat,lon\n1,\xff\n", &[], &["in line 2, is no UTF-8"]);
}

#[test]
fn a_byte_order_mark_says_nothing() {
    let text =
        format!("\u{feff}{}", points("<rtept lat=\"46.2\" lon=\"-17.4\"/><rtept lat=\"46.201\" lon=\"-17.4\"/>"));
    assert!(super::route("x.gpx", &text, &FLAT).0.contains("lat = 46.201"));
}

#[test]
fn broken_xml_is_shown_where_it_breaks() {
    refused("x.gpx", "<gpx>\n<rte>\n</gpx>", &FLAT, &["x.gpx:3:", "not XML"]);
    refused("x.kml", "<!DOCTYPE kml [<!ENTITY a \"b\">]><kml/>", &FLAT, &["DTD", "take `<!DOCTYPE ...>` out"]);
    refused("x.gpx", gpx("&undeclared;"), &FLAT, &["x.gpx:3:", "not XML"]);
}

#[test]
fn another_namespace_is_refused() {
    let old = gpx("<rte/>").replace("GPX/1/1", "GPX/1/0");
    refused("x.gpx", old, &FLAT, &["x.gpx:2:1", "GPX 1.1", "http://www.topografix.com/GPX/1/1"]);
    refused("x.gpx", "<gpx version=\"1.1\"><rte/></gpx>", &FLAT, &["x.gpx:1:1", "xmlns="]);
    refused("x.kml", "<kml><Placemark/></kml>", &FLAT, &["x.kml:1:1", "no KML 2", "http://www.opengis.net/kml/2.2"]);
    // Points of another namespace are no points of the route.
    let other = "<x:rtept xmlns:x=\"http://example.org\" lat=\"46.2\" lon=\"-17.4\"/>";
    refused("x.gpx", points(&format!("{other}{other}")), &FLAT, &["without points"]);
}

#[test]
fn no_line_is_no_route() {
    refused("x.gpx", gpx(""), &FLAT, &["no line of points", "rte or trk"]);
    refused("x.gpx", points(""), &FLAT, &["x.gpx:3:1", "without points"]);
    refused(
        "x.kml",
        kml("<Placemark><Point><coordinates>1,2</coordinates></Point></Placemark>"),
        &FLAT,
        &["no line of points"],
    );
    refused("x.geojson", "{\"type\":\"Point\",\"coordinates\":[1,2]}", &FLAT, &["no line of points"]);
    refused("x.geojson", "{\"type\":\"LineString\",\"coordinates\":[]}", &FLAT, &["without points"]);
    refused("x.csv", "lat,lon\n", &FLAT, &["without points"]);
    refused("x.geojson", "{}", &FLAT, &["has no `type`"]);
    refused(
        "site.geojson",
        std::fs::read(crate::support::example().join("site.geojson")).expect("a site"),
        &FLAT,
        &["no line of points"],
    );
}

#[test]
fn one_point_needs_a_launch_of_its_own() {
    let one = points("<rtept lat=\"46.2\" lon=\"-17.4\"/>");
    refused("x.gpx", &one, &FLAT, &["one point leads nowhere", "--launch"]);
    let (route, _) = super::route("x.gpx", &one, &[&FLAT[..], &["--launch", "46.2001,-17.4"]].concat());
    assert_eq!(route.matches("do = \"fly\"").count(), 1);
}

#[test]
fn too_many_points_are_counted() {
    let text = format!("lat,lon\n{}", "46.2,-17.4\n".repeat(65_533));
    refused("x.csv", text, &FLAT, &["65533 points; 65532 are the most"]);
}

#[test]
fn a_missing_or_impossible_coordinate_is_shown() {
    let second = |attributes: &str| points(&format!("<rtept lat=\"46.2\" lon=\"-17.4\"/>\n<rtept {attributes}/>"));
    refused("x.gpx", second("lat=\"46.2\""), &FLAT, &["x.gpx:5:1", "this `rtept` has no `lon`"]);
    refused("x.gpx", second("lon=\"-17.4\""), &FLAT, &["this `rtept` has no `lat`"]);
    for (lat, part) in [
        ("NaN", "no number for the latitude"),
        ("inf", "no number"),
        ("", "no number"),
        ("46,2", "`46,2` is no number"),
        ("4_6.2", "no number"),
        ("46 12 3", "no number"),
        ("90.1", "the latitude is out of range: from -90.0 to 90.0"),
        ("1e30", "out of range"),
    ] {
        refused("x.gpx", second(&format!("lat=\"{lat}\" lon=\"-17.4\"")), &FLAT, &["x.gpx:5:13", part]);
    }
    refused("x.gpx", second("lat=\"46\" lon=\"180\""), &FLAT, &["x.gpx:5:22", "below 180", "write -180"]);
    refused("x.gpx", second("lat=\"46\" lon=\"180.00000001\""), &FLAT, &["below 180"]);
    refused(
        "x.gpx",
        second("lat=\"46\" lon=\"181\""),
        &FLAT,
        &["x.gpx:5:22", "the longitude is out of range", "exchanged?"],
    );
    refused(
        "x.geojson",
        geojson("[46.2,-170.4],[46.2,-170.3]"),
        &FLAT,
        &["the latitude is out of range", "exchanged?"],
    );
    refused("x.geojson", geojson("[46.2],[46.2]"), &FLAT, &["a position has a longitude and a latitude"]);
    refused("x.geojson", geojson("[\"46.2\",1],[1,1]"), &FLAT, &["a coordinate is to be a number, not a text"]);
    refused("x.geojson", geojson("[NaN,1],[1,1]"), &FLAT, &["not JSON"]);
}

#[test]
fn a_height_that_is_none_is_shown() {
    let high = |ele: &str| {
        points(&format!(
            "<rtept lat=\"46.2\" lon=\"-17.4\">{ele}</rtept><rtept lat=\"46.201\" lon=\"-17.4\"><ele>20</ele></rtept>"
        ))
    };
    let options = ["--speed", "4", "--heights", "above-launch"];
    for (ele, part) in [
        ("<ele/>", "`` is no number for the height"),
        ("<ele>2 0</ele>", "`2 0` is no number"),
        ("<ele>2<!-- -->0</ele>", "a comment in the midst of a number"),
        ("<ele>2<b/>0</ele>", "`b` stands in `ele`"),
        ("<ele>20</ele><ele>21</ele>", "a second `ele`"),
        ("<ele>NaN</ele>", "no number"),
        ("<ele>1e9</ele>", "the height is out of range"),
    ] {
        refused("x.gpx", high(ele), &options, &["x.gpx:4:", part]);
    }
    let deep = ["--speed", "4", "--heights", "above-sea", "--elevation-m", "9000"];
    refused("x.gpx", high("<ele>-9000</ele>"), &deep, &["this height above launch is out of range"]);
}

#[test]
fn nothing_of_a_kml_line_is_lost_or_guessed() {
    let line = |coordinates: &str| kml_line(&format!("<coordinates>{coordinates}</coordinates>"));
    // Behind a comment, as CDATA, and with entities.
    for text in ["1,2 <!-- --> 1.001,2", "<![CDATA[1,2 1.001,2]]>", "1,2&#32;1.001,2", "1,2\r\n\t1.001,2"] {
        let (route, _) = super::route("x.kml", &line(text), &FLAT);
        assert!(route.contains("lon = 1.001\n"), "{text}: {route}");
    }
    refused("x.kml", line("1, 2 1.001, 2"), &FLAT, &["x.kml:2:57", "`2` is no position"]);
    refused(
        "x.kml",
        line("1 2\n1.001 2"),
        &FLAT,
        &["x.kml:2:54", "`1` is no position", "longitude,latitude,height without blanks"],
    );
    refused("x.kml", line("1,2,3,4 1,2,3,4"), &FLAT, &["is no position"]);
    refused("x.kml", line("1,2<!-- -->1.001,2"), &FLAT, &["a comment in the midst"]);
    refused("x.kml", line("1,2<a/> 1.001,2"), &FLAT, &["`a` stands in `coordinates`"]);
    refused(
        "x.kml",
        kml_line("<coordinates>1,2 1,3</coordinates><coordinates>1,4</coordinates>"),
        &FLAT,
        &["a second `coordinates`"],
    );
    refused("x.kml", kml_line(""), &FLAT, &["this `LineString` has no `coordinates`"]);
    let linked =
        kml("<NetworkLink/><Placemark><LineString><coordinates>1,2 1.001,2</coordinates></LineString></Placemark>");
    assert!(super::route("x.kml", &linked, &FLAT).1.contains("NetworkLink"));
}

#[test]
fn geojson_that_is_none_is_shown() {
    refused(
        "x.geojson",
        "{ \"type\": \"LineString\",\n \"coordinates\": [[1,2], ] }",
        &FLAT,
        &["x.geojson:2:", "not JSON"],
    );
    refused("x.geojson", "{ \"type\": \"Line\" }", &FLAT, &["`Line` is nothing that GeoJSON has"]);
    refused("x.geojson", "{ \"type\": \"LineString\" }", &FLAT, &["a LineString has no `coordinates`"]);
    refused("x.geojson", "{ \"type\": \"Feature\", \"properties\": {} }", &FLAT, &["a feature has no `geometry`"]);
    refused(
        "x.geojson",
        "{ \"type\": \"FeatureCollection\", \"features\": [{\"type\": \"Point\"}] }",
        &FLAT,
        &["stands where a Feature is to be"],
    );
    let crs = "\"crs\": {}, \"type\": \"LineString\", \"coordinates\": [[1,2],[1,3]]";
    refused("x.geojson", format!("{{{crs}}}"), &FLAT, &["`crs` is no part of GeoJSON"]);
    refused(
        "x.geojson",
        format!("{{\"type\":\"Feature\",\"properties\":null,\"geometry\":{{{crs}}}}}"),
        &FLAT,
        &["`crs`"],
    );
    refused("x.geojson", "{ \"type\": \"LineString\", \"type\": \"Point\" }", &FLAT, &["`type` stands here twice"]);
    refused("x.geojson", "[".repeat(100), &[], &["x.geojson:1:"]);
    refused("x.geojson", format!("{{\"a\":{}", "[".repeat(100)), &[], &["nested deeper"]);
}

#[test]
fn csv_is_understood_or_refused() {
    let row = |header: &str, row: &str| format!("{header}\n46.2,-17.4,20\n{row}\n");
    refused(
        "x.csv",
        row("lat,latitude,lon", "1,2,3"),
        &FLAT,
        &["x.csv:1:1", "several columns may be the latitude: lat, latitude"],
    );
    refused("x.csv", row("lat,x,height_m", "1,2,3"), &FLAT, &["no column is the longitude", "call it `lon`"]);
    refused("x.csv", "lat,lon,height_m,alt\n1,2,3,4\n", &FLAT, &["several columns may be the height"]);
    for name in ["alt_ft", "height_cm", "speed", "speed_km_h", "holding"] {
        refused(
            "x.csv",
            row(&format!("lat,lon,{name}"), "1,2,3"),
            &FLAT,
            &[&format!("nobody knows what the column `{name}` is")],
        );
    }
    refused("x.csv", row("lat,lon,heigth_above_sea_m", "1,2,3"), &FLAT, &["did you mean `height_above_sea_m`?"]);
    refused(
        "x.csv",
        row("lat,lon,speed_m_s", "46.3,-17.4"),
        &FLAT,
        &["x.csv:3:1", "this row has 2 cells, the first has 3"],
    );
    refused("x.csv", row("lat,lon,name", ",-17.4,x"), &FLAT, &["x.csv:3:1", "this row has no latitude"]);
    refused(
        "x.csv",
        row("lat,lon,name", "46.x,-17.4,x"),
        &FLAT,
        &["x.csv:3:1", "`46.x` is no number for the latitude"],
    );
    refused(
        "x.csv",
        row("lat,lon,hold_s", "46.3,-17.4,-2"),
        &["--height-m", "20", "--speed", "4"],
        &["x.csv:3:12", "the time is out of range"],
    );
    refused(
        "x.csv",
        "lat;lon;height_above_launch_m\n46.2;-17.4;1,234\n46.3;-17.4;20\n",
        &["--speed", "4"],
        &["x.csv:2:12", "behind a comma here and behind a point elsewhere"],
    );
    let (_, said) = super::route("x.csv", &row("lat,lon,bearing", "46.201,-17.4,20"), &FLAT);
    assert!(said.contains("passed over: bearing"), "{said}");
}
