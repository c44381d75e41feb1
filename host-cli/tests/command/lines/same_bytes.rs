//! The same route through every format that can carry it.

use super::{geojson, gpx, kml_line, packed, with};

/// The route as it is written by hand.
const BY_HAND: &str = r#"name = "tour"
[launch]
lat = 46.2
lon = -17.4
elevation_m = 24.0
[defaults]
heights = "above-launch"
speed_m_s = 4.0
[[step]]
do = "climb"
height_m = 20.0
[[step]]
do = "fly"
lat = 46.200198
lon = -17.399572
height_m = 20.5
[[step]]
do = "fly"
lat = 46.20099
lon = -17.3995721
height_m = 22.25
[[step]]
do = "return"
"#;

/// What no format but CSV can say.
const OPTIONS: [&str; 6] = ["--speed", "4", "--elevation-m", "24", "--name", "tour"];

fn is_the_same(file: &str, text: &str, options: &[&str]) {
    let by_hand = packed("by-hand.toml", BY_HAND, &[]).0;
    assert!(packed(file, text, options).0 == by_hand, "{file} {options:?}");
}

#[test]
fn geojson_with_heights_above_launch() {
    let line = geojson("[-17.4,46.2,20], [-17.399572,46.200198,20.5], [-17.3995721,46.20099,22.25]");
    is_the_same("x.geojson", &line, &[&OPTIONS[..], &["--heights", "above-launch"]].concat());
}

#[test]
fn gpx_route_and_track_with_heights_above_the_sea() {
    for (line, open, close, point) in [("rte", "", "", "rtept"), ("trk", "<trkseg>", "</trkseg>", "trkpt")] {
        let points: String =
            [("46.2", "-17.4", "44"), ("46.200198", "-17.399572", "44.5"), ("46.20099", "-17.3995721", "46.25")]
                .map(|(lat, lon, ele)| format!("<{point} lat=\"{lat}\" lon=\"{lon}\"><ele>{ele}</ele></{point}>\r\n"))
                .concat();
        let text = gpx(&format!("<{line}><name>tour</name>{open}{points}{close}</{line}>"));
        let options = [&OPTIONS[..4], &["--heights", "above-sea"]].concat();
        is_the_same("x.gpx", &text, &options);
    }
}

#[test]
fn kml_with_absolute_heights() {
    let text = kml_line(
        "<altitudeMode>absolute</altitudeMode><coordinates>-17.4,46.2,44 <!-- then -->
        -17.399572,46.200198,44.5\n-17.3995721,46.20099,46.25</coordinates>",
    );
    is_the_same("x.kml", &text, &OPTIONS[..4]);
}

#[test]
fn csv_with_points_or_commas_says_all_but_launch() {
    let points = "Latitude,Longitude,Height above launch (m),Speed [m/s]\n46.2,-17.4,20,\n46.200198,-17.399572,20.5,4\n46.20099,-17.3995721,22.25,4.0\n";
    let options = ["--elevation-m", "24", "--name", "tour"];
    is_the_same("x.csv", points, &options);
    let commas = points.replace(',', ";").replace('.', ",");
    is_the_same("x.csv", &commas, &options);
    is_the_same("x.csv", &commas.replace(';', "\t").replace('\n', "\r\n"), &options);
    is_the_same("x.csv", &format!("\u{feff}\n\n{}", commas.replace("46,2;", "\n\"46,2\";")), &options);
}

#[test]
fn kml_above_ground_and_toml_above_ground() {
    let by_hand = BY_HAND.replace("above-launch", "above-ground").replace("height_m = 20.5", "height_m = 20.0");
    let text = kml_line(
        "<altitudeMode>relativeToGround</altitudeMode><coordinates>-17.4,46.2,20 -17.399572,46.200198,20 -17.3995721,46.20099,22.25</coordinates>",
    );
    let bytes = |file: &str, text: &str, options: &[&str]| {
        packed(file, text, &[options, &["--limits", "limits.toml"]].concat()).0
    };
    assert!(bytes("x.toml", &by_hand, &[]) == bytes("x.kml", &text, &OPTIONS[..4]));
    let lower = by_hand.replace("elevation_m = 24.0\n", "");
    assert!(bytes("x.toml", &lower, &[]) == bytes("x.kml", &text, &OPTIONS[..2]), "launch as the ground data have it");
}

#[test]
fn a_verdict_is_about_the_packed_bytes() {
    let line = geojson("[-17.4,46.2,20], [-17.39957212345678,46.20019812345678,20.005], [-17.399572,46.20099,20]");
    let copy = with("x.geojson", line);
    let options = ["--heights", "above-launch", "--speed", "4"];
    let check =
        |file: &str, options: &[&str]| copy.run(&[&["check", file, "--limits", "limits.toml"], options].concat());
    assert_eq!(super::pack(&copy, "x.geojson", &options).code, 0);
    let (line, bytes) = (check("x.geojson", &options), check("out.packed", &[]));
    assert_eq!((line.code, &line.out), (bytes.code, &bytes.out));
    assert!(line.out.contains("GO"), "{}{}", line.out, line.err);
}
