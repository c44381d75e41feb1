//! What a format can't say: options, and defaults that are said.

use super::{geojson, gpx, refused, route, with};

const TWO: &str = "[-17.4,46.2],[-17.4,46.201]";

fn flat(positions: &str, options: &[&str]) -> (String, String) {
    route("x.geojson", &geojson(positions), &[&["--speed", "4", "--height-m", "20"], options].concat())
}

#[test]
fn every_default_is_said() {
    let (route, said) = flat(TWO, &[]);
    for part in [
        "launch at the line's first point (--launch)",
        "a climb to 20.0 m above launch (--climb-to-m)",
        "a return to launch at the end (--end)",
        "no stay at points that don't ask for one (--hold-s)",
        "the name \"x\" (--name)",
    ] {
        assert!(said.contains(part), "no «{part}» in {said}");
    }
    assert_eq!(route.matches("[[step]]").count(), 3, "{route}");
    assert!(route.ends_with("do = \"return\"\n"), "{route}");
}

#[test]
fn options_say_it_all() {
    let (route, said) = flat(
        TWO,
        &[
            "--launch",
            "46.1995,-17.4",
            "--climb-to-m",
            "12",
            "--end",
            "land",
            "--hold-s",
            "2.5",
            "--name",
            "reeds",
            "--elevation-m",
            "3",
        ],
    );
    for part in ["name = \"reeds\"", "lat = 46.1995", "elevation_m = 3.0", "height_m = 12.0", "hold_s = 2.5"] {
        assert!(route.contains(part), "no «{part}» in {route}");
    }
    assert_eq!(route.matches("do = \"fly\"").count(), 2, "{route}");
    assert!(route.ends_with("do = \"land\"\n") && !said.contains("(--"), "{route}{said}");
}

#[test]
fn the_first_points_stay_is_not_lost() {
    let (route, _) =
        route("x.csv", "lat,lon,height_above_launch_m,hold_s\n46.2,-17.4,20,7\n46.201,-17.4,20,3\n", &["--speed", "4"]);
    assert!(route.contains("do = \"hold\"\nseconds = 7.0") && route.contains("hold_s = 3.0"), "{route}");
    let (route, _) = flat(TWO, &["--hold-s", "2"]);
    assert!(route.contains("do = \"hold\"\nseconds = 2.0") && route.contains("hold_s = 2.0"), "{route}");
}

#[test]
fn a_climb_in_place_of_the_first_points_height_is_said() {
    let line = geojson("[-17.4,46.2,0],[-17.4,46.201,20]");
    let options = ["--speed", "4", "--heights", "above-launch"];
    refused("x.geojson", &line, &options, &["0.0 m above launch", "--climb-to-m"]);
    let (_, said) = route("x.geojson", &line, &[&options[..], &["--climb-to-m", "15"]].concat());
    assert!(
        said.contains("the climb to 15.0 m above launch takes the place of the first point's height, 0.0 m"),
        "{said}"
    );
}

#[test]
fn a_speed_is_asked_for() {
    refused("x.geojson", geojson(TWO), &["--height-m", "20"], &["x.geojson:1:", "how fast", "--speed M_S"]);
    let text = "lat,lon,height_above_launch_m,speed_m_s\n46.2,-17.4,20,\n46.201,-17.4,20,5\n46.202,-17.4,20,\n";
    refused("x.csv", text, &[], &["x.csv:4:1", "how fast"]);
    let (route, _) = route("x.csv", text, &["--speed", "3"]);
    assert!(route.contains("speed_m_s = 5.0") && route.contains("speed_m_s = 3.0"), "{route}");
}

#[test]
fn an_option_that_would_change_nothing_is_refused() {
    let all = "lat,lon,height_above_launch_m,speed_m_s,hold_s\n46.2,-17.4,20,5,0\n46.201,-17.4,20,5,0\n";
    refused("x.csv", all, &["--speed", "3"], &["--speed is for points that don't say it"]);
    refused("x.csv", all, &["--hold-s", "3"], &["--hold-s is for points that don't say it"]);
}

#[test]
fn our_own_files_take_no_such_options() {
    let copy = with("x", "");
    assert_eq!(super::pack(&copy, "route.toml", &[]).code, 0);
    let options: [&[&str]; 10] = [
        &["--heights", "above-sea"],
        &["--height-m", "20"],
        &["--speed", "3"],
        &["--hold-s", "1"],
        &["--launch", "46.2,-17.4"],
        &["--elevation-m", "3"],
        &["--climb-to-m", "9"],
        &["--end", "land"],
        &["--name", "x"],
        &["--line", "1"],
    ];
    for (file, option) in ["route.toml", "out.packed"].iter().flat_map(|file| options.map(|option| (file, option))) {
        let run = copy.run(&[&["check", file, "--limits", "limits.toml"], option].concat());
        assert_eq!(run.code, 2, "{file} {option:?}");
        assert!(run.err.contains(&format!("{} is for routes in GeoJSON", option[0])), "{}", run.err);
    }
}

