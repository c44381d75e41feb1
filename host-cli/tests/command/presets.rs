//! Presets: figures that are laid under the limits and only tighten them.

use serde_json::Value;

use crate::{
    packed_ground::{WIDE, pack_with_ground},
    support::{Copy, Run},
};

fn with(copy: &Copy, preset: &str) -> Run {
    copy.check_with(&["--preset", preset])
}

fn json(copy: &Copy, preset: &str) -> Value {
    serde_json::from_str(&copy.check_with(&["--preset", preset, "--json"]).out).expect("JSON")
}

/// A printed text without its line breaks.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a preset made of a figure: that of the limits, and whether the preset's counts.
fn figure(json: &Value, key: &str) -> (Option<f64>, bool) {
    let figures = json["preset"]["figures"].as_array().expect("a list");
    let found = figures.iter().find(|figure| figure["key"] == key).expect("the figure");
    (found["limits"].as_f64(), found["tightens"].as_bool().expect("true or false"))
}

/// A short and slow route of few metres, and limits that a first flight can keep.
fn first_flight() -> Copy {
    let route = r#"
name = "up and back"
[launch]
lat = 46.2
lon = -17.4
elevation_m = 24.0
[defaults]
heights = "above-launch"
speed_m_s = 1.0
[[step]]
do = "climb"
height_m = 10.0
[[step]]
do = "fly"
lat = 46.20005
lon = -17.3999
height_m = 10.0
[[step]]
do = "return"
"#;
    Copy::new().with("route.toml", route).edit("limits.toml", "height_m = 35.0", "height_m = 20.0").edit(
        "limits.toml",
        "speed_m_s = 4.0",
        "speed_m_s = 1.0",
    )
}

#[test]
fn what_is_tightened_is_said_from_what_to_what_and_by_whom() {
    let run = with(&Copy::new(), "small-site");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let said = flat(&run.out);
    for part in [
        "[heights] ceiling_m: tightened from 60.0 m to 50.0 m (common practice, no source)",
        "[aircraft] speed_max_m_s: tightened from 8.0 m/s to 4.0 m/s (common practice, no source)",
        "as strict already: [return] landing_max_m_s, [battery] reserve_percent, [link] range_m, [route] longest_leg_m",
        "local rules and licensed practice decide",
    ] {
        assert!(said.contains(part), "no «{part}» in {}", run.out);
    }
    assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{}", run.out);
}

#[test]
fn a_tightened_figure_decides() {
    let copy = first_flight();
    assert_eq!(with(&copy, "first-flight").code, 0, "{}", with(&copy, "first-flight").out);
    let copy = copy.edit("route.toml", "speed_m_s = 1.0", "speed_m_s = 1.01");
    copy.is_go();
    let json = json(&copy, "first-flight");
    assert_eq!((&json["verdict"], &json["findings"][0]["rule"]), (&"no-go".into(), &"speed".into()));
    assert_eq!(json["findings"][0]["clearance"], -0.01);
}

#[test]
fn a_preset_never_loosens() {
    let copy = first_flight().edit("limits.toml", "fixed_m = 7.0", "fixed_m = 9.0").edit(
        "limits.toml",
        "landing_max_m_s = 1.0",
        "landing_max_m_s = 0.8",
    );
    let json = json(&copy, "first-flight");
    assert_eq!(figure(&json, "margins.fixed_m"), (Some(9.0), false));
    assert_eq!(figure(&json, "return.landing_max_m_s"), (Some(0.8), false));
    assert_eq!(figure(&json, "heights.floor_m"), (Some(5.0), false), "of a floor the higher one is the stricter");
    assert_eq!(figure(&json, "margins.brake_tilt_deg"), (Some(45.0), false));
    assert_eq!(figure(&json, "aircraft.climb_m_s"), (Some(2.0), true));
    let of = |rule: &str| {
        let closest = json["closest"].as_array().expect("a list");
        closest.iter().find(|found| found["rule"] == rule).expect("the rule").clone()
    };
    // 9 m fixed and what 1 m/s adds: 1 m, and 0.05 m to brake.
    assert_eq!(of("keep-in")["required"], 10.06);
    assert_eq!(of("landing")["clearance"], 0.1);
}

