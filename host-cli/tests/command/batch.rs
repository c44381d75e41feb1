//! `batch`: many routes against the same limits.

use std::fs;

use serde_json::Value;

use crate::support::{Copy, Run, example, pinfold};

/// A folder with everything that can be met in one: a Go, a No-go, a damaged route, limits, other files, a folder.
fn field() -> Copy {
    let copy = Copy::new();
    fs::create_dir_all(copy.path().join("routes/more")).expect("a folder");
    let [go, no_go] = ["route.toml", "no-go/short-cut.toml"].map(|name| fs::read(example().join(name)).expect("text"));
    let limits = fs::read(example().join("limits.toml")).expect("text");
    let copy =
        copy.with("routes/b-go.toml", &go).with("routes/a-short-cut.toml", &no_go).with("routes/more/c-go.toml", &go);
    let copy = copy.with("routes/d-damaged.toml", "[launch\n").with("routes/limits.toml", &limits);
    let copy = copy.with("routes/notes.txt", "call the farmer");
    assert_eq!(copy.run(&["pack", "routes/b-go.toml", "-o", "routes/e.packed"]).code, 0);
    assert_eq!(copy.run(&["pack", "limits.toml", "-o", "routes/f.packed"]).code, 0);
    copy
}

fn batch(copy: &Copy, more: &[&str]) -> Run {
    copy.run(&[&["batch", "--limits", "limits.toml"], more].concat())
}

fn objects(run: &Run) -> Vec<Value> {
    run.out.lines().map(|line| serde_json::from_str(line).expect("an object a line")).collect()
}

#[test]
fn a_folder_is_checked_in_the_order_of_names_and_the_rest_is_named() {
    let copy = field();
    let run = batch(&copy, &["routes"]);
    assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    let verdicts: Vec<(&str, &str)> = run
        .out
        .lines()
        .filter(|line| line.contains("routes/"))
        .map(|line| (line.split_whitespace().next().expect("a verdict"), line.split("routes/").nth(1).expect("a name")))
        .collect();
    let expected =
        [("NO-GO", "a-short-cut.toml"), ("GO", "b-go.toml"), ("UNUSABLE", "d-damaged.toml"), ("GO", "e.packed")];
    assert_eq!(verdicts, expected, "{}", run.out);
    assert!(run.out.contains("\n4 routes: 2 Go, 1 No-go, 1 unusable\n"), "{}", run.out);
    assert!(run.out.contains("A Go is no permission to fly") || run.out.contains("practice decide"), "{}", run.out);
    let passed = ["routes/f.packed", "routes/limits.toml", "routes/notes.txt", "without --recursive: routes/more"];
    assert!(passed.iter().all(|part| run.err.contains(part)), "{}", run.err);
    assert!(!run.err.contains("b-go"), "{}", run.err);
    assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{}", run.out);
}

#[test]
fn lines_of_other_programs_are_routes_and_sites_and_tables_are_not() {
    let line = r#"{ "type": "LineString", "coordinates": [[-17.4, 46.2, 20], [-17.399572, 46.200198, 20]] }"#;
    let copy = Copy::new();
    fs::create_dir(copy.path().join("routes")).expect("a folder");
    let site = fs::read(example().join("site.geojson")).expect("text");
    let copy = copy
        .with("routes/a.geojson", line)
        .with("routes/b.csv", "lat,lon,height_m\n46.2,-17.4,20\n46.200198,-17.399572,20\n");
    let copy = copy
        .with("routes/c.gpx", "<gpx")
        .with("routes/site.geojson", site)
        .with("routes/costs.csv", "part,price\n1,2\n");
    let run = batch(&copy, &["routes", "--speed", "4", "--heights", "above-launch"]);
    assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    assert!(run.out.contains("\n3 routes: 2 Go, 0 No-go, 1 unusable\n"), "{}", run.out);
    assert!(["routes/site.geojson", "routes/costs.csv"].iter().all(|part| run.err.contains(part)), "{}", run.err);
}

#[test]
fn the_order_and_the_answers_are_the_same_with_any_number_of_jobs() {
    let copy = field();
    let [one, many] = ["1", "7"].map(|jobs| batch(&copy, &["routes", "--recursive", "--jobs", jobs]));
    assert_eq!((one.code, &one.out), (many.code, &many.out));
    assert!(one.out.contains("routes/more/c-go.toml") && one.out.contains("\n5 routes: 3 Go,"), "{}", one.out);
    let none = batch(&copy, &["routes", "--jobs", "0"]);
    assert_eq!(none.code, 2);
}

