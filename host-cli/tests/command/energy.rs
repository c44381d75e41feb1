//! Wind, the pack's voltage, a turn-back, and a route that changes in flight.

use serde_json::Value;

use crate::support::{Copy, Run, example, has, pinfold, said};

fn limits(old: &str, new: &str) -> Copy {
    Copy::new().edit("limits.toml", old, new)
}

fn json(run: &Run) -> Value {
    serde_json::from_str(&run.out).expect("JSON")
}

/// The example with more arguments.
fn with(more: &[&str]) -> (i32, Value) {
    let run = Copy::new().check_with(&[more, &["--json"]].concat());
    (run.code, json(&run))
}

/// Demands exit code 2 for these arguments, and all these parts in the message.
fn is_refused(arguments: &[&str], parts: &[&str]) {
    let run = Copy::new().check_with(arguments);
    assert_eq!((run.code, run.out.as_str()), (2, ""), "{arguments:?}: {}", run.err);
    for part in parts {
        assert!(run.err.contains(part), "no «{part}» in {}", run.err);
    }
}

#[test]
fn wind_has_a_strength_and_may_have_a_direction() {
    let directed = |from: &str, spread: &str| {
        limits("up_to_m_s = 4.5", &format!("up_to_m_s = 4.5\nfrom_deg = {from}\nspread_deg = {spread}"))
    };
    let (code, json) = directed("240", "0").check_json();
    assert_eq!((code, &json["energy"]["worst_wind_from_deg"]), (0, &Value::from(240)));
    directed("240.0", "20.0").is_go();
    for north in ["360", "360.0", "360.00", "359.6"] {
        directed(north, "20").is_unusable(&["`from_deg` is out of range", "north is 0 degrees", "write from_deg = 0"]);
    }
    directed("359", "20").is_go();
    directed("361", "20").is_unusable(&["`from_deg` is out of range", "from 0 to 359 degrees"]);
    directed("-10", "20").is_unusable(&["`from_deg` is out of range", "from 0 to 359 degrees"]);
    directed("240.6", "20").is_unusable(&["`from_deg` = 240.6 is no whole number of degrees", "write 241"]);
    directed("-0.4", "20").is_unusable(&["`from_deg` = -0.4 is no whole number of degrees", "write 0"]);
    directed("-0.6", "20").is_unusable(&["`from_deg` is out of range: -0.6", "from 0 to 359 degrees"]);
    directed("240", "181").is_unusable(&["`spread_deg` is out of range", "from 0 to 180"]);
    limits("up_to_m_s = 4.5", "up_to_m_s = 4.5\nfrom_deg = 240").is_unusable(&["`from_deg` and no `spread_deg`"]);
    limits("up_to_m_s = 4.5", "up_to_m_s = 4.5\nspread_deg = 240").is_unusable(&["`spread_deg` and no `from_deg`"]);
    limits("up_to_m_s = 4.5", "up_to_m_s = -1.0").is_unusable(&["`up_to_m_s` is out of range"]);
    let run = directed("240", "20.5").check();
    assert!(run.err.contains("`spread_deg` = 20.5 is rounded up to 21"), "{}", run.err);
    let run = directed("240", "12.25").check();
    assert!(run.err.contains("`spread_deg` = 12.25 is rounded up to 13"), "{}", run.err);
    directed("240", "0.35").is_unusable(&["too coarsely rounded", "is another number meant?"]);
}

#[test]
fn a_finer_wind_or_rest_is_rounded_up() {
    let said = |old: &str, new: &str| limits(old, new).check().err;
    let wind = said("up_to_m_s = 4.5", "up_to_m_s = 4.501");
    assert!(wind.contains("`up_to_m_s` = 4.501 is rounded up to 4.51 m/s"), "{wind}");
    let rest = said("rest_s = 900.0", "rest_s = 900.001");
    assert!(rest.contains("`rest_s` = 900.001 is rounded up to 900.01 s"), "{rest}");
}