#[test]
fn margins_and_floors_are_tightened_upwards() {
    let copy = first_flight()
        .edit("limits.toml", "fixed_m = 7.0", "fixed_m = 1.0")
        .edit("limits.toml", "reaction_s = 1.0", "reaction_s = 0.5")
        .edit("limits.toml", "brake_tilt_deg = 45.0", "brake_tilt_deg = 60.0")
        .edit("limits.toml", "floor_m = 5.0", "floor_m = 1.0");
    let json = json(&copy, "first-flight");
    for (key, had) in [
        ("margins.fixed_m", 1.0),
        ("margins.reaction_s", 0.5),
        ("margins.brake_tilt_deg", 60.0),
        ("heights.floor_m", 1.0),
    ] {
        assert_eq!(figure(&json, key), (Some(had), true), "{key}");
    }
    let closest = json["closest"].as_array().expect("a list");
    let keep_in = closest.iter().find(|found| found["rule"] == "keep-in").expect("keep-in");
    assert_eq!(keep_in["required"], 8.06, "7 m, 1 m in 1 s, 0.05 m to brake");
}

#[test]
fn a_fifth_of_the_pack_is_left_at_least() {
    let usable = |json: &Value| json["energy"]["usable_wh"].as_f64().expect("a number");
    for (preset, copy) in [("small-site", Copy::new()), ("first-flight", first_flight())] {
        let copy = copy.edit("limits.toml", "reserve_percent = 25", "reserve_percent = 5");
        // 2.2 Ah x 11.1 V x 90 % = 21.978 Wh.
        assert_eq!(usable(&copy.check_json().1), 20.879, "95 % of it");
        let json = json(&copy, preset);
        assert_eq!(
            (usable(&json), figure(&json, "battery.reserve_percent")),
            (17.582, (Some(5.0), true)),
            "80 % of it"
        );
        let said = flat(&with(&copy, preset).out);
        let part = "[battery] reserve_percent: tightened from 5 % to 20 % (plan with at most 80 % of the capacity: common practice";
        assert!(said.contains(part), "{said}");
    }
    let json = json(&Copy::new(), "small-site");
    assert_eq!(figure(&json, "battery.reserve_percent"), (Some(25.0), false), "the larger one counts");
    assert_eq!(usable(&json), 16.483);
}

#[test]
fn rounded_corners_widen_the_presets_margin_too() {
    let copy = first_flight().edit("limits.toml", "fixed_m = 7.0", "fixed_m = 1.0").edit(
        "site.geojson",
        "[-17.397734, 46.199728]",
        "[-17.39773412345, 46.199728]",
    );
    let json = json(&copy, "first-flight");
    assert_eq!(figure(&json, "margins.fixed_m"), (Some(1.0), true), "as it is written");
    let closest = json["closest"].as_array().expect("a list");
    let keep_in = closest.iter().find(|found| found["rule"] == "keep-in").expect("keep-in");
    assert_eq!(keep_in["required"], 8.07);
}

#[test]
fn sections_that_the_limits_leave_out_are_set() {
    let copy = first_flight().edit("limits.toml", "[link]\nrange_m = 172.0\n", "").edit(
        "limits.toml",
        "[route]\nlongest_leg_m = 150.0\nfirst_point_within_m = 100.0\n",
        "",
    );
    let run = with(&copy, "first-flight");
    let said = flat(&run.out);
    assert_eq!(run.code, 0, "{}", run.out);
    assert!(said.contains("[link] range_m: set to 300.0 m (common practice for a stock antenna"), "{}", run.out);
    assert!(said.contains("[route] longest_leg_m: set to 50.0 m"), "{}", run.out);
    assert!(said.contains("[route] first_point_within_m: set to 30.0 m"), "{}", run.out);
    assert!(!said.contains("no [link]") && !said.contains("no [route]"), "{}", run.out);
    let json = json(&copy, "first-flight");
    assert_eq!(figure(&json, "link.range_m"), (None, true));
    let far = copy.edit("route.toml", "lat = 46.20005", "lat = 46.2003");
    assert_eq!(far.check().code, 0);
    assert_eq!(with(&far, "first-flight").code, 1, "33 m to the first point");
}

