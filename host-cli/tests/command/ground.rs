//! Ground data: an invented meadow, a hill in it, a gap, and what is made of heights above ground.

use std::fs;

use crate::support::Copy;

/// The example with ground named in its limits and an Esri ASCII grid of these heights, by longitude and latitude.
fn ground(height: impl Fn(f64, f64) -> f64) -> Copy {
    ground_in_cells(0.0002, height)
}

/// The same in cells of another size.
fn ground_in_cells(cell: f64, height: impl Fn(f64, f64) -> f64) -> Copy {
    let (rows, columns, west, south) =
        ((0.003 / cell).round() as i32, (0.0044 / cell).round() as i32, -17.4012, 46.199);
    let mut text = format!("ncols {columns}\nnrows {rows}\nxllcorner {west}\nyllcorner {south}\ncellsize {cell}\n");
    for row in (0..rows).rev() {
        let center = |number: i32| (f64::from(number) + 0.5) * cell;
        let value = |column| height(west + center(column), south + center(row));
        let values: Vec<String> = (0..columns).map(|column| format!("{:.2}", value(column))).collect();
        text += &(values.join(" ") + "\n");
    }
    named("\"ground.asc\"").with("ground.asc", text)
}

/// The example with ground named in its limits.
fn named(files: &str) -> Copy {
    Copy::new().edit("limits.toml", "ground = \"ground.asc\"", &format!("ground = {files}"))
}

fn meadow() -> Copy {
    ground(|_, _| 24.0)
}

/// 30 m high around the north-eastern point of the tour, which passes there at 20 m above launch.
fn hill() -> Copy {
    ground(|longitude, latitude| if longitude > -17.3993 && latitude > 46.2009 { 54.0 } else { 24.0 })
}

#[test]
fn a_level_meadow_stops_nothing_and_is_said_to_be_clear() {
    let (code, json) = meadow().check_json();
    assert_eq!(code, 0, "{json:#}");
    let closest = json["closest"].as_array().expect("a list");
    let ground = closest.iter().find(|place| place["rule"] == "ground").expect("the ground is looked at");
    assert_eq!(ground["clearance"], 20.0, "{ground}");
}

#[test]
fn the_shipped_meadow_fits_the_tour() {
    let run = Copy::new().check();
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert_eq!(run.err, "", "neither coarse nor unknown cells");
}

#[test]
fn ground_that_is_kept_much_coarser_than_it_was_surveyed_is_said_to_be() {
    let run = ground_in_cells(0.000_02, |_, _| 24.0).check();
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(run.err.contains("ground.asc: the ground is kept in 32 x 32 cells of about 9 m x 7 m"), "{}", run.err);
    let row_of_hill =
        ground_in_cells(0.000_02, |_, latitude| if (latitude - 46.2009).abs() < 0.000_01 { 54.0 } else { 24.0 });
    row_of_hill.is_stopped_by("ground", Some(3));
}

#[test]
fn a_hill_stops_the_tour() {
    hill().is_stopped_by("ground", Some(5));
}

#[test]
fn a_gap_under_the_path_is_no_go() {
    let gap = ground(|longitude, latitude| if longitude > -17.3989 && latitude > 46.2008 { -9999.0 } else { 24.0 });
    let run = gap.check();
    assert!(run.err.contains("near them every path is No-go"), "{}", run.err);
    let gap = gap.edit("ground.asc", "-9999.00", "-9999");
    gap.is_stopped_by("ground", Some(5));
}

#[test]
fn ground_that_ends_before_the_path_is_no_go() {
    let run = meadow().edit("ground.asc", "xllcorner -17.4012", "xllcorner -17.4022");
    run.is_stopped_by("ground", Some(7));
}

#[test]
fn ground_of_another_place_is_refused() {
    meadow().edit("ground.asc", "yllcorner 46.199", "yllcorner 45.199").is_unusable(&[
        "limits.toml:23:10",
        "nothing is known of any ground at the site: latitude 46.19",
        "get the tiles",
    ]);
    named("\"N45W018.hgt\"").with("N45W018.hgt", vec![0; 1201 * 1201 * 2]).is_unusable(&["nothing is known"]);
}

