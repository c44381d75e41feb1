//! Sections and keys that may be left out: what is asked of them where they are there.

use crate::support::Copy;

fn limits(old: &str, new: &str) -> Copy {
    Copy::new().edit("limits.toml", old, new)
}

#[test]
fn they_may_be_left_out_and_that_is_said() {
    for (section, said) in [
        ("[air]\ncoldest_c = 2.0\nwarmest_c = 27.0\n", "what warm and cold air do to heights (no [air])"),
        ("[link]\nrange_m = 172.0\n", "the radio's range (no [link])"),
        ("[route]\nlongest_leg_m = 150.0\nfirst_point_within_m = 100.0\n", "(no [route])"),
    ] {
        let there = Copy::new().check();
        let left_out = limits(section, "").check();
        assert_eq!((there.code, left_out.code), (0, 0), "{section}: {}{}", left_out.out, left_out.err);
        let said_in = |out: &str| out.split_whitespace().collect::<Vec<_>>().join(" ").contains(said);
        assert!(!said_in(&there.out) && said_in(&left_out.out), "{section}: {}", left_out.out);
    }
}

#[test]
fn a_slip_in_a_key_names_the_known_one() {
    limits("coldest_c", "coldest").is_unusable(&["unknown key `coldest` in [air]", "did you mean `coldest_c`?"]);
    limits("range_m", "rangem").is_unusable(&["unknown key `rangem` in [link]", "did you mean `range_m`?"]);
    limits("\nwithin_m", "\nwhithin_m").is_unusable(&["unknown key `whithin_m` in [launch]", "`within_m`?"]);
    limits("pack_within_s", "pack_withins_s")
        .is_unusable(&["unknown key `pack_withins_s` in [readings]", "did you mean `pack_within_s`?"]);
    limits("position_within_s", "positon_within_s").is_unusable(&["did you mean `position_within_s`?"]);
    limits("flight_within_s", "flight_within_m").is_unusable(&["did you mean `flight_within_s`?"]);
    limits("[readings]", "[reading]").is_unusable(&["unknown key `reading`", "did you mean `readings`?"]);
    limits("[air]", "[aire]").is_unusable(&["unknown key `aire`", "did you mean `air`?"]);
    limits("ground_clearance_m", "ground_clearence_m")
        .is_unusable(&["unknown key `ground_clearence_m`", "did you mean `ground_clearance_m`?"]);
    limits("ceiling_above_ground_m", "ceiling_above_groud_m").is_unusable(&["did you mean `ceiling_above_ground_m`?"]);
}

#[test]
fn a_value_of_another_type_or_out_of_range_is_shown() {
    limits("coldest_c = 2.0", "coldest_c = \"cold\"").is_unusable(&["limits.toml:27:13", "a number, not a text"]);
    limits("coldest_c = 2.0", "coldest_c = -61.0").is_unusable(&["out of range", "from -60.0 to 60.0 degrees Celsius"]);
    limits("warmest_c = 27.0", "warmest_c = 300.0").is_unusable(&["out of range", "from -60.0 to 60.0"]);
    limits("warmest_c = 27.0\n", "").is_unusable(&["a key is missing in [air]: `warmest_c`"]);
    limits("range_m = 172.0", "range_m = -1.0").is_unusable(&["`range_m` is out of range"]);
    limits("range_m = 172.0", "range_m = true").is_unusable(&["a number, not true or false"]);
    limits("range_m = 172.0", "").is_unusable(&["a key is missing in [link]: `range_m`"]);
    limits("within_m = 5.0", "within_m = nan").is_unusable(&["`within_m` is nan, which is no number"]);
    limits("within_m = 5.0", "within_m = 100000.01").is_unusable(&["`within_m` is out of range"]);
    limits("pack_within_s = 600.0", "pack_within_s = \"ten minutes\"").is_unusable(&["a number, not a text"]);
    limits("pack_within_s = 600.0", "pack_within_s = 86400.01").is_unusable(&["`pack_within_s` is out of range"]);
    limits("flight_within_s = 2.0", "flight_within_s = -0.01").is_unusable(&["`flight_within_s` is out of range"]);
    limits("flight_within_s = 2.0", "flight_within_s = 0.0099").is_unusable(&["too coarsely rounded"]);
    limits("ground_clearance_m = 5.0", "ground_clearance_m = []").is_unusable(&["a number, not a list"]);
    limits("ceiling_above_ground_m = 70.0", "ceiling_above_ground_m = 1e6").is_unusable(&["out of range"]);
    limits("[air]\n", "[air]\n[air.x]\n").is_unusable(&["unknown key"]);
    limits("[launch]\nwithin_m = 5.0", "launch = 5.0").is_unusable(&["`launch`"]);
}