#[test]
fn a_station_stays_where_it_is() {
    let copy = first_flight().edit("limits.toml", "range_m = 172.0", "range_m = 400.0\nlat = 46.2\nlon = -17.39649");
    assert_eq!(copy.check().code, 0);
    let json = json(&copy, "first-flight");
    assert_eq!(figure(&json, "link.range_m"), (Some(400.0), true));
    let link = json["closest"].as_array().expect("a list").iter().find(|found| found["rule"] == "link").expect("link");
    let spare = link["clearance"].as_f64().expect("a number");
    assert!((25.0..35.0).contains(&spare), "271 m from the station, not 20 m from launch: {spare}");
}

#[test]
fn the_limits_that_are_judged_have_a_fingerprint_of_their_own() {
    let copy = Copy::new();
    let (_, without) = copy.check_json();
    let with_it = json(&copy, "small-site");
    assert_eq!(with_it["preset"]["limits_fingerprint_without"], without["limits_fingerprint"]);
    assert_ne!(with_it["limits_fingerprint"], without["limits_fingerprint"]);
    assert_eq!(with_it["fingerprint"], without["fingerprint"]);
    assert!(without.get("preset").is_none(), "only where one is used");
    // The same figures written by hand are the same limits.
    let by_hand = copy.edit("limits.toml", "ceiling_m = 60.0", "ceiling_m = 50.0");
    let by_hand = by_hand.edit("limits.toml", "speed_max_m_s = 8.0", "speed_max_m_s = 4.0");
    assert_eq!(by_hand.check_json().1["limits_fingerprint"], with_it["limits_fingerprint"]);
    let said = flat(&with(&Copy::new(), "small-site").out);
    let [one, other] = [&without, &with_it].map(|json| json["limits_fingerprint"].as_str().expect("a text"));
    assert!(said.contains(&format!("limits {one} as written, {other} with the preset")), "{said}");
}

#[test]
fn every_zone_and_hole_is_taken_over() {
    let pond = r#", { "type": "Feature", "properties": { "zone": "keep-out", "name": "pond" }, "geometry": { "type": "Polygon",
        "coordinates": [[[-17.41, 46.21], [-17.40, 46.21], [-17.40, 46.22], [-17.41, 46.22], [-17.41, 46.21]],
        [[-17.408, 46.212], [-17.402, 46.212], [-17.402, 46.218], [-17.408, 46.212]]] } }
] }
"#;
    let copy = Copy::new().edit("site.geojson", "] }\n", pond);
    let with_it = json(&copy, "small-site");
    let by_hand = copy.edit("limits.toml", "ceiling_m = 60.0", "ceiling_m = 50.0");
    let by_hand = by_hand.edit("limits.toml", "speed_max_m_s = 8.0", "speed_max_m_s = 4.0");
    assert_eq!(by_hand.check_json().1["limits_fingerprint"], with_it["limits_fingerprint"]);
}

#[test]
fn every_figure_carries_its_source() {
    for (preset, copy) in [("small-site", Copy::new()), ("first-flight", first_flight())] {
        let json = json(&copy, preset);
        assert_eq!(json["preset"]["name"], preset);
        for figure in json["preset"]["figures"].as_array().expect("a list") {
            let keys: Vec<&String> = figure.as_object().expect("an object").keys().collect();
            assert_eq!(keys, ["key", "figure", "limits", "tightens", "unit", "source"]);
            assert!(figure["figure"].is_number() && figure["source"].as_str().is_some_and(|text| !text.is_empty()));
        }
    }
}

#[test]
fn what_contradicts_the_preset_is_shown_in_the_limits() {
    let run = with(&Copy::new(), "first-flight");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    for part in ["with the preset `first-flight`", "return height is above the ceiling of 30.0 m", "limits.toml:42:12"]
    {
        assert!(run.err.contains(part), "no «{part}» in {}", run.err);
    }
    let copy = Copy::new().edit("limits.toml", "height_m = 35.0", "height_m = 20.0");
    let run = with(&copy, "first-flight");
    assert!(run.code == 2 && run.err.contains("faster than `speed_max_m_s`, 1.0 m/s"), "{}", run.err);
    let copy = first_flight().edit("limits.toml", "floor_m = 5.0", "floor_m = 31.0");
    let run = with(&copy, "first-flight");
    assert!(run.code == 2 && run.err.contains("the floor is above the ceiling of 30.0 m"), "{}", run.err);
    assert_eq!(Copy::new().run(&["pack", "limits.toml", "-o", "limits.packed"]).code, 0);
    let copy = Copy::new();
    assert_eq!(copy.run(&["pack", "limits.toml", "-o", "limits.packed"]).code, 0);
    let run = copy.run(&["check", "route.toml", "--limits", "limits.packed", "--preset", "first-flight"]);
    assert!(run.code == 2 && run.err.contains("(height_m in [return])"), "packed limits have no lines: {}", run.err);
}

