//! Whatever bytes a file has, it is a route or an error, and a route is what its packed bytes say.

use std::path::Path;

use proptest::prelude::*;

use crate::{
    arguments::route::{AsRoute, Heights},
    problem::Problem,
    read::{self, Route, field, packed},
    write,
};

/// A file of each format, with all that its reader knows.
const SAMPLES: [(&str, &str); 4] = [
    (
        "x.geojson",
        r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"a"},"geometry":{"type":"LineString",
        "coordinates":[[-17.4,46.2,20],[-17.3995,46.20012345678,2.1e1],[180,-0.5,20.125]]}},{"type":"Feature","properties":null,"geometry":null}]}"#,
    ),
    (
        "x.gpx",
        "<?xml version=\"1.0\"?><gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\"><wpt lat=\"1\" lon=\"2\"/><rte><name>a</name>
        <rtept lat=\"46.2\" lon=\"-17.4\"><ele>20</ele></rtept><rtept lat=\"46.201\" lon=\"-180\"><ele>21.5</ele><time/></rtept></rte></gpx>",
    ),
    (
        "x.kml",
        "<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Placemark><name>a</name><LineString><altitudeMode>absolute</altitudeMode>
        <coordinates>-17.4,46.2,20 <!-- b --> -17.3995,46.2001,21&#32;3,4,5<![CDATA[ 6,7,8]]></coordinates></LineString></Placemark></kml>",
    ),
    ("x.csv", "Latitude;Longitude;Height above launch (m);speed_m_s;hold_s;name\n46,2;-17,4;20;;1;x\n\n\"46,201\";-17,4;21,5;3;0;y\n46,202;-17,4;22;;0;z\n"),
];

/// Options with which all samples are routes.
fn options(heights: bool) -> AsRoute {
    AsRoute {
        heights: heights.then_some(Heights::Sea),
        speed: field::speed("4").ok(),
        elevation_m: field::elevation("0").ok(),
        ..AsRoute::default()
    }
}

fn read(name: &str, bytes: Vec<u8>, as_route: &AsRoute) -> Result<Route, Problem> {
    read::route_text(&read::as_text(Path::new(name), bytes)?, None, as_route)
}

/// Reads bytes; what is accepted must come back from its packed bytes.
fn try_out(name: &str, bytes: Vec<u8>, heights: bool) -> bool {
    let path = Path::new(name);
    match read(name, bytes, &options(heights)) {
        Err(problem) => {
            assert!(!problem.summary().is_empty() && !problem.render(false).is_empty());
            false
        }
        Ok(route) => {
            let bytes = write::packed::route(&route, path).expect("it fits").bytes;
            let again = packed::route(path, &bytes).expect("what was packed");
            assert_eq!((route.launch, route.steps), (again.launch, again.steps));
            true
        }
    }
}

#[test]
fn the_samples_are_routes() {
    for (name, text) in SAMPLES {
        assert!(try_out(name, text.into(), name == "x.gpx" || name == "x.geojson"), "{name}");
    }
}

/// Where a sample is changed, how many bytes go, and what comes in their place.
fn change() -> impl Strategy<Value = (prop::sample::Index, usize, String)> {
    let piece = prop_oneof![
        "[0-9.,eE+-]{0,24}",
        "[<>/&;\"'{}\\[\\]: \\n\\r\\t]{1,3}",
        prop::sample::select(vec![
            "<!--",
            "-->",
            "<![CDATA[",
            "]]>",
            "&#0;",
            "&amp;",
            "NaN",
            "null",
            "1e308",
            "1e-300",
            "<ele>",
            "</rte><rte>",
            "\u{feff}",
            "\u{202e}",
            "clampToGround",
            "]],[[",
            "\"type\":\"Point\",",
            "99999999999999999999999999999",
        ])
        .prop_map(str::to_owned),
        any::<String>(),
    ];
    (any::<prop::sample::Index>(), 0..12_usize, piece)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4_000, ..ProptestConfig::default() })]

    #[test]
    fn a_changed_sample_is_a_route_or_an_error(
        sample in 0..4_usize, changes in prop::collection::vec(change(), 1..4), heights in any::<bool>(),
    ) {
        let (name, text) = SAMPLES[sample];
        let mut bytes = text.as_bytes().to_vec();
        for (index, length, piece) in changes {
            let start = index.index(bytes.len() + 1);
            let end = (start + length).min(bytes.len());
            bytes.splice(start..end, piece.into_bytes());
        }
        try_out(name, bytes, heights);
    }

    #[test]
    fn any_bytes_are_a_route_or_an_error(
        bytes in prop::collection::vec(any::<u8>(), 0..300), sample in 0..4_usize, begin in "[<{]?|lat,lon\n|<kml|<gpx",
    ) {
        try_out(SAMPLES[sample].0, [begin.into_bytes(), bytes].concat(), true);
    }
}