#[test]
fn srtm_tiles_are_taken_by_their_names() {
    // 24 m everywhere: 00 18.
    let tile = [0_u8, 24].repeat(1201 * 1201);
    for files in ["\"N46W018.hgt\"", "[\"N46W018.hgt\", \"N46W019.hgt\"]"] {
        let run = named(files).with("N46W018.hgt", &tile).with("N46W019.hgt", &tile).check();
        assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    }
    named("\"N46W018.hgt\"").with("N46W018.hgt", &tile[1..]).is_unusable(&["N46W018.hgt", "2884802 or 25934402 bytes"]);
}

/// A text with its longitudes, all of which begin with -17, moved west so that -17.399 becomes the antimeridian.
fn moved_to_the_antimeridian(text: &str) -> String {
    let mut parts = text.split("-17.");
    let first = parts.next().unwrap_or("").to_owned();
    parts.fold(first, |before, part| {
        let end = part.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(part.len());
        let longitude: f64 = format!("-17.{}", &part[..end]).parse().expect("a number");
        let moved = longitude - 162.601;
        let moved = if moved < -180.0 { moved + 360.0 } else { moved };
        format!("{before}{moved:.7}{}", &part[end..])
    })
}

#[test]
fn a_site_across_the_antimeridian_takes_tiles_on_both_sides() {
    let tile = [0_u8, 24].repeat(1201 * 1201);
    let at = |files: &str| {
        let copy = named(files).with("N46E179.hgt", &tile).with("N46W180.hgt", &tile);
        ["route.toml", "site.geojson"].into_iter().fold(copy, |copy, name| {
            let text = fs::read_to_string(copy.path().join(name)).expect("text");
            copy.with(name, moved_to_the_antimeridian(&text))
        })
    };
    let run = at("[\"N46E179.hgt\", \"N46W180.hgt\"]").check();
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert_eq!(run.err, "", "every cell is known");
    at("\"N46E179.hgt\"").is_stopped_by("ground", Some(5));
}

#[test]
fn a_ground_file_that_cannot_be_read_is_shown_where_it_is_named() {
    named("\"grounds.asc\"").is_unusable(&["limits.toml:23:10", "the ground file can't be read"]);
    named("[]").is_unusable(&["`ground` names 1 to 16 files"]);
    named("7").is_unusable(&["the name of a file, or a list of names"]);
    named("\"ground.asc\"").with("ground.asc", [0xff, 0x00]).is_unusable(&["ground.asc", "isn't plain text"]);
    named("\"ground.asc\"").with("ground.asc", "").is_unusable(&["ground.asc", "the file is empty"]);
    meadow().edit("ground.asc", "24.00", "24,00").is_unusable(&["ground.asc:6:1", "a point, not a comma"]);
    named("[\"a.toml\", \"b.asc\"]").is_unusable(&["can't be joined"]);
}

