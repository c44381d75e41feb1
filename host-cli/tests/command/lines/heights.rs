//! No reference of heights is ever guessed.

use super::{geojson, gpx, kml_line, refused, route};

const SPEED: [&str; 2] = ["--speed", "4"];

fn two(ele: [&str; 2]) -> String {
    let [one, two] = ele.map(|ele| if ele.is_empty() { String::new() } else { format!("<ele>{ele}</ele>") });
    gpx(&format!(
        "<rte><rtept lat=\"46.2\" lon=\"-17.4\">{one}</rtept><rtept lat=\"46.201\" lon=\"-17.4\">{two}</rtept></rte>"
    ))
}

/// NGA, README of the EGM96 geoid file, sample output OUTINTPT.DAT: at 38.628155, 269.779155 the geoid is 31.628 m below the
/// ellipsoid. So what is 88.37 m above the ellipsoid there is 120.00 m above the sea, and 20.00 m above a launch at 100 m.
#[test]
fn published_undulation_makes_ellipsoid_heights_heights_above_launch() {
    let line = geojson("[-90.220845,38.628155,88.37],[-90.220845,38.6290,88.37]");
    let (route, said) = route("x.geojson", &line, &["--speed", "4", "--elevation-m", "100"]);
    assert!(route.contains("do = \"climb\"\nheight_m = 20.0\n"), "{route}");
    for part in [
        "above-ellipsoid",
        "which is what they are in this format",
        "EGM96",
        "-31.6",
        "launch at 100.0 m above the sea",
    ] {
        assert!(said.contains(part), "no «{part}» in {said}");
    }
}

#[test]
fn another_reference_may_be_given_for_geojson_and_that_is_said() {
    let line = geojson("[-17.4,46.2,20],[-17.4,46.201,21]");
    let (route, said) = route("x.geojson", &line, &["--speed", "4", "--heights", "above-launch"]);
    assert!(route.contains("height_m = 21.0"), "{route}");
    assert!(said.contains("although heights in this format are above-ellipsoid"), "{said}");
}

#[test]
fn a_height_without_a_reference_is_asked_about() {
    refused(
        "x.gpx",
        two(["44", "44"]),
        &SPEED,
        &["x.gpx:3:", "measured from", "--heights above-launch, above-sea, above-ground or above-ellipsoid"],
    );
    for name in ["height_m", "height", "alt", "Altitude (m)", "ele"] {
        let text = format!("lat,lon,{name}\n46.2,-17.4,20\n46.201,-17.4,20\n");
        refused("x.csv", text, &SPEED, &["x.csv:2:12", "measured from", "--heights"]);
    }
}

#[test]
fn heights_that_need_launchs_own_ask_for_it() {
    refused(
        "x.gpx",
        two(["44", "44"]),
        &["--speed", "4", "--heights", "above-sea"],
        &["launch's own isn't known", "--elevation-m"],
    );
    let line = geojson("[-17.4,46.2,60],[-17.4,46.201,60]");
    refused("x.geojson", line, &SPEED, &["x.geojson:1:", "above-ellipsoid", "--elevation-m"]);
}

#[test]
fn without_an_elevation_the_ground_data_tell_it() {
    let options = ["--speed", "4", "--heights", "above-sea", "--limits", "limits.toml"];
    let (route, said) = route("x.gpx", &two(["44", "44.5"]), &options);
    assert!(said.contains("launch is taken to be") && said.contains("as the ground data have it"), "{said}");
    assert!(!route.contains("elevation_m"), "{route}");
}

#[test]
fn heights_above_ground_ask_for_ground_data() {
    let options = ["--speed", "4", "--heights", "above-ground", "--elevation-m", "24"];
    refused("x.gpx", two(["20", "20"]), &options, &["needs ground data", "--limits"]);
}

