//! What people read of each finding that a file can provoke, whole: `snapshots/RULE.CAUSE.txt`, each the answer to a change of
//! the example. With PINFOLD_WRITE_SNAPSHOTS=1 they are written anew; read the difference before you commit it.

use std::{collections::BTreeSet, fs, path::PathBuf};

use serde_json::Value;

use crate::support::{Copy, example};

/// Rules without a snapshot, and why.
const WITHOUT: [(&str, &str); 1] =
    [("form", "what is no route is no verdict here, but exit code 2; the board says it")];

/// One snapshot: its name, what is changed in the example, and what is known at the field.
struct Case {
    name: &'static str,
    copy: Copy,
    more: &'static [&'static str],
}

fn of(name: &'static str, copy: Copy) -> Case {
    Case { name, copy, more: &[] }
}

/// A change of the route.
fn route(name: &'static str, old: &str, new: &str) -> Case {
    of(name, Copy::new().edit("route.toml", old, new))
}

/// A change of the limits.
fn limits(name: &'static str, old: &str, new: &str) -> Case {
    of(name, Copy::new().edit("limits.toml", old, new))
}

/// A change of the site.
fn site(name: &'static str, old: &str, new: &str) -> Case {
    of(name, Copy::new().edit("site.geojson", old, new))
}

/// A route that ships as a mistake.
fn mistake(name: &'static str, file: &str) -> Case {
    of(name, Copy::new().with("route.toml", fs::read(example().join("no-go").join(file)).expect("text")))
}