#[test]
fn one_of_several_lines_is_chosen_by_number_or_name() {
    let point = |lat: &str| format!("<rtept lat=\"{lat}\" lon=\"-17.4\"/>");
    let rte = |name: &str, lat: &str| format!("<rte><name>{name}</name>{}{}</rte>", point("46.2"), point(lat));
    let empty = "<rte><name>nothing</name></rte>";
    let text = gpx(&format!("{empty}{}\n{}\n{}", rte("one", "46.201"), rte("two", "46.202"), rte("two", "46.203")));
    let options = ["--speed", "4", "--height-m", "20"];
    let chosen = |line: &str| route("x.gpx", &text, &[&options[..], &["--line", line]].concat()).0;
    let not = |line: &str, parts: &[&str]| refused("x.gpx", &text, &[&options[..], &["--line", line]].concat(), parts);
    let list = "say which with --line, by its number or name: 1 \"one\" (2 points), 2 \"two\" (2 points), 3 \"two\" (2 points)";
    refused("x.gpx", &text, &options, &["x.gpx:4:", "3 lines may be the route", list]);
    assert!(chosen("one").contains("lat = 46.201\n") && chosen("3").contains("lat = 46.203\n"));
    not("two", &["--line two may be any of 2 lines", list]);
    not("0", &["names none of the lines", list]);
    not("4", &["names none"]);
    // A name that is another's number.
    refused(
        "x.gpx",
        text.replace("one", "2"),
        &[&options[..], &["--line", "2"]].concat(),
        &["--line 2 may be any of 2"],
    );
}

#[test]
fn segments_of_a_track_are_lines_of_their_own() {
    let segment = "<trkseg><trkpt lat=\"46.2\" lon=\"-17.4\"/><trkpt lat=\"46.201\" lon=\"-17.4\"/></trkseg>";
    let text = gpx(&format!("<trk><name>walk</name>{segment}{segment}</trk>"));
    refused(
        "x.gpx",
        text,
        &["--speed", "4", "--height-m", "20"],
        &["1 \"walk, part 1\" (2 points), 2 \"walk, part 2\""],
    );
}

#[test]
fn a_line_cut_at_the_antimeridian_is_several_lines() {
    // RFC 7946, section 3.1.9: the line from 170 E to 170 W at 45 N.
    let text = "{ \"type\": \"MultiLineString\", \"coordinates\": [[[170.0,45.0],[180.0,45.0]],[[-180.0,45.0],[-170.0,45.0]]] }";
    let options = ["--speed", "4", "--height-m", "20"];
    refused("x.geojson", text, &options, &["2 lines may be the route"]);
    let (route, _) = route("x.geojson", text, &[&options[..], &["--line", "1"]].concat());
    assert!(route.contains("lon = 180.0"), "{route}");
}

#[test]
fn a_name_that_moves_the_terminal_is_not_printed_as_it_is() {
    let line = "{\"type\":\"Feature\",\"properties\":{\"name\":\"\\u001b[2Jx\"},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[0,0],[0,0.001]]}}";
    let run = super::pack(&with("x.geojson", line), "x.geojson", &["--speed", "4", "--height-m", "20"]);
    assert!(run.code == 2 && run.err.contains("--name") && !run.err.contains('\u{1b}'), "{}", run.err);
    let several = format!("{{\"type\":\"FeatureCollection\",\"features\":[{line},{line}]}}");
    let run = super::pack(&with("x.geojson", several), "x.geojson", &["--speed", "4", "--height-m", "20"]);
    assert!(run.code == 2 && run.err.contains("2 lines") && !run.err.contains('\u{1b}'), "{}", run.err);
}

#[test]
fn rounding_is_counted_and_bounded() {
    let line = geojson("[-17.40000001,46.2,20],[-17.39957212345678,46.200198,20.004],[-17.399572,46.201,21]");
    let (route, said) = route("x.geojson", &line, &["--speed", "4", "--heights", "above-launch"]);
    assert!(said.contains("2 positions to 1e-7 degree, which moves them by 8 mm at most; 1 heights"), "{said}");
    assert!(route.contains("lon = -17.3995721\n"), "{route}");
    let (_, said) = flat(TWO, &[]);
    assert!(!said.contains("rounded"), "{said}");
}