#[test]
fn kml_says_it_itself() {
    let line = |mode: &str| kml_line(&format!("{mode}<coordinates>-17.4,46.2,20 -17.4,46.201,20</coordinates>"));
    let absolute = line("<altitudeMode>absolute</altitudeMode>");
    refused(
        "x.kml",
        &absolute,
        &["--speed", "4", "--heights", "above-launch"],
        &["these heights are above-sea", "--heights says above-launch"],
    );
    for mode in ["", "<altitudeMode>clampToGround</altitudeMode>"] {
        refused("x.kml", line(mode), &SPEED, &["clampToGround", "--height-m", "--heights", "relativeToGround"]);
        let (flat, said) = route("x.kml", &line(mode), &["--speed", "4", "--height-m", "30"]);
        assert!(flat.matches("height_m = 30.0").count() == 2 && said.contains("passed over"), "{flat}{said}");
        let (asked, said) = route("x.kml", &line(mode), &["--speed", "4", "--heights", "above-launch"]);
        assert!(asked.contains("height_m = 20.0") && said.contains("although the altitudeMode says"), "{asked}{said}");
    }
}

#[test]
fn a_mode_of_the_sea_floor_an_offset_or_an_unknown_one_is_refused() {
    let line = |inside: &str| {
        kml_line(&format!("{inside}<coordinates>-17.4,46.2,20 -17.4,46.201,20</coordinates>"))
            .replace("<Document>", "<Document xmlns:x=\"http://example.org/extension\">")
    };
    for (inside, part) in [
        ("<altitudeMode>clampToSeaFloor</altitudeMode>", "the altitudeMode `clampToSeaFloor` means nothing"),
        ("<x:altitudeMode>relativeToSeaFloor</x:altitudeMode>", "the altitudeMode `relativeToSeaFloor` means nothing"),
        ("<altitudeMode>absolut</altitudeMode>", "did you mean `absolute`?"),
        ("<altitudeMode></altitudeMode>", "the altitudeMode `` means nothing"),
        (
            "<altitudeMode>absolute</altitudeMode><x:altitudeMode>clampToSeaFloor</x:altitudeMode>",
            "a second `altitudeMode`",
        ),
        ("<x:altitudeOffset>5</x:altitudeOffset>", "`altitudeOffset`"),
    ] {
        refused("x.kml", line(inside), &SPEED, &["x.kml:2:", part]);
    }
}

#[test]
fn a_column_that_says_it_is_not_overruled() {
    let text = "lat,lon,height_above_sea_m\n46.2,-17.4,44\n46.201,-17.4,44\n";
    refused("x.csv", text, &["--speed", "4", "--heights", "above-launch"], &["these heights are above-sea"]);
    let (route, _) = route("x.csv", text, &["--speed", "4", "--elevation-m", "24"]);
    assert!(route.contains("height_m = 20.0"), "{route}");
}

#[test]
fn some_points_with_heights_and_some_without_are_no_line() {
    for ele in [["20", ""], ["", "20"]] {
        refused(
            "x.gpx",
            two(ele),
            &["--speed", "4", "--heights", "above-launch"],
            &["has no height", "write one here"],
        );
        refused("x.gpx", two(ele), &["--speed", "4", "--height-m", "20"], &["leave --height-m out"]);
    }
    refused(
        "x.geojson",
        geojson("[1,2,20],[1,2.001]"),
        &["--speed", "4", "--heights", "above-launch"],
        &["has no height"],
    );
}

#[test]
fn one_height_for_all_is_for_lines_without_any() {
    let line = geojson("[-17.4,46.2],[-17.4,46.201]");
    refused("x.geojson", &line, &SPEED, &["x.geojson:1:", "this point has no height", "--height-m"]);
    refused(
        "x.geojson",
        &line,
        &["--speed", "4", "--heights", "above-sea", "--height-m", "60"],
        &["cannot be used with"],
    );
    refused("x.geojson", &line, &["--speed", "4", "--heights", "above-sea"], &["this point has no height"]);
    assert_eq!(
        route("x.geojson", &line, &["--speed", "4", "--height-m", "15"]).0.matches("height_m = 15.0").count(),
        2
    );
    let high = geojson("[-17.4,46.2,20],[-17.4,46.201,20]");
    refused(
        "x.geojson",
        high,
        &["--speed", "4", "--height-m", "15"],
        &["the file has heights", "leave --height-m out"],
    );
}