#[test]
fn the_exit_code_is_that_of_the_worst() {
    let copy = field();
    for (routes, code) in [
        (&["routes/b-go.toml"][..], 0),
        (&["routes/b-go.toml", "routes/a-short-cut.toml"], 1),
        (&["routes/a-short-cut.toml", "routes/d-damaged.toml", "routes/b-go.toml"], 2),
        (&["routes/b-go.toml", "nowhere.toml"], 2),
        (&["routes/limits.toml"], 2),
    ] {
        for json in [&[][..], &["--json"]] {
            let run = batch(&copy, &[routes, json].concat());
            assert_eq!(run.code, code, "{routes:?}: {}{}", run.out, run.err);
        }
    }
}

#[test]
fn json_is_the_object_of_check_and_the_file() {
    let copy = field();
    let run = batch(&copy, &["routes", "--json"]);
    let objects = objects(&run);
    assert_eq!(objects.len(), 4);
    for mut object in objects {
        let file = object.as_object_mut().expect("an object").shift_remove("file").expect("a file");
        let file = file.as_str().expect("a text");
        let alone = copy.run(&["check", file, "--limits", "limits.toml", "--json"]);
        assert_eq!(object, serde_json::from_str::<Value>(&alone.out).expect("JSON"), "{file}");
    }
}

#[test]
fn every_mistake_of_the_example_is_one_line_and_its_first_stop() {
    let run = pinfold(&example(), &["batch", "no-go", "route.toml", "--limits", "limits.toml"]);
    assert_eq!(run.code, 1, "{}", run.err);
    assert!(run.out.contains("\n13 routes: 1 Go, 12 No-go, 0 unusable\n"), "{}", run.out);
    assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{}", run.out);
    let lines: Vec<&str> = run.out.lines().collect();
    let at = lines.iter().position(|line| line.contains("no-go/short-cut.toml")).expect("a line");
    assert!(lines[at + 1].starts_with("  keep-in, step ") && lines[at + 1].ends_with(" m missing"), "{}", run.out);
    let at = lines.iter().position(|line| line.contains("no-go/no-landing.toml")).expect("a line");
    assert!(lines[at + 1].starts_with("  sequence"), "{}", run.out);
}

#[test]
fn what_is_to_spare_is_the_least_of_the_distances_that_check_has() {
    let run = |more: &[&str]| {
        pinfold(&example(), &[&["batch", "no-go", "route.toml", "--limits", "limits.toml"], more].concat())
    };
    let (shown, objects) = (run(&[]).out, objects(&run(&["--json"])));
    let mut told = 0;
    for object in &objects {
        let places = object["closest"].as_array().expect("a list").iter();
        let distances = places.filter(|place| place["unit"] == "m" && place["severity"] == "stop");
        let spare = |place: &&Value| {
            let figure = |key: &str| place[key].as_f64().expect("a number");
            ((figure("clearance") - figure("required")) * 100.0).round() as i64
        };
        let Some(least) = distances.min_by_key(spare) else { continue };
        let fingerprint = object["fingerprint"].as_str().expect("a text");
        let row = shown.lines().find(|line| line.contains(fingerprint)).expect("a row");
        let expected = format!("{:.2} m {}", spare(&least) as f64 / 100.0, least["rule"].as_str().expect("a rule"));
        assert!(row.contains(&expected), "no «{expected}» in «{row}»");
        told += 1;
    }
    assert!(told > 8, "{told} of {}", objects.len());
}

#[test]
fn a_preset_counts_for_all_and_is_named() {
    let copy = field();
    let run = batch(&copy, &["routes/b-go.toml", "--preset", "open-category"]);
    assert_eq!(run.code, 0, "{}", run.out);
    assert!(run.out.contains("open-category:") && run.out.contains("a preset is a starting point"), "{}", run.out);
}

#[test]
fn nothing_to_check_and_limits_that_cant_be_used_are_errors() {
    let copy = field();
    fs::create_dir(copy.path().join("empty")).expect("a folder");
    let run = batch(&copy, &["empty"]);
    assert!(run.code == 2 && run.err.contains("no route in it"), "{}", run.err);
    let run = copy.run(&["batch", "routes", "--limits", "routes/d-damaged.toml", "--json"]);
    assert_eq!((run.code, run.out.matches("\"error\"").count()), (2, 1), "{}", run.out);
}