#[test]
fn coldest_above_warmest_contradicts_itself() {
    limits("coldest_c = 2.0", "coldest_c = 27.1").is_unusable(&[
        "limits.toml:27:13",
        "the coldest air is warmer than the warmest",
        "change one of the two",
    ]);
    assert_eq!(limits("coldest_c = 2.0", "coldest_c = 27.0").check().code, 0, "one temperature is a range too");
}

#[test]
fn a_reading_that_can_not_be_held_to_anything_contradicts_the_rest() {
    limits("[launch]\nwithin_m = 5.0\n", "").is_unusable(&[
        "limits.toml:77:21",
        "where the aircraft stands is asked for, and no [launch] says where it must",
        "write [launch] and below it within_m = 10.0",
        "or leave this out",
    ]);
    for (line, at) in
        [("position_within_s = 5.0", "79:21"), ("pack_within_s = 600.0", "80:17"), ("flight_within_s = 2.0", "81:19")]
    {
        let (key, _) = line.split_once(" = ").expect("a key");
        limits(line, &format!("{key} = 0.0")).is_unusable(&[
            &format!("limits.toml:{at}"),
            "no reading can be of no age at all",
            "write more than 0; or leave it out",
        ]);
        assert_eq!(limits(line, &format!("{key} = 0.01")).check().code, 0);
    }
}

#[test]
fn each_reading_may_be_left_out_alone_and_all_of_them_together() {
    for left_out in ["position_within_s = 5.0\n", "pack_within_s = 600.0\n", "flight_within_s = 2.0\n"] {
        let copy = limits(left_out, "");
        assert_eq!(copy.check().code, 0, "{left_out}");
        assert_eq!(copy.run(&["pack", "limits.toml", "-o", "limits.packed"]).code, 0);
        assert_eq!(copy.run(&["unpack", "limits.packed", "-o", "held.toml"]).code, 0);
        let text = std::fs::read_to_string(copy.path().join("held.toml")).expect("text");
        let expected = "[readings]\nposition_within_s = 5.0\npack_within_s = 600.0\nflight_within_s = 2.0\n";
        assert!(text.ends_with(&expected.replace(left_out, "")), "{text}");
    }
    let copy = without_readings();
    let (_, nothing_asked) = copy.check_json();
    assert_ne!(nothing_asked["limits_fingerprint"], Copy::new().check_json().1["limits_fingerprint"]);
    let (_, empty) = copy.edit("limits.toml", "[launch]", "[readings]\n[launch]").check_json();
    assert_eq!(empty["limits_fingerprint"], nothing_asked["limits_fingerprint"]);
}

/// The example's limits without what they ask of readings.
fn without_readings() -> Copy {
    limits("[readings]\nposition_within_s = 5.0\npack_within_s = 600.0\nflight_within_s = 2.0\n", "")
}

#[test]
fn where_the_aircraft_stands_need_not_be_looked_at_where_no_board_asks_for_it() {
    let left_out = without_readings().edit("limits.toml", "[launch]\nwithin_m = 5.0\n", "").check();
    assert_eq!(left_out.code, 0, "{}", left_out.err);
    let flat = |out: &str| out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(&left_out.out).contains("(no [launch] in the limits)"), "{}", left_out.out);
    assert!(!flat(&Copy::new().check().out).contains("(no [launch] in the limits)"));
}