#[test]
fn a_ceiling_above_ground_needs_ground_data() {
    let copy = Copy::without_ground();
    let run = with(&copy, "open-category");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    for part in ["`open-category`", "no ground data", "limits.toml:18:1", "`ground` in [heights]"] {
        assert!(run.err.contains(part), "no «{part}» in {}", run.err);
    }
}

#[test]
fn the_open_category_holds_heights_above_the_ground() {
    let copy = Copy::without_ground();
    let check = |ground: i32| {
        pack_with_ground(&copy, ground, WIDE, |_| {});
        copy.run(&["check", "route.toml", "--limits", "limits.packed", "--preset", "open-category"])
    };
    let run = check(2_400);
    let said = flat(&run.out);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(said.contains("[heights] ceiling_above_ground_m: set to 120.0 m"), "{}", run.out);
    assert!(said.contains("(EU) 2019/947, Annex Part A, UAS.OPEN.010(2)"), "{}", run.out);
    assert!(said.contains("[margins] people_m: set to 30.0 m (uninvolved people in subcategory A2"), "{}", run.out);
    assert!(!said.contains("no ground data"), "{}", run.out);
    // The same flight over a valley, 35 m and a margin of 6.1 m above launch.
    let run = check(-5_600);
    assert_eq!(run.code, 1, "{}", run.out);
    assert!(flat(&run.out).contains("below the highest height, 120.00 m above the ground"), "{}", run.out);
}

#[test]
fn the_example_keeps_the_open_category() {
    let run = with(&Copy::new(), "open-category");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let said = flat(&run.out);
    assert!(said.contains("as strict already: [heights] ceiling_above_ground_m"), "{}", run.out);
    assert!(run.out.contains("47.34 m     30.01 m       17.33 m    ferry landing"), "{}", run.out);
    let written = Copy::new().edit("limits.toml", "up_fixed_m = 1.0", "up_fixed_m = 1.0\npeople_m = 30.0");
    let run = with(&written, "open-category");
    assert!(flat(&run.out).contains("as they are written: nothing is tightened"), "{}", run.out);
    let run = with(&Copy::new().edit("limits.toml", "ceiling_above_ground_m = 70.0\n", ""), "open-category");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(flat(&run.out).contains("[heights] ceiling_above_ground_m: set to 120.0 m"), "{}", run.out);
    let higher = Copy::new().edit("limits.toml", "ceiling_above_ground_m = 70.0", "ceiling_above_ground_m = 150.0");
    let run = with(&higher, "open-category");
    assert!(flat(&run.out).contains("ceiling_above_ground_m: tightened from 150.0 m to 120.0 m"), "{}", run.out);
}

#[test]
fn an_unknown_name_lists_the_known_ones() {
    let run = with(&Copy::new(), "first-fligth");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    for part in ["first-fligth", "first-flight", "small-site", "open-category"] {
        assert!(run.err.contains(part), "no «{part}» in {}", run.err);
    }
    let json: Value = serde_json::from_str(&Copy::new().check_with(&["--preset", "none", "--json"]).out).expect("JSON");
    assert!(json["error"]["say"].as_str().is_some_and(|say| say.contains("open-category")), "{json}");
}

#[test]
fn they_are_listed_with_their_figures_and_sources() {
    let run = Copy::new().run(&["presets"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let said = flat(&run.out);
    for part in [
        "first-flight: a first automatic flight",
        "[aircraft] speed_max_m_s = 1.0 m/s (common practice, no source)",
        "[heights] ceiling_above_ground_m = 120.0 m (Commission Implementing Regulation (EU) 2019/947",
        "local rules and licensed practice decide",
    ] {
        assert!(said.contains(part), "no «{part}» in {}", run.out);
    }
    assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{}", run.out);
}
