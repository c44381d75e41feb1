//! Routes as people get them wrong by hand: each gets a clear error or finding, none a crash or a Go.

use crate::support::Copy;

fn route(old: &str, new: &str) -> Copy {
    Copy::new().edit("route.toml", old, new)
}

#[test]
fn a_decimal_comma_is_explained() {
    route("lat = 46.2\n", "lat = 46,2\n").is_unusable(&["route.toml:6:9", "not TOML", "write 47.5"]);
    route("lat = 46.2\n", "lat = \"46,2\"\n").is_unusable(&["route.toml:6:7", "a number, not a text"]);
}

#[test]
fn a_height_without_a_reference_is_asked_about() {
    route("heights = \"above-launch\"\n", "").is_unusable(&[
        "measured from",
        "above-launch",
        "above-sea",
        "[defaults]",
    ]);
    route("\"above-launch\"", "\"above-lunch\"").is_unusable(&["above-lunch", "did you mean `above-launch`?"]);
}

#[test]
fn heights_above_the_sea_need_the_launch_points_own() {
    route("\"above-launch\"", "\"above-sea\"")
        .edit("route.toml", "elevation_m = 24.0\n", "")
        .is_unusable(&["elevation_m", "[launch]"]);
    // 20 m above the sea is below the launch point at 24 m: the climb doesn't rise.
    route("\"above-launch\"", "\"above-sea\"").is_stopped_by("sequence", Some(1));
}

#[test]
fn a_number_that_is_none_is_refused() {
    for word in ["nan", "inf", "-inf"] {
        route("height_m = 20.0", &format!("height_m = {word}")).is_unusable(&["no number", "route.toml:"]);
    }
    route("height_m = 20.0", "height_m = true").is_unusable(&["a number, not true or false"]);
}

#[test]
fn an_absurd_size_is_out_of_range() {
    route("height_m = 20.0", "height_m = 1e9").is_unusable(&["out of range", "10000.0"]);
    route("height_m = 20.0", "height_m = 1e99").is_unusable(&["`height_m`"]);
    route("lat = 46.2\n", "lat = 146.2\n").is_unusable(&["out of range", "90.0 degrees"]);
    route("speed_m_s = 4.0", "speed_m_s = 4000.0").is_unusable(&["out of range"]);
}

#[test]
fn digits_beyond_the_unit_are_not_silently_dropped() {
    route("height_m = 20.0", "height_m = 20.005").is_unusable(&["finer than 0.01 m", "write 20.0"]);
    route("lat = 46.2\n", "lat = 46.20000001\n").is_unusable(&["finer than 0.0000001 degrees", "write 46.2"]);
    route("lat = 46.2\n", "lat = 90.00000006\n").is_unusable(&["`lat` is out of range", "from -90.0 to 90.0"]);
}

#[test]
fn an_unknown_key_names_its_nearest() {
    route("height_m = 20.0", "heigth_m = 20.0").is_unusable(&["unknown key `heigth_m`", "did you mean `height_m`?"]);
    route("seconds = 12.0", "second = 12.0").is_unusable(&["did you mean `seconds`?"]);
    route("do = \"climb\"", "do = \"clime\"").is_unusable(&["did you mean `climb`?"]);
}

#[test]
fn a_key_of_another_step_is_unknown_there() {
    route("seconds = 12.0", "seconds = 12.0\nlat = 1.0").is_unusable(&["unknown key `lat`", "hold"]);
}

#[test]
fn exchanged_latitude_and_longitude_lead_out_of_reach() {
    route("lat = 46.200198\nlon = -17.399572", "lat = -17.399572\nlon = 46.200198").is_stopped_by("extent", Some(2));
    route("lat = 46.2\nlon = -17.4", "lat = -17.4\nlon = 46.2").is_stopped_by("extent", None);
}

#[test]
fn coordinates_of_nothing_lead_out_of_reach() {
    route("lat = 46.200198\nlon = -17.399572", "lat = 0.0\nlon = 0.0").is_stopped_by("extent", Some(2));
}

#[test]
fn a_route_without_steps_is_no_flight() {
    let text = std::fs::read_to_string(crate::support::example().join("route.toml")).expect("text");
    let head = text.split("[[step]]").next().expect("a head").to_owned();
    Copy::new().with("route.toml", head).is_stopped_by("sequence", None);
}

#[test]
fn steps_in_a_wrong_order_are_no_flight() {
    route("do = \"climb\"\nheight_m = 20.0", "do = \"hold\"\nseconds = 1.0").is_stopped_by("sequence", Some(1));
    route("do = \"return\"\n", "do = \"return\"\n[[step]]\ndo = \"land\"\n").is_stopped_by("sequence", Some(13));
}

#[test]
fn no_speed_and_too_much_speed_are_found() {
    route("speed_m_s = 3.0", "speed_m_s = 0.0").is_stopped_by("speed", Some(5));
    route("speed_m_s = 3.0", "speed_m_s = -3.0").is_stopped_by("speed", Some(5));
    route("speed_m_s = 3.0", "speed_m_s = 9.0").is_stopped_by("speed", Some(5));
    route("speed_m_s = 4.0\n", "").is_unusable(&["has no speed", "[defaults]"]);
}

#[test]
fn files_that_are_no_text_are_refused() {
    Copy::new().with("route.toml", [0xff, 0xfe, 0x00, 0x41]).is_unusable(&["neither text nor packed bytes"]);
    Copy::new().with("route.toml", "").is_unusable(&["missing"]);
    Copy::new().with("route.toml", "\u{0}\u{1}").is_unusable(&["not TOML"]);
}

#[test]
fn a_missing_part_is_named() {
    route("lat = 46.200198\n", "").is_unusable(&["a key is missing", "`lat`"]);
    route("name = \"Sallow Holm, morning count\"\n", "").is_unusable(&["`name`"]);
    route("[launch]\nlat = 46.2\nlon = -17.4\nelevation_m = 24.0\n", "")
        .is_unusable(&["a section is missing: `launch`"]);
}

#[test]
fn a_name_that_does_not_fit_is_refused() {
    route("Sallow Holm, morning count", "a name that is a good deal longer than will fit")
        .is_unusable(&["32 are the most"]);
    route("Sallow Holm, morning count", "").is_unusable(&["a name has at least one letter"]);
}

#[test]
fn too_many_steps_are_counted() {
    let hold = "[[step]]\ndo = \"hold\"\nseconds = 1.0\n".repeat(65_535);
    let copy = route("[[step]]\ndo = \"climb\"", &format!("{hold}[[step]]\ndo = \"climb\""));
    copy.is_unusable(&["65547 steps; 65535 are the most"]);
}

#[test]
fn a_landing_from_below_launch_height_is_no_landing() {
    let copy = route("do = \"return\"", "do = \"land\"").edit("limits.toml", "floor_m = 5.0", "floor_m = -50.0");
    assert_eq!(copy.check_json().1["findings"][0], serde_json::Value::Null, "it may land where it is");
    copy.edit("route.toml", "height_m = 32.0\n\n[[step]]\ndo = \"land\"", "height_m = -1.0\n\n[[step]]\ndo = \"land\"")
        .is_stopped_by("sequence", Some(12));
}