#[test]
fn rounding_is_against_the_route() {
    for (old, new, said) in [
        ("coldest_c = 2.0", "coldest_c = 2.06", "`coldest_c` = 2.06 is rounded down to 2.0 degrees Celsius"),
        ("coldest_c = 2.0", "coldest_c = -9.91", "`coldest_c` = -9.91 is rounded down to -10.0 degrees Celsius"),
        ("warmest_c = 27.0", "warmest_c = 27.01", "`warmest_c` = 27.01 is rounded up to 27.1 degrees Celsius"),
        (
            "ceiling_above_ground_m = 70.0",
            "ceiling_above_ground_m = 70.019",
            "`ceiling_above_ground_m` = 70.019 is rounded down to 70.01 m",
        ),
        (
            "ground_clearance_m = 5.0",
            "ground_clearance_m = 5.001",
            "`ground_clearance_m` = 5.001 is rounded up to 5.01 m",
        ),
        ("range_m = 172.0", "range_m = 172.019", "`range_m` = 172.019 is rounded down to 172.01 m"),
        ("within_m = 5.0", "within_m = 5.019", "`within_m` = 5.019 is rounded down to 5.01 m"),
        (
            "position_within_s = 5.0",
            "position_within_s = 5.019",
            "`position_within_s` = 5.019 is rounded down to 5.01 s",
        ),
        ("pack_within_s = 600.0", "pack_within_s = 600.009", "`pack_within_s` = 600.009 is rounded down to 600.0 s"),
        ("flight_within_s = 2.0", "flight_within_s = 2.009", "`flight_within_s` = 2.009 is rounded down to 2.0 s"),
    ] {
        let run = limits(old, new).check();
        assert!(run.code == 0 && run.err.contains(said), "{}", run.err);
    }
}

#[test]
fn a_ground_station_has_both_coordinates_or_none() {
    let station = |more: &str| limits("range_m = 172.0", &format!("range_m = 172.0\n{more}"));
    station("lat = 46.2").is_unusable(&["limits.toml:67:7", "has `lat` and no `lon`", "leave both out"]);
    station("lon = -17.4").is_unusable(&["limits.toml:67:7", "has `lon` and no `lat`"]);
    station("lat = 96.2\nlon = -17.4").is_unusable(&["`lat` is out of range"]);
    station("lat = 46.2\nlon = \"west\"").is_unusable(&["`lon` is to be a number"]);
    // East of all: the launch point is then too far away at the height of the return.
    station("lat = 46.2\nlon = -17.397").is_stopped_by("link", Some(12));
    station("lat = 46.2\nlon = -17.4").is_go();
    station("lat = -46.2\nlon = -17.4").is_stopped_by("extent", None);
}

#[test]
fn figures_that_ask_for_ground_data_are_shown_where_there_are_none() {
    for key in ["ceiling_above_ground_m", "ground_clearance_m"] {
        Copy::without_ground()
            .edit("limits.toml", "floor_m = 5.0", &format!("floor_m = 5.0\n{key} = 50.0"))
            .is_unusable(&[
                &format!("`{key}` can't be held to anything"),
                "no ground data",
                "limits.toml:21:",
                "name a file with `ground`",
            ]);
    }
}

#[test]
fn they_come_back_from_packed_bytes() {
    let copy = limits("range_m = 172.0", "range_m = 190.25\nlat = 46.2000001\nlon = -17.4")
        .edit("limits.toml", "coldest_c = 2.0", "coldest_c = -2.5")
        .edit("limits.toml", "warmest_c = 27.0", "warmest_c = 0.0")
        .edit("limits.toml", "position_within_s = 5.0", "position_within_s = 0.01")
        .edit("limits.toml", "pack_within_s = 600.0", "pack_within_s = 86400")
        .edit("limits.toml", "flight_within_s = 2.0", "flight_within_s = 2.25");
    assert_eq!(copy.run(&["pack", "limits.toml", "-o", "limits.packed"]).code, 0);
    assert_eq!(copy.run(&["unpack", "limits.packed", "-o", "held.toml"]).code, 0);
    let text = std::fs::read_to_string(copy.path().join("held.toml")).expect("text");
    for part in [
        "[air]\ncoldest_c = -2.5\nwarmest_c = 0.0\n",
        "[link]\nrange_m = 190.25\nlat = 46.2000001\nlon = -17.4\n",
        "[launch]\nwithin_m = 5.0\n",
        "[readings]\nposition_within_s = 0.01\npack_within_s = 86400.0\nflight_within_s = 2.25\n",
    ] {
        assert!(text.contains(part), "no «{part}» in {text}");
    }
    let site = std::fs::read_to_string(copy.path().join("held.site.geojson")).expect("text");
    assert!(site.contains("\"zone\":\"people\",\"name\":\"ferry landing\""), "{site}");
    assert_eq!(copy.run(&["pack", "held.toml", "-o", "again.packed"]).code, 0);
    let [one, two] =
        ["limits.packed", "again.packed"].map(|name| std::fs::read(copy.path().join(name)).expect("bytes"));
    assert!(one == two);
}