#[test]
fn still_air_is_said_not_to_be_wind() {
    let copy = limits("up_to_m_s = 4.5", "up_to_m_s = 0.0");
    assert!(copy.check().out.contains("wind (the limits allow for still air only)"));
    let (_, json) = copy.check_json();
    assert_eq!(json["energy"]["worst_wind_from_deg"], Value::Null);
    assert!(!Copy::new().check().out.contains("still air"));
}

#[test]
fn wind_takes_airspeed_and_charge() {
    let figure = |wind: &str, key: &str| {
        let (_, json) = limits("up_to_m_s = 4.5", &format!("up_to_m_s = {wind}")).check_json();
        json["energy"][key].as_f64().expect("a number")
    };
    assert!(figure("0.0", "needed_wh") < figure("4.5", "needed_wh"));
    assert!(figure("4.5", "needed_wh") < figure("6.0", "needed_wh"));
    let (code, json) = limits("up_to_m_s = 4.5", "up_to_m_s = 8.01").check_json();
    assert_eq!(code, 1);
    has(
        &said(&json, "wind"),
        &[
            "wind of up to 8.01 m/s",
            "the way home from it, needs an airspeed of 12.01 m/s, 0.01 m/s more than the aircraft has",
            "slow down the step, or the return (`speed_m_s` in [return]), or wait for less wind.",
        ],
    );
    // Still air, and a step at 4 m/s.
    let still = limits("up_to_m_s = 4.5", "up_to_m_s = 0.0").edit(
        "limits.toml",
        "airspeed_max_m_s = 12.0",
        "airspeed_max_m_s = 3.99",
    );
    let said = said(&still.check_json().1, "wind");
    has(&said, &["Even in still air this step", "an airspeed of 4.00 m/s, 0.01 m/s more", "in [return])."]);
}

#[test]
fn the_end_of_the_power_table_is_told_with_what_needs_it() {
    let (code, json) =
        limits("[12.0, 168.0], [14.0, 205.0]]", "[8.0, 168.0]]").edit("limits.toml", "[8.0, 121.0], ", "").check_json();
    assert_eq!(code, 1);
    has(
        &said(&json, "reserve"),
        &[
            "ends 0.50 m/s below the airspeed that this step, or the way home from it, may need",
            "slow down the step, or the return",
            "wait for less wind, or measure the power at that airspeed.",
        ],
    );
    assert_eq!(json["energy"], Value::Null);
}

#[test]
fn a_way_home_beyond_the_power_table_is_told_from_the_route() {
    // Steps at 3 m/s and a return at 4 m/s: with 4.5 m/s of wind only the way home needs more than 8 m/s.
    let copy = limits(", [12.0, 168.0], [14.0, 205.0]", "")
        .edit("route.toml", "speed_m_s = 4.0", "speed_m_s = 3.0")
        .edit("route.toml", "do = \"return\"", "do = \"land\"");
    let (code, json) = copy.check_json();
    assert_eq!(code, 1);
    let told = said(&json, "turn-back");
    has(&told, &["below the airspeed that the way home from this step may need", "slow down the return (`speed_m_s`"]);
    has(&told, &["wait for less wind, or measure the power at that airspeed."]);
    assert!(!told.contains("step, or"), "{told}");
    assert_eq!(json["energy"]["worst_turn_back_step"], Value::Null);
    assert!(json["energy"]["needed_wh"].is_number(), "{json:#}");
    assert!(!copy.check().out.contains("turning back takes"));
}

