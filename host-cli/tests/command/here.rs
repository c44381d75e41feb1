//! Where the aircraft stands: `--here LAT,LON`.

use crate::support::Copy;

/// Demands exit code 2 and these parts in the message; with `--json` in the error object.
fn is_refused(here: &[&str], parts: &[&str]) {
    let copy = Copy::new();
    let run = copy.check_with(here);
    assert_eq!((run.code, run.out.as_str()), (2, ""), "{}", run.err);
    let json = copy.check_with(&[here, &["--json"]].concat());
    let object: serde_json::Value = serde_json::from_str(&json.out).expect("JSON");
    let said = object["error"]["say"].as_str().expect("a text");
    assert_eq!(json.code, 2);
    for part in parts {
        assert!(run.err.contains(part) && said.contains(part), "no «{part}» in {} or {said}", run.err);
    }
}

#[test]
fn it_works_as_written() {
    let copy = Copy::new();
    // 46.2 south and 151.2 east is far from the example, but it is read.
    for written in [&["--here", "-33.1,151.2"][..], &["--here=-33.1,151.2"]] {
        let run = copy.check_with(written);
        assert_eq!(run.code, 1, "{}", run.err);
        assert!(run.out.contains("stands far beyond 50 km"), "{}", run.out);
    }
}

#[test]
fn the_aircraft_stands_where_the_route_begins_or_it_is_no_go() {
    let copy = Copy::without_ground();
    let run = copy.check_with(&["--here", "46.2,-17.4"]);
    assert_eq!(run.code, 0, "{}", run.out);
    assert!(run.out.contains("  launch ") && !run.out.contains("--here"), "{}", run.out);
    // A hundred-thousandth of a degree of latitude is 1.11 m: 4 are within 5 m, 5 are not.
    assert_eq!(copy.check_with(&["--here", "46.20004,-17.4"]).code, 0);
    let run = copy.check_with(&["--here", "46.20005,-17.4", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    let found = &json["findings"][0];
    assert_eq!((run.code, found["rule"].as_str(), found["severity"].as_str()), (1, Some("launch"), Some("stop")));
    // 5.56 m, rounded up.
    assert_eq!((found["clearance"].as_f64(), found["required"].as_f64()), (Some(-0.57), Some(0.0)));
    let said = found["say"].as_str().expect("a text");
    assert!(said.contains("0.57 m farther from the planned launch point") && said.contains("`within_m`"), "{said}");
    assert_eq!((found["at"]["lat"].as_f64(), found["at"]["lon"].as_f64()), (Some(46.20005), Some(-17.4)));
}

#[test]
fn without_it_the_report_says_that_nobody_looked() {
    let run = Copy::without_ground().check();
    assert!(run.out.contains("--here") && !run.out.contains("  launch "), "{}", run.out);
}

#[test]
fn limits_that_do_not_say_how_near_are_refused() {
    let copy = Copy::new().edit("limits.toml", "position_within_s = 5.0\n", "");
    let copy = copy.edit("limits.toml", "[launch]\nwithin_m = 5.0\n", "");
    let run = copy.check_with(&["--here", "46.2,-17.4"]);
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    assert!(run.err.contains("limits.toml") && run.err.contains("write [launch]"), "{}", run.err);
    assert!(run.err.contains("within_m = 10.0"), "{}", run.err);
}

#[test]
fn what_is_no_place_is_refused() {
    is_refused(&["--here", "46.2"], &["a comma between"]);
    is_refused(&["--here", "46,2,-17,4"], &["points for decimals"]);
    is_refused(&["--here", "46.2,west"], &["the longitude is no number"]);
    is_refused(&["--here", "nan,-17.4"], &["the latitude is no number"]);
    is_refused(&["--here", ",-17.4"], &["the latitude is no number"]);
    is_refused(&["--here", "90.0000001,-17.4"], &["the latitude is out of range", "from -90.0 to 90.0"]);
    is_refused(&["--here", "46.2,-180.0000001"], &["the longitude is out of range", "from -180.0 to 180.0"]);
    is_refused(&["--here", "1e30,-17.4"], &["the latitude is no number"]);
    is_refused(&["--here"], &["--here"]);
}

#[test]
fn no_digit_is_lost() {
    is_refused(&["--here", "46.20000004,-17.4"], &["finer than 1e-7 degree", "write 46.2"]);
    is_refused(&["--here", "46.2,-17.40000006"], &["the longitude is finer", "write -17.4000001"]);
    is_refused(&["--here", "46.20000006,-17.4"], &["the latitude is finer", "write 46.2000001"]);
}
