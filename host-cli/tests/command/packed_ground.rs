//! Limits with ground data: what findings say, and what comes back from packed bytes.

use std::fs;

use pinfold_core::{
    geometry::position::Position,
    model::{
        ground::{GroundCell, GroundPlan},
        limits::Figures,
        store::LimitsStore,
    },
    units::{CellCount, CellSide, CountHeight, Height},
    wire::limits::{LimitsReader, pack_limits},
};
use serde_json::Value;

use crate::support::{Copy, has, said};

/// A side of a cell that has all of the example in it, 1e-7 degree.
pub(crate) const WIDE: i32 = 200_000;

/// Writes limits.packed: like limits.toml with changed figures, and with one cell of level ground at a height above the sea
/// (0.01 m), from a corner south-west of the example.
pub(crate) fn pack_with_ground(copy: &Copy, ground: i32, side: i32, change: fn(&mut Figures)) {
    assert_eq!(copy.run(&["pack", "limits.toml", "-o", "plain.packed"]).code, 0);
    let (mut reader, mut plain) = (LimitsReader::default(), Box::new(LimitsStore::new()));
    for byte in fs::read(copy.path().join("plain.packed")).expect("bytes") {
        reader.take(byte, &mut plain).expect("sound limits");
    }
    let limits = plain.limits().expect("sound limits");
    let (mut figures, mut store) = (limits.figures().clone(), Box::new(LimitsStore::new()));
    change(&mut figures);
    store.begin(figures);
    for (index, zone) in limits.zones() {
        store.zone(zone.clone()).expect("room");
        for ring in limits.rings(index) {
            store.ring().expect("room");
            ring.iter().for_each(|vertex| store.vertex(*vertex).expect("room"));
        }
    }
    store.ground(GroundPlan {
        corner: Position::new(461_900_000, -174_100_000).expect("a place"),
        rows: CellCount::new(1).expect("a count"),
        columns: CellCount::new(1).expect("a count"),
        cell_north: CellSide::new(side).expect("a side"),
        cell_east: CellSide::new(side).expect("a side"),
        base: Height::new(ground).expect("a height"),
        count_height: CountHeight::new(10).expect("a height"),
    });
    store.cell(GroundCell::new(0, 0).expect("a cell")).expect("room");
    let mut bytes = Vec::new();
    pack_limits(store.seal().expect("sound limits"), &mut |piece| bytes.extend_from_slice(piece));
    fs::write(copy.path().join("limits.packed"), bytes).expect("written");
}

fn check(copy: &Copy) -> Value {
    let run = copy.run(&["check", "route.toml", "--limits", "limits.packed", "--json"]);
    serde_json::from_str(&run.out).expect("JSON")
}

fn over(ground: i32, side: i32, change: fn(&mut Figures)) -> Value {
    let copy = Copy::without_ground();
    pack_with_ground(&copy, ground, side, change);
    check(&copy)
}

#[test]
fn level_ground_is_kept_clear_of() {
    let json = over(2_400, WIDE, |_| {});
    assert_eq!(json["verdict"], "go", "{json:#}");
}

#[test]
fn a_path_in_the_ground_is_told_with_what_to_change() {
    // The path is at 20 m above launch, so 44 m above the sea; the return at 35 m.
    let json = over(4_600, WIDE, |_| {});
    has(&said(&json, "ground"), &["may touch the ground", "raise it by"]);
    has(
        &said(&json, "launch"),
        &["elevation is 19.00 m farther from what the ground data say", "elevation_m in [launch]"],
    );
    let json = over(4_000, WIDE, |figures| figures.heights.ground_clearance = Height::new(500));
    has(&said(&json, "ground"), &["4.00 m above the ground, 5.", "raise it by"]);
    let json = over(6_000, WIDE, |_| {});
    has(&said(&json, "return-path"), &["automatic return", "may touch the ground", "raise the return height"]);
}

#[test]
fn where_figures_do_not_tell_a_ceiling_from_the_ground_both_are_named() {
    let json = over(-5_600, WIDE, |figures| figures.heights.ceiling_above_ground = Height::new(12_000));
    has(&said(&json, "ceiling"), &["below the highest height, 120.00 m above the ground", "lower it by"]);
    has(
        &said(&json, "return-path"),
        &["the highest height, 120.00 m above the ground or the ground", "change the return height"],
    );
}

#[test]
fn ground_that_is_not_known_is_told() {
    // The cell ends 11 m north of launch.
    let json = over(2_400, 101_000, |_| {});
    has(&said(&json, "ground"), &["don't say how high the ground is here", "data for the whole site"]);
    has(&said(&json, "return-path"), &["automatic return", "don't say how high"]);
    let json = over(2_400, 90_000, |_| {});
    has(&said(&json, "launch"), &["at the launch point", "data for the whole site"]);
    let copy = Copy::without_ground().edit("route.toml", "elevation_m = 24.0\n", "");
    pack_with_ground(&copy, 2_400, 90_000, |_| {});
    let json = check(&copy);
    has(&said(&json, "ground"), &["The limits have ground data, and the launch point's elevation isn't known"]);
    has(&said(&json, "ceiling"), &["what the air does to heights ([air]) and ground data"]);
}

#[test]
fn figures_about_the_ground_come_back_from_packed_bytes() {
    let copy = Copy::without_ground();
    pack_with_ground(&copy, 2_400, WIDE, |figures| {
        figures.heights.ground_clearance = Height::new(550);
        figures.heights.ceiling_above_ground = Height::new(11_025);
    });
    assert_eq!(copy.run(&["unpack", "limits.packed", "-o", "held.toml"]).code, 0);
    let text = fs::read_to_string(copy.path().join("held.toml")).expect("text");
    assert!(text.contains("ceiling_above_ground_m = 110.25\nground_clearance_m = 5.5\n"), "{text}");
}

#[test]
fn ground_that_no_figure_asks_for_comes_back_from_packed_bytes_too() {
    let copy = Copy::without_ground();
    pack_with_ground(&copy, 2_400, WIDE, |_| {});
    assert_eq!(copy.run(&["unpack", "limits.packed", "-o", "held.toml"]).code, 0);
    let text = fs::read_to_string(copy.path().join("held.toml")).expect("text");
    assert!(text.contains("ground = \"held.ground.toml\"\n") && !text.contains("ground_clearance_m"), "{text}");
    assert_eq!(copy.run(&["pack", "held.toml", "-o", "again.packed"]).code, 0);
    let [one, two] = ["limits.packed", "again.packed"].map(|name| fs::read(copy.path().join(name)).expect("bytes"));
    assert!(one == two);
}