#[test]
fn a_turn_back_that_the_charge_is_not_enough_for_is_told() {
    let run = pinfold(&example(), &["check", "no-go/no-charge-to-come-home.toml", "--limits", "limits.toml", "--json"]);
    let json = json(&run);
    has(
        &said(&json, "turn-back"),
        &[
            "the aircraft turned back here",
            "in the worst wind",
            "are missing",
            "stay nearer to launch, wait for less wind, or take a larger pack;",
        ],
    );
    let still = Copy::new()
        .with("route.toml", std::fs::read(example().join("no-go/no-charge-to-come-home.toml")).expect("text"))
        .edit("route.toml", "seconds = 350.0", "seconds = 400.0")
        .edit("limits.toml", "up_to_m_s = 4.5", "up_to_m_s = 0.0");
    let told = said(&still.check_json().1, "turn-back");
    assert!(told.contains("launch, or take a larger pack;") && !told.contains("wind"), "{told}");
    assert_eq!(json["energy"]["worst_turn_back_step"], 8);
    let closest = json["closest"].as_array().expect("a list").iter().find(|found| found["rule"] == "turn-back");
    assert_eq!(closest.map(|found| &found["unit"]), Some(&Value::from("Wh")));
}

#[test]
fn a_pack_is_held_to_its_voltage() {
    // 4.1 V a cell hold 87.5 % by the example's table; less the reserve of 25 % that is 62.5 % of 21.978 Wh.
    let (code, json) = with(&["--pack-volts", "12.3"]);
    assert_eq!((code, &json["energy"]["usable_wh"]), (0, &Value::from(13.736)));
    let (code, json) = with(&["--pack-volts", "11.4"]);
    assert_eq!(code, 1);
    // 3.8 V a cell hold 37.5 %: 12.5 % of 21.978 Wh.
    has(&said(&json, "pack"), &["By its voltage, 11.4 V, the pack gives 2.747 Wh, and", "charge it"]);
    let run = Copy::new().check_with(&["--pack-volts", "12.3"]);
    assert!(
        run.out.contains("\n  pack ") && !run.out.contains("--pack-volts") && !run.out.contains("built-in"),
        "{}",
        run.out
    );
    let words = Copy::new().check().out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("what the pack really holds (give its resting voltage with --pack-volts)"), "{words}");
    assert!(!words.contains("--pack-rested-s"), "{words}");
    let rested = |more: &[&str]| {
        let out = Copy::new().check_with(&[&["--pack-volts", "12.3"], more].concat()).out;
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let unsaid = "whether the pack has rested long enough (give its time with --pack-rested-s)";
    assert!(rested(&[]).contains(unsaid) && !rested(&["--pack-rested-s", "900"]).contains(unsaid));
}

#[test]
fn finer_digits_of_a_reading_are_cut_off() {
    let usable = |volts: &str| with(&["--pack-volts", volts]).1["energy"]["usable_wh"].clone();
    // 12.31 V are 4.1033 V a cell: 87.91 %.
    assert_eq!(["12.3", "12.3099", "12.31"].map(usable), [13.736, 13.736, 13.826].map(Value::from));
    assert_eq!(with(&["--pack-volts", "12.3", "--pack-rested-s", "899.999"]).0, 1);
}

#[test]
fn a_pack_that_tells_nothing_is_no_go_with_the_reason() {
    let pack = |more: &[&str]| {
        let (code, json) = with(more);
        assert_eq!(code, 1, "{json:#}");
        said(&json, "pack")
    };
    has(&pack(&["--pack-volts", "12.3", "--pack-rested-s", "899.9"]), &["hasn't rested for 900.00 s", "read it again"]);
    assert_eq!(with(&["--pack-volts", "12.3", "--pack-rested-s", "900"]).0, 0);
    has(&pack(&["--pack-volts", "12.7"]), &["12.7 V is above the 12.6 V of 3 full cells:"]);
    has(&pack(&["--pack-volts", "10.0"]), &["10.0 V is below the 10.8 V of 3 empty cells:"]);
    has(&pack(&["--pack-volts", "16.5"]), &["16.5 V is the voltage of a pack of 4 cells, and 3 were planned"]);
    has(&pack(&["--pack-volts", "8.2"]), &["a pack of 2 cells, and 3 were planned"]);
    has(&pack(&["--pack-volts", "3.9"]), &["a pack of 1 cell, and 3 were planned"]);
    has(&pack(&["--pack-volts", "41.6"]), &["a pack of 10 cells or 11 cells, and"]);
    let one = limits("cells = 3", "cells = 1").edit("limits.toml", "nominal_volts = 11.1", "nominal_volts = 3.7");
    let one = |volts: &str| said(&json(&one.check_with(&["--pack-volts", volts, "--json"])), "pack");
    has(&one("8.2"), &["a pack of 2 cells, and 1 was planned"]);
    has(&one("4.5"), &["4.5 V is above the 4.2 V of 1 full cell:"]);
    has(&one("3.5"), &["3.5 V is below the 3.6 V of 1 empty cell:"]);
}