#[test]
fn limits_with_ground_unpack_and_pack_to_the_same_bytes() {
    let copy = hill().edit("ground.asc", "24.00", "-9999");
    assert_eq!(copy.run(&["pack", "limits.toml", "-o", "limits.packed"]).code, 0);
    let run = copy.run(&["unpack", "limits.packed", "-o", "held.toml"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let table = fs::read_to_string(copy.path().join("held.ground.toml")).expect("a table");
    assert!(table.contains("[24.0, 54.0]") && table.contains("[]"), "{table}");
    assert_eq!(copy.run(&["pack", "held.toml", "-o", "again.packed"]).code, 0);
    let [again, before] =
        ["again.packed", "limits.packed"].map(|name| fs::read(copy.path().join(name)).expect("bytes"));
    assert!(again == before);
    let run = copy.run(&["unpack", "limits.packed", "-o", "held.toml"]);
    assert!(run.code == 2 && run.err.contains("left as it is"), "{}", run.err);
}

#[test]
fn a_table_of_cells_that_was_changed_by_hand_is_refused() {
    let copy = || {
        let copy = meadow();
        assert_eq!(copy.run(&["pack", "limits.toml", "-o", "limits.packed"]).code, 0);
        assert_eq!(copy.run(&["unpack", "limits.packed", "-o", "held.toml"]).code, 0);
        copy.edit("limits.toml", "ground.asc", "held.ground.toml")
    };
    assert_eq!(copy().check().code, 0);
    for (old, new, say) in [
        ("[24.0, 24.0]", "[24.0, 23.9]", "the lowest first"),
        ("[24.0, 24.0]", "[23.9, 24.0]", "whole counts of `count_m` above `base_m`"),
        ("[24.0, 24.0]", "[24.001, 24.0]", "finer than 0.01 m"),
        ("[24.0, 24.0]", "[24.0]", "[] where nothing is known"),
        ("[24.0, 24.0], ", "", "each of the same"),
        ("base_m", "bas_m", "did you mean `base_m`?"),
    ] {
        copy().edit("held.ground.toml", old, new).is_unusable(&["held.ground.toml:", say]);
    }
}

const LINE: &str = "\"power line\", \"ceiling_m\": 16.0, \"heights\": \"above-launch\"";

#[test]
fn a_zones_heights_above_ground_become_heights_above_the_sea() {
    let zone = |floor: &str| {
        LINE.replace("above-launch", "above-ground").replace("\"ceiling_m\"", &format!("{floor}\"ceiling_m\""))
    };
    // The ground rises from 24 m in the south by 1 m to the north.
    let step = || ground(|_, latitude| if latitude > 46.2002 { 25.0 } else { 24.0 });
    let run = step().edit("site.geojson", LINE, &zone("\"floor_m\": 1.0, ")).check();
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let note = "\"power line\", from 1.0 m to 16.0 m above ground, is taken from 25.0 m to 41.0 m above the sea: \
                the ground under it is 24.0 to 25.0 m high";
    assert!(run.err.contains(note), "{}", run.err);
    // On ground 15 m higher the line reaches 31 m above launch, and the tour passes it at 32 m.
    let hill = ground(|longitude, _| if (-17.3986..-17.3982).contains(&longitude) { 39.0 } else { 24.0 });
    hill.edit("site.geojson", LINE, &zone("")).is_stopped_by("keep-out", Some(7));
}

#[test]
fn a_zones_heights_above_ground_need_the_ground_under_all_of_it() {
    let zone = LINE.replace("above-launch", "above-ground");
    Copy::without_ground()
        .edit("site.geojson", LINE, &zone)
        .is_unusable(&["heights above ground need ground data", "`ground` in [heights]"]);
    let gap = ground(|longitude, _| if (-17.3986..-17.3982).contains(&longitude) { -9999.0 } else { 24.0 });
    gap.edit("ground.asc", "ncols", "nodata_value -9999.00\nncols")
        .edit("site.geojson", LINE, &zone)
        .is_unusable(&["\"power line\" has heights above ground", "isn't known everywhere"]);
}

fn above_ground(copy: Copy) -> Copy {
    copy.edit("route.toml", "heights = \"above-launch\"", "heights = \"above-ground\"")
}

#[test]
fn a_routes_heights_above_ground_become_heights_above_launch() {
    let run = above_ground(ground(|_, latitude| if latitude > 46.2005 { 26.5 } else { 24.0 })).check();
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    for note in [
        "step 1: climb: 20.0 m above ground is taken as 20.0 m above launch: the ground is at 24.0 m above the sea, launch at 24.0 m",
        "step 3: fly: 20.0 m above ground is taken as 22.5 m above launch: the ground is at 26.5 m above the sea",
    ] {
        assert!(run.err.contains(note), "{}", run.err);
    }
    let without = above_ground(meadow()).edit("route.toml", "elevation_m = 24.0\n", "").check();
    assert!(without.err.contains("launch at 24.0 m"), "{}", without.err);
}

#[test]
fn a_height_above_ground_that_nobody_knows_is_refused() {
    above_ground(Copy::without_ground()).is_unusable(&["route.toml:16:12", "these limits have no surveyed ones"]);
    above_ground(meadow().edit("ground.asc", "xllcorner -17.4012", "xllcorner -17.4032"))
        .is_unusable(&["route.toml:51:12", "the ground below isn't known"]);
}

#[test]
fn a_route_with_heights_above_ground_is_packed_with_its_limits() {
    let copy = above_ground(meadow());
    let run = copy.run(&["pack", "route.toml", "-o", "route.packed"]);
    assert!(run.code == 2 && run.err.contains("with --limits"), "{}", run.err);
    let run = copy.run(&["pack", "route.toml", "--limits", "limits.toml", "-o", "route.packed"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let (level, packed) = (meadow().check().out, copy.run(&["check", "route.packed", "--limits", "limits.toml"]).out);
    assert_eq!(level, packed, "on a level meadow above ground is above launch");
    let run = copy.run(&["pack", "limits.toml", "--limits", "limits.toml", "-o", "limits.packed"]);
    assert!(run.code == 2 && run.err.contains("these are limits"), "{}", run.err);
}