/// The example, with what is known at the field.
fn known(name: &'static str, more: &'static [&'static str]) -> Case {
    Case { more, ..of(name, Copy::new()) }
}

/// The last step of the tour.
const TAIL: &str = "[[step]]\ndo = \"return\"";

fn cases() -> Vec<Case> {
    let mut cases = order();
    cases.extend(space());
    cases.extend(heights());
    cases.extend(speeds());
    cases.extend(charge());
    cases.extend(at_the_field());
    cases.extend(cautions());
    cases
}

fn order() -> Vec<Case> {
    let steps = fs::read_to_string(example().join("route.toml")).expect("text");
    let head = steps.split("[[step]]").next().expect("a head").to_owned();
    vec![
        of("sequence.no-steps", Copy::new().with("route.toml", head)),
        route("sequence.no-climb-first", "[[step]]\ndo = \"climb\"\nheight_m = 20.0\n", ""),
        route(
            "sequence.climb-does-not-rise",
            "[[step]]\ndo = \"hold\"\nseconds = 12.0",
            "[[step]]\ndo = \"climb\"\nheight_m = 20.0",
        ),
        mistake("sequence.no-end", "no-landing.toml"),
        route("sequence.after-end", TAIL, &format!("{TAIL}\n\n[[step]]\ndo = \"hold\"\nseconds = 1.0")),
        of("extent.launch-too-far-north", far_north()),
        mistake("extent.beyond-reach", "exchanged-coordinates.toml"),
        route("extent.measured", "lat = 46.20099\n", "lat = 46.66\n"),
        limits("extent.measured-station", "range_m = 172.0", "range_m = 172.0\nlat = 46.7\nlon = -17.4"),
    ]
}

/// The example, moved to 80 degrees of latitude: a launch that nobody can vouch for.
fn far_north() -> Copy {
    let copy = Copy::without_ground();
    let text = fs::read_to_string(copy.path().join("route.toml")).expect("text");
    copy.with("route.toml", text.replace("lat = 46.", "lat = 80."))
}

fn space() -> Vec<Case> {
    vec![
        mistake("keep-in.measured-outside", "short-cut.toml"),
        site("keep-in.measured", "[-17.398689, 46.201296]", "[-17.398689, 46.2012]"),
        site("keep-out.measured", "\"radius_m\": 2.0", "\"radius_m\": 26.0"),
        site("keep-out.measured-inside", "\"radius_m\": 2.0", "\"radius_m\": 60.0"),
        mistake("keep-out.measured-with-heights", "one-step-too-low.toml"),
        site("keep-out.measured-vertical", "\"ceiling_m\": 33.0", "\"ceiling_m\": 42.5"),
        of("keep-out.no-elevation", Copy::without_ground().edit("route.toml", "elevation_m = 24.0\n", "")),
        mistake("people.measured", "too-near-to-people.toml"),
        of("people.measured-over", people_under_the_path()),
        site("extent.measured-zone", "-17.40005, 46.20055", "-16.7, 46.20055"),
        site("extent.beyond-reach-zone", "-17.40005, 46.20055", "-6.0, 46.20055"),
        site("keep-out.measured-inside-with-heights", "\"ceiling_m\": 16.0", "\"ceiling_m\": 40.0"),
        mistake("return-path.measured", "no-way-home.toml"),
        limits("return-path.measured-vertical", "height_m = 35.0", "height_m = 26.0"),
        limits("return-path.measured-ceiling", "height_m = 35.0", "height_m = 60.0"),
        mistake("link.measured", "beyond-the-radio.toml"),
        limits("stray.measured", "longest_leg_m = 150.0", "longest_leg_m = 60.0"),
        limits("stray.measured-first-point", "first_point_within_m = 100.0", "first_point_within_m = 30.0"),
    ]
}

fn heights() -> Vec<Case> {
    let near_edge = "xllcorner -17.3993";
    vec![
        mistake("ceiling.measured", "heights-above-the-sea.toml"),
        limits("ceiling.measured-above-sea", "floor_m = 5.0", "floor_m = 5.0\nceiling_above_sea_m = 55.0"),
        limits("ceiling.measured-above-ground", "ceiling_above_ground_m = 70.0", "ceiling_above_ground_m = 30.0"),
        of("ceiling.no-elevation", Copy::without_ground().edit("route.toml", "elevation_m = 24.0\n", "")),
        limits("floor.measured", "floor_m = 5.0", "floor_m = 25.0"),
        mistake("ground.measured", "low-over-the-dyke.toml"),
        of("ground.ground-unknown", short_ground()),
        of("return-path.ground-unknown", short_ground()),
        of("return-path.no-elevation", Copy::without_ground().edit("route.toml", "elevation_m = 24.0\n", "")),
        of("launch.ground-unknown", Copy::new().edit("ground.asc", "xllcorner -17.4012", near_edge)),
        route("launch.measured-elevation", "elevation_m = 24.0", "elevation_m = 30.0"),
        route(
            "sequence.lands-below-launch",
            TAIL,
            "[[step]]\ndo = \"fly\"\nlat = 46.2\nlon = -17.3998\nheight_m = -1.0\n\n[[step]]\ndo = \"land\"",
        ),
    ]
}

/// The example with ground data that end before the route does.
fn short_ground() -> Copy {
    Copy::new().edit("ground.asc", "xllcorner -17.4012", "xllcorner -17.4032")
}

fn speeds() -> Vec<Case> {
    vec![
        limits("speed.measured", "speed_max_m_s = 8.0", "speed_max_m_s = 4.0").with_speed("4.5"),
        of("speed.no-speed", Copy::new()).with_speed("0.0"),
        limits("climb-rate.measured", "climb_m_s = 2.0", "climb_m_s = 0.5"),
        route(
            "descent-rate.measured",
            "lat = 46.200396\nlon = -17.398005\nheight_m = 32.0",
            "lat = 46.200396\nlon = -17.398005\nheight_m = 80.0",
        ),
        limits("landing.measured", "landing_max_m_s = 1.0", "landing_max_m_s = 0.5"),
        mistake("wind.measured", "too-fast-for-the-wind.toml"),
    ]
}

impl Case {
    /// The same with another speed of all steps that give none.
    fn with_speed(self, speed: &str) -> Self {
        Self { copy: self.copy.edit("route.toml", "speed_m_s = 4.0", &format!("speed_m_s = {speed}")), ..self }
    }
}

fn charge() -> Vec<Case> {
    let short_table = [
        "table = [[0.0, 112.0], [4.0, 104.0], [8.0, 121.0], [12.0, 168.0], [14.0, 205.0]]",
        "table = [[0.0, 112.0], [4.0, 104.0], [6.0, 121.0]]",
    ];
    vec![
        mistake("reserve.measured", "twice-round.toml"),
        limits("reserve.power-table-ends", short_table[0], short_table[1]),
        mistake("turn-back.measured", "no-charge-to-come-home.toml"),
    ]
}

fn at_the_field() -> Vec<Case> {
    vec![
        known("launch.measured", &["--here", "46.2001,-17.4"]),
        known("launch.beyond-reach", &["--here", "-46.2,-17.4"]),
        known("pack.measured", &["--pack-volts", "11.2", "--pack-rested-s", "900"]),
        known("pack.pack-not-rested", &["--pack-volts", "12.3", "--pack-rested-s", "60"]),
        known("pack.pack-too-low", &["--pack-volts", "10.0"]),
        known("pack.pack-too-high", &["--pack-volts", "12.7"]),
        known("pack.pack-of-other-cells", &["--pack-volts", "16.5"]),
    ]
}

fn cautions() -> Vec<Case> {
    let again = "lat = 46.20099\nlon = -17.399572\nheight_m = 20.0\n";
    vec![
        limits("landing.no-disarm", "disarm_s = 2.0\n", ""),
        limits("landing.late-disarm", "disarm_s = 2.0", "disarm_s = 9.0"),
        limits("sight.measured", "size_m = 0.45", "size_m = 0.2"),
        route("repeat.same-as-before", again, &format!("{again}\n[[step]]\ndo = \"fly\"\n{again}")),
        of("odd-height.height-of-its-own", one_height_but_for_one()),
    ]
}

/// The example with people where its mast is, and that moved under the path.
fn people_under_the_path() -> Copy {
    let mast = "\"keep-out\", \"name\": \"weather mast\"";
    let copy = Copy::new().edit("site.geojson", mast, "\"people\", \"name\": \"mast\"");
    copy.edit("site.geojson", "-17.40005, 46.20055", "-17.399572, 46.2005")
}

/// The example with all points at one height, but for one.
fn one_height_but_for_one() -> Copy {
    let copy = Copy::new();
    let text = fs::read_to_string(copy.path().join("route.toml")).expect("text");
    let level = text.replace("height_m = 20.0", "height_m = 32.0");
    let last = |height: &str| format!("lat = 46.2\nlon = -17.399572\nheight_m = {height}");
    copy.with("route.toml", level).edit("route.toml", &last("32.0"), &last("31.0"))
}

fn folder() -> PathBuf {
    example().join("../tests/command/snapshots")
}

/// The rule that a name begins with.
fn rule(name: &str) -> &str {
    name.split('.').next().expect("a rule")
}

#[test]
fn each_finding_is_told_as_it_was() {
    let write = std::env::var_os("PINFOLD_WRITE_SNAPSHOTS").is_some();
    let mut different = Vec::new();
    for Case { name, copy, more } in cases() {
        let run = copy.check_with(more);
        assert!(run.code < 2, "{name}: {}{}", run.out, run.err);
        let found = format!("exit code {}\n{}", run.code, run.out);
        let path = folder().join(format!("{name}.txt"));
        if write {
            fs::write(&path, &found).expect("written");
        }
        if fs::read_to_string(&path).ok().as_deref() != Some(found.as_str()) {
            different.push(format!("{name}:\n{found}"));
        }
    }
    assert!(different.is_empty(), "told otherwise than in snapshots:\n{}", different.join("\n"));
}

#[test]
fn each_snapshot_is_of_a_case_and_tells_of_its_rule() {
    let names: BTreeSet<String> = cases().iter().map(|case| case.name.to_owned()).collect();
    let files = fs::read_dir(folder()).expect("a folder").map(|entry| entry.expect("an entry").path());
    let found: BTreeSet<String> =
        files.map(|path| path.file_stem().expect("a name").to_string_lossy().into_owned()).collect();
    assert_eq!(found, names);
    for name in names {
        let text = fs::read_to_string(folder().join(format!("{name}.txt"))).expect("text");
        let broken = text.split("\nClosest").flat_map(|part| part.split("\nCautions"));
        let tells = broken.flat_map(str::lines).any(|line| line.starts_with(&format!("  {}: ", rule(&name))));
        assert!(tells, "{name}:\n{text}");
        for line in text.lines() {
            assert!(line.chars().count() <= 80 && !line.contains('\u{1b}'), "{name}: {line}");
        }
    }
}

#[test]
fn every_rule_has_a_snapshot_or_a_reason() {
    let schema: Value = serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("JSON");
    let rules = schema["$defs"]["rule"]["enum"].as_array().expect("a list").clone();
    let rules: BTreeSet<&str> = rules.iter().map(|rule| rule.as_str().expect("a word")).collect();
    let cases = cases();
    let with: BTreeSet<&str> = cases.iter().map(|case| rule(case.name)).collect();
    let without: BTreeSet<&str> = WITHOUT.iter().map(|(rule, _)| *rule).collect();
    assert!(with.is_disjoint(&without));
    assert_eq!(with.union(&without).copied().collect::<BTreeSet<_>>(), rules);
}