#[test]
fn a_built_in_table_is_named_as_common_practice() {
    let own = "charge_table = [[3.6, 0], [3.75, 25], [3.85, 50], [4.0, 75], [4.2, 100]]\n";
    let run = limits(own, "").check_with(&["--pack-volts", "12.3"]);
    assert_eq!(run.code, 0, "{}", run.out);
    let text = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("taken from a built-in table: common practice, no source"), "{text}");
    assert!(!limits(own, "").check().out.contains("built-in"));
    let as_json = |copy: Copy, more: &[&str]| copy.check_with(&[more, &["--json"]].concat()).out;
    let named = "taken from a built-in table: common practice, no source; write your pack's own as charge_table";
    let built_in = as_json(limits(own, ""), &["--pack-volts", "12.3"]);
    assert_eq!(built_in.matches(named).count(), 1, "with the pack, and with no other rule: {built_in}");
    assert!(
        !as_json(limits(own, ""), &[]).contains(named)
            && !as_json(Copy::new(), &["--pack-volts", "12.3"]).contains(named)
    );
}

#[test]
fn a_charge_table_of_another_shape_is_explained() {
    let table = |new: &str| limits("[[3.6, 0], [3.75, 25],", new);
    table("[[3.6], [3.75, 25],").is_unusable(&[
        "list of [volts of a resting cell, per cent that it holds]",
        "charge_table = [[3.600, 0], [3.800, 40]",
    ]);
    table("[[3.75, 25], [3.6, 0],").is_unusable(&["voltages of the table of charge by voltage don't rise"]);
    table("[[3.6, 60], [3.75, 25],").is_unusable(&["or its charges fall"]);
    table("[[3.6, 0], [7.5, 25],").is_unusable(&["out of range: 7.5", "from 0.001 to 6.0 V of one cell"]);
    table("[[3.6, 0], [3.75, 101],").is_unusable(&["out of range"]);
    limits("[[3.6, 0], [3.75, 25], [3.85, 50], [4.0, 75], [4.2, 100]]", "[[3.6, 0]]").is_unusable(&[
        "fewer than two points",
        "limits.toml:57:16",
        "write two to twelve points, both figures rising",
    ]);
    let long = |points: u8| {
        let points: Vec<String> = (0..points).map(|number| format!("[3.{}, {number}]", 60 + number)).collect();
        limits("[[3.6, 0], [3.75, 25], [3.85, 50], [4.0, 75], [4.2, 100]]", &format!("[{}]", points.join(", ")))
    };
    long(12).is_go();
    long(13).is_unusable(&["13 points; 12 are the most", "leave out points that lie on the line between"]);
    let run = table("[[3.6, 12.5], [3.75, 25],").check();
    assert!(run.err.contains("12.5 is rounded down to 12 %"), "{}", run.err);
    table("[[3.6, 0.125], [3.75, 25],").is_unusable(&["too coarsely rounded", "is another number meant?"]);
    let run = table("[[3.6001, 20.9], [3.75, 25],").check();
    assert!(
        run.err.contains("3.6001 is rounded up to 3.601 V") && run.err.contains("20.9 is rounded down to 20 %"),
        "{}",
        run.err
    );
}

