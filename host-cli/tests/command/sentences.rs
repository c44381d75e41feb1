//! What the sentences of findings say: what is met, and what to change.

use serde_json::Value;

use crate::support::{Copy, example, has, pinfold, said};

fn shipped(route: &str) -> Value {
    let run = pinfold(&example(), &["check", &format!("no-go/{route}.toml"), "--limits", "limits.toml", "--json"]);
    serde_json::from_str(&run.out).expect("JSON")
}

fn edited(file: &str, old: &str, new: &str) -> Value {
    Copy::new().edit(file, old, new).check_json().1
}

#[test]
fn a_return_names_what_it_meets_and_its_kind() {
    has(
        &said(&shipped("no-way-home"), "return-path"),
        &["automatic return from this step", "keep-out zone \"weather mast\"", "lead the step"],
    );
    has(&said(&shipped("short-cut"), "return-path"), &["leaves the keep-in zone \"water meadow\"", "stays"]);
    has(
        &said(&shipped("too-near-to-people"), "return-path"),
        &["zone of people \"ferry landing\"", "lower the return height", "farther away"],
    );
    has(
        &said(&shipped("one-step-too-low"), "return-path"),
        &["keep-out zone \"power line\"", "change the return height or the height of the step"],
    );
}

#[test]
fn a_return_too_low_over_a_zone_is_told_by_its_height() {
    let copy = Copy::new().edit("limits.toml", "height_m = 35.0", "height_m = 26.0");
    has(
        &said(&copy.check_json().1, "return-path"),
        &["passes the keep-out zone \"old chimney\" with 0.99 m of height between", "change the return height"],
    );
    let copy = copy.edit("limits.toml", "height_m = 26.0", "height_m = 21.0");
    has(&said(&copy.check_json().1, "return-path"), &["goes through the keep-out zone \"old chimney\" at its heights"]);
}

#[test]
fn a_return_names_the_ceiling_that_it_breaks() {
    let json = edited("limits.toml", "height_m = 35.0", "height_m = 55.0");
    has(
        &said(&json, "return-path"),
        &["5.00 m below the highest height, 60.00 m above launch", "lower the return height"],
    );
    let json = edited("limits.toml", "floor_m = 5.0", "floor_m = 5.0\nceiling_above_sea_m = 58.0");
    has(
        &said(&json, "return-path"),
        &["1.00 m above the highest height, 58.00 m above the sea", "lower the return height"],
    );
    has(&said(&json, "ceiling"), &["1.00 m above the highest height, 58.00 m above the sea", "lower it by"]);
}

#[test]
fn people_and_link_say_how_far_and_what_to_change() {
    has(
        &said(&shipped("too-near-to-people"), "people"),
        &["within 28.90 m of the people in \"ferry landing\"", "33.37 m are needed", "as far away as it is high"],
    );
    let over =
        Copy::new().edit("site.geojson", "\"keep-out\", \"name\": \"weather mast\"", "\"people\", \"name\": \"mast\"");
    let over = over.edit("site.geojson", "-17.40005, 46.20055", "-17.399572, 46.2005");
    has(&said(&over.check_json().1, "people"), &["goes over or touches \"mast\", where people are", "lead it round"]);
    has(&said(&shipped("beyond-the-radio"), "link"), &["station at launch", "range of 172.00 m", "nearer"]);
    let json = edited("limits.toml", "range_m = 172.0", "range_m = 172.0\nlat = 46.2\nlon = -17.397");
    has(&said(&json, "link"), &["from the ground station than"]);
}

#[test]
fn a_ground_station_out_of_reach_is_told_from_a_place_that_is() {
    for latitude in ["46.7", "47.2", "-46.2"] {
        let station = format!("range_m = 172.0\nlat = {latitude}\nlon = -17.4");
        let json = edited("limits.toml", "range_m = 172.0", &station);
        has(&said(&json, "extent"), &["ground station is farther than 50 km", "[link]"]);
    }
    has(&said(&shipped("exchanged-coordinates"), "extent"), &["This leads far beyond", "exchanged"]);
}

#[test]
fn every_cause_of_a_missing_elevation_is_named() {
    let without = |limits: &str| {
        Copy::without_ground()
            .edit("route.toml", "elevation_m = 24.0\n", "")
            .edit("limits.toml", "floor_m = 5.0", limits)
            .check_json()
            .1
    };
    let json = without("floor_m = 5.0");
    for rule in ["ceiling", "return-path"] {
        has(&said(&json, rule), &["[air]", "write elevation_m in [launch] of the route"]);
        assert!(!said(&json, rule).contains("sea"), "{json:#}");
    }
    has(&said(&json, "keep-out"), &["\"boat house\" has heights above the sea"]);
    let json = without("floor_m = 5.0\nceiling_above_sea_m = 90.0");
    has(&said(&json, "ceiling"), &["a ceiling above the sea and what the air does"]);
}

#[test]
fn the_table_marks_what_is_vertical() {
    let out = Copy::new().check().out;
    let line = |rule: &str| out.lines().find(|line| line.trim_start().starts_with(rule)).expect("a line").to_owned();
    assert!(line("ceiling").ends_with(" v") && line("floor").ends_with(" v"), "{out}");
    assert!(!line("keep-in").contains(" v ") && line("keep-in").ends_with("  water meadow"), "{out}");
    assert!(out.contains("\n  v: vertical\n"), "{out}");
    assert!(out.lines().any(|line| line.starts_with("  return-path") && line.contains(" v  boat house")), "{out}");
}
