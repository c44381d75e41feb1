//! Limits as people get them wrong by hand.

use crate::support::Copy;

fn limits(old: &str, new: &str) -> Copy {
    Copy::new().edit("limits.toml", old, new)
}

#[test]
fn a_missing_section_or_key_is_named() {
    limits("fixed_m = 7.0\n", "").is_unusable(&["a key is missing in [margins]: `fixed_m`", "limits.toml:"]);
    for section in
        ["site", "margins", "heights", "air", "aircraft", "wind", "return", "battery", "power", "link", "launch"]
    {
        let copy = limits(&format!("[{section}]\n"), &format!("[[{section}x]]\n"));
        copy.is_unusable(&[&format!("`{section}x`")]);
    }
}

#[test]
fn a_whole_section_left_out_is_named() {
    let wind = "[wind]\nup_to_m_s = 4.5\n";
    limits(wind, "").is_unusable(&["a section is missing: `wind`", "write [wind]"]);
}

#[test]
fn an_unknown_key_names_its_nearest() {
    limits("fixed_m", "fixd_m").is_unusable(&["limits.toml:12:1", "unknown key `fixd_m`", "did you mean `fixed_m`?"]);
}

#[test]
fn limits_that_contradict_themselves_are_refused() {
    limits("floor_m = 5.0", "floor_m = 70.0")
        .is_unusable(&["the floor is above the ceiling of 60.0 m", "limits.toml:20:11"]);
    limits("height_m = 35.0", "height_m = 61.0").is_unusable(&["return height is above the ceiling"]);
    limits("height_m = 35.0", "height_m = 0.0").is_unusable(&["return height is not above launch"]);
    limits("speed_m_s = 4.0", "speed_m_s = 8.5").is_unusable(&["the return is faster"]);
    limits("[[0.0, 112.0], ", "[")
        .is_unusable(&["doesn't start at 0 m/s", "write two to eight points, airspeeds rising from 0"]);
    limits("floor_m = 5.0", "floor_m = 70.0").is_unusable(&["contradict themselves: change one of the two"]);
    limits("[4.0, 104.0], [8.0, 121.0]", "[8.0, 104.0], [4.0, 121.0]").is_unusable(&["don't rise"]);
    limits(", [4.0, 104.0], [8.0, 121.0], [12.0, 168.0], [14.0, 205.0]", "").is_unusable(&["fewer than two points"]);
}

#[test]
fn a_power_table_of_another_shape_is_explained() {
    limits("[[0.0, 112.0],", "[[0.0, 112.0, 1.0],").is_unusable(&["list of [airspeed in m/s, power in W]"]);
    limits("[[0.0, 112.0],", "[0.0, 112.0,").is_unusable(&["list of [airspeed in m/s, power in W]"]);
    let nine: Vec<String> = (0..9).map(|speed| format!("[{speed}.0, 100.0]")).collect();
    limits(
        "table = [[0.0, 112.0], [4.0, 104.0], [8.0, 121.0], [12.0, 168.0], [14.0, 205.0]]",
        &format!("table = [{}]", nine.join(", ")),
    )
    .is_unusable(&["9 points; 8 are the most"]);
}

#[test]
fn a_finer_value_is_rounded_against_the_route_and_that_is_said() {
    let run = limits("up_fixed_m = 1.0", "up_fixed_m = 1.0\npeople_m = 30.001").check();
    assert!(run.err.contains("`people_m` = 30.001 is rounded up to 30.01 m"), "{}", run.err);
    let run = limits("fixed_m = 7.0", "fixed_m = 7.001").check();
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.err.contains("`fixed_m` = 7.001 is rounded up to 7.01 m"), "{}", run.err);
    let run = limits("ceiling_m = 60.0", "ceiling_m = 60.019").check();
    assert!(run.err.contains("rounded down to 60.01 m"), "{}", run.err);
    limits("landing_m_s = 0.7", "landing_m_s = 0.705").is_unusable(&["finer than 0.01 m/s"]);
    limits("cells = 3", "cells = 3.5").is_unusable(&["`cells` = 3.5 is no whole number of cells"]);
}

#[test]
fn a_landing_over_its_limit_is_a_finding_and_no_disarm_a_caution() {
    limits("landing_m_s = 0.7", "landing_m_s = 1.1").is_stopped_by("landing", Some(12));
    for (old, new) in [("disarm_s = 2.0\n", ""), ("disarm_s = 2.0", "disarm_s = 9.0")] {
        let (code, json) = limits(old, new).check_json();
        assert_eq!(code, 0, "a caution stops nothing");
        assert_eq!(json["findings"][0]["rule"], "landing");
        assert_eq!(json["findings"][0]["severity"], "caution");
    }
}

#[test]
fn a_ceiling_above_the_sea_needs_the_launch_points_elevation() {
    let copy = Copy::without_ground().edit("limits.toml", "floor_m = 5.0", "floor_m = 5.0\nceiling_above_sea_m = 90.0");
    assert_eq!(copy.check().code, 0);
    copy.edit("route.toml", "elevation_m = 24.0\n", "").is_stopped_by("ceiling", Some(1));
    // Launch is at 24 m, the return at 35 m above it, and 6.1 m of margin are needed.
    limits("floor_m = 5.0", "floor_m = 5.0\nceiling_above_sea_m = 64.0").is_stopped_by("ceiling", Some(12));
}

#[test]
fn a_site_file_that_is_not_there_is_shown_where_it_is_named() {
    limits("site.geojson", "sight.geojson").is_unusable(&["limits.toml:6:8", "the site file can't be read"]);
}

#[test]
fn a_number_in_another_unit_is_suspected() {
    limits("reserve_percent = 25", "reserve_percent = 0.25").is_unusable(&["`reserve_percent` = 0.25", "in %"]);
    limits("capacity_mah = 2200", "capacity_mah = 2.2").is_unusable(&["in mAh", "another number"]);
    limits("nominal_volts = 11.1", "nominal_volts = 3.7").is_unusable(&["3 cells don't make this voltage"]);
    limits("cells = 3", "cells = 6").is_unusable(&["6 cells don't make this voltage"]);
    limits("cells = 3", "cells = 0x3").is_unusable(&["not written in decimal"]);
}

#[test]
fn the_wrong_kind_of_text_is_told() {
    let copy = Copy::new();
    let run = copy.run(&["check", "limits.toml", "--limits", "limits.toml"]);
    assert!(run.code == 2 && run.err.contains("these are limits, not a route"), "{}", run.err);
    let run = copy.run(&["check", "route.toml", "--limits", "route.toml"]);
    assert!(run.code == 2 && run.err.contains("this is a route, not limits"), "{}", run.err);
}