#[test]
fn what_is_packed_comes_back_with_wind_and_charge() {
    let copy = limits("up_to_m_s = 4.5", "up_to_m_s = 4.5\nfrom_deg = 240\nspread_deg = 30");
    assert_eq!(copy.run(&["pack", "limits.toml", "-o", "limits.packed"]).code, 0);
    assert_eq!(copy.run(&["unpack", "limits.packed", "-o", "again.toml"]).code, 0);
    assert_eq!(copy.run(&["pack", "again.toml", "-o", "again.packed"]).code, 0);
    let [one, other] =
        ["limits.packed", "again.packed"].map(|file| std::fs::read(copy.path().join(file)).expect("bytes"));
    assert!(one == other);
    let text = std::fs::read_to_string(copy.path().join("again.toml")).expect("text");
    for line in ["up_to_m_s = 4.5", "from_deg = 240", "spread_deg = 30", "rest_s = 900", "charge_table = [[3.6"] {
        assert!(text.contains(line), "no {line} in {text}");
    }
}

fn in_flight(from: &str, left: &str) -> Run {
    Copy::new().run(&["check", "in-flight.toml", "--limits", "limits.toml", "--from", from, "--left-wh", left])
}

#[test]
fn a_changed_route_is_judged_from_where_the_aircraft_is() {
    let run = in_flight("46.200396,-17.398005,32", "16.5");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(run.out.contains("of 11.005 Wh usable; 58 % of the pack left"), "{}", run.out);
    assert!(!run.out.contains("really"), "what the pack holds and where the aircraft is were given: {}", run.out);
    // 25 % of 21.978 Wh are kept: 9.06 Wh leave 3.565 Wh, which is a little too little.
    assert_eq!(in_flight("46.200396,-17.398005,32", "9.06").code, 1);
    let barely = in_flight("46.200396,-17.398005,32", "9.0699");
    assert!(barely.code == 0 && barely.out.contains("needs 3.574 of 3.574 Wh usable"), "{}", barely.out);
    let standing = Copy::new().run(&["check", "in-flight.toml", "--limits", "limits.toml", "--json"]);
    assert_eq!(standing.code, 1);
    has(
        &said(&json(&standing), "sequence"),
        &["begin with a climb", "where the aircraft is flying already, give --from and --left-wh."],
    );
    // By the chimney it may not be.
    assert_eq!(in_flight("46.200891,-17.399,20", "16.5").code, 1);
}

/// The fields of the energy object that say what may be used and what is left.
fn left(run: &Run) -> (Value, Value) {
    let energy = &json(run)["energy"];
    (energy["usable_wh"].clone(), energy["left_percent"].clone())
}

#[test]
fn what_is_left_is_counted_from_what_the_pack_really_holds() {
    let flying = |left: &str| {
        let line =
            ["check", "in-flight.toml", "--limits", "limits.toml", "--json", "--from", "46.200396,-17.398005,32"];
        Copy::new().run(&[&line[..], &["--left-wh", left]].concat())
    };
    // All of it holds 21.978 Wh; with 4 Wh nothing may be used, and the flight takes nearly all of them.
    let needed = json(&flying("4"))["energy"]["needed_wh"].as_f64().expect("a number");
    assert!((3.3..3.7).contains(&needed), "{needed}");
    let percent = |holds: f64| Value::from(((holds - needed) / 0.21978).floor() as i64);
    for holds in [1.0, 4.0, 16.5] {
        assert_eq!(left(&flying(&holds.to_string())).1, percent(holds), "{holds} Wh");
    }
    assert_eq!(left(&flying("99")).1, percent(21.978), "no more than by plan");
    let resting = |volts: &str| Copy::new().check_with(&["--pack-volts", volts, "--json"]);
    // 87.5 % of 21.978 Wh, less 7.352 Wh.
    assert_eq!(left(&resting("12.3")), (Value::from(13.736), Value::from(54)));
    assert_eq!(left(&resting("11.1")), (Value::from(0.0), Value::Null), "20 %, or less");
    let out = Copy::new().check_with(&["--pack-volts", "11.1"]).out;
    assert!(out.contains("what will be left isn't known"), "{out}");
}

#[test]
fn what_there_is_to_do_fits_what_is_known() {
    let flying = in_flight("46.200396,-17.398005,32", "7").out.split_whitespace().collect::<Vec<_>>().join(" ");
    has(&flying, &["may be used: shorten it by", "of flying, or land earlier.", "nearer to launch, or land earlier;"]);
    let (_, json) = with(&["--pack-volts", "11.4"]);
    has(&said(&json, "reserve"), &["or charge the pack."]);
    has(&said(&json, "turn-back"), &["or charge the pack;"]);
    let (_, json) = with(&["--pack-volts", "16.5"]);
    for rule in ["reserve", "turn-back"] {
        has(&said(&json, rule), &["are needed in the worst wind, and how much may be used isn't known: see `pack`"]);
    }
}

#[test]
fn a_rest_that_limits_do_not_say_is_named_as_common_practice() {
    let rest = |limits: &Copy| {
        let run = limits.check_with(&["--pack-volts", "12.3", "--pack-rested-s", "9", "--json"]);
        said(&json(&run), "pack")
    };
    has(&rest(&limits("rest_s = 900.0\n", "")), &["hasn't rested for 600.00 s (common practice, no source)"]);
    assert!(!rest(&Copy::new()).contains("common practice"));
}

#[test]
fn an_aircraft_out_of_reach_is_told_from_a_ground_station_that_is() {
    for from in ["47.2,-17.4,32", "-33.1,151.2,-20.5"] {
        let out = in_flight(from, "16.5").out.split_whitespace().collect::<Vec<_>>().join(" ");
        has(&out, &["The aircraft is farther than 50 km from launch", "--from exchanged"]);
        assert!(!out.contains("station"), "{out}");
    }
    let near = limits("range_m = 172.0", "range_m = 172.0\nlat = 46.2\nlon = -17.4");
    let line = ["check", "in-flight.toml", "--limits", "limits.toml", "--json", "--left-wh", "16.5", "--from"];
    for from in ["47.2,-17.4,32", "-33.1,151.2,-20.5"] {
        has(&said(&json(&near.run(&[&line[..], &[from]].concat())), "extent"), &["The aircraft is farther"]);
    }
    let station = limits("range_m = 172.0", "range_m = 172.0\nlat = 47.2\nlon = -17.4");
    let run = station.run(&[&line[..], &["46.200396,-17.398005,32"]].concat());
    has(&said(&json(&run), "extent"), &["The ground station is farther"]);
}

#[test]
fn a_bad_reading_is_refused_with_what_to_write() {
    is_refused(&["--pack-volts", "much"], &["the voltage is no number"]);
    is_refused(&["--pack-volts", "-3"], &["the voltage is out of range"]);
    is_refused(&["--pack-volts", "123"], &["the voltage is out of range: from 0.01 to 100.0 V"]);
    is_refused(&["--pack-rested-s", "600"], &["--pack-volts"]);
    is_refused(&["--pack-volts", "12.3", "--pack-rested-s", "-1"], &["the time is out of range"]);
    is_refused(&["--from", "46.2,-17.4"], &["height above launch in metres", "-33.1,151.2,35.0"]);
    is_refused(&["--from", "46.2,-17.4,35"], &["--left-wh"]);
    is_refused(&["--left-wh", "9"], &["--from"]);
    is_refused(
        &["--from", "46.2,-17.4,35.001", "--left-wh", "9"],
        &["the height above launch is finer than 0.01 m", "write 35.0"],
    );
    is_refused(&["--from", "46.2,-17.4,35", "--left-wh", "-9"], &["what is left is out of range"]);
    is_refused(&["--from", "46.2,-17.4,35", "--left-wh", "9", "--here", "46.2,-17.4"], &["--here"]);
    is_refused(&["--from", "46.2,-17.4,35", "--left-wh", "9", "--pack-volts", "12"], &["--pack-volts"]);
}
