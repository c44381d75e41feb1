//! `--json` against `schema/check.schema.json`.

use jsonschema::Validator;
use serde_json::{Value, json};

use crate::support::{Copy, Run, example, pinfold};

fn schema() -> Value {
    serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("JSON")
}

/// A validator of one definition of the schema: `check` or `batch`.
fn validator(definition: &str) -> Validator {
    let mut schema = schema();
    jsonschema::meta::validate(&schema).expect("a schema by its own schema");
    let members = schema.as_object_mut().expect("an object");
    assert!(members.shift_remove("anyOf").is_some() && members["$defs"][definition].is_object());
    members.insert("$ref".into(), format!("#/$defs/{definition}").into());
    jsonschema::validator_for(&schema).expect("a schema")
}

/// Demands that an object is as the schema says.
fn holds(validator: &Validator, object: &Value, of: &str) {
    if let Err(error) = validator.validate(object) {
        panic!("{of}: {error} at {}\n{object:#}", error.instance_path());
    }
}

/// The object that a run printed.
fn object(run: &Run) -> Value {
    serde_json::from_str(&run.out).unwrap_or_else(|error| panic!("{error}: {}{}", run.out, run.err))
}

/// Checks of the example and its mistakes, with everything that can be known at the field, and under presets.
fn verdicts() -> Vec<(String, Value)> {
    let no_go = std::fs::read_dir(example().join("no-go")).expect("a folder");
    let routes = no_go.map(|entry| format!("no-go/{}", entry.expect("an entry").file_name().to_string_lossy()));
    let mut asked: Vec<Vec<String>> = routes.map(|route| vec![route]).collect();
    let aloft = "in-flight.toml --from 46.200396,-17.398005,32 --left-wh 15";
    for more in [
        "route.toml",
        "route.toml --here 46.20001,-17.40001 --pack-volts 12.3 --pack-rested-s 900",
        "route.toml --here -46.2,-17.4",
        "route.toml --pack-volts 10.0",
        "route.toml --preset open-category",
        "route.toml --preset small-site",
        aloft,
    ] {
        asked.push(more.split(' ').map(str::to_owned).collect());
    }
    let run = |asked: Vec<String>| {
        let arguments: Vec<&str> = ["check", "--limits", "limits.toml", "--json"]
            .into_iter()
            .chain(asked.iter().map(String::as_str))
            .collect();
        let run = pinfold(&example(), &arguments);
        assert!(run.code < 2, "{asked:?}: {}", run.out);
        (asked.join(" "), object(&run))
    };
    asked.into_iter().map(run).collect()
}

/// Input that can't be used, with a place and without.
fn errors() -> Vec<(String, Value)> {
    let copies = [
        ("no TOML", Copy::new().with("route.toml", "[launch\n")),
        ("an unknown key", Copy::new().edit("limits.toml", "floor_m", "flor_m")),
        (
            "a ring that isn't closed",
            Copy::new().edit("site.geojson", "[-17.400299, 46.199762]] ]", "[-17.3, 46.1]] ]"),
        ),
        ("no ground", Copy::new().with("ground.asc", "")),
        ("bytes", Copy::new().with("route.toml", b"PNFD\x01\x04")),
    ];
    let mut errors: Vec<(String, Value)> = copies.map(|(name, copy)| (name.to_owned(), copy.check_json().1)).into();
    let preset = &["check", "route.toml", "--limits", "limits.toml", "--preset", "first-flight", "--json"];
    for arguments in [&["check", "--json"][..], &["check", "nowhere", "--limits", "limits.toml", "--json"], preset] {
        errors.push((arguments.join(" "), object(&Copy::new().run(arguments))));
    }
    errors
}

#[test]
fn every_answer_of_check_is_as_the_schema_says() {
    let check = validator("check");
    for (of, object) in verdicts() {
        assert!(object["verdict"].is_string(), "{of}");
        holds(&check, &object, &of);
    }
    for (of, object) in errors() {
        assert!(object["error"].is_object(), "{of}: {object:#}");
        holds(&check, &object, &of);
    }
}

#[test]
fn every_line_of_batch_is_as_the_schema_says() {
    let (check, batch) = (validator("check"), validator("batch"));
    let copy = Copy::new().with("broken.toml", "[launch\n");
    let run = copy.run(&["batch", "route.toml", "broken.toml", "nowhere.toml", "--limits", "limits.toml", "--json"]);
    let lines: Vec<Value> = run.out.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    assert_eq!(lines.len(), 3, "{}", run.out);
    for line in lines {
        holds(&batch, &line, "a line");
        assert!(!check.is_valid(&line), "only lines of batch have a file");
    }
}

/// Every object inside a value, as a pointer to it.
fn objects(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            found.push(at.to_owned());
            members.iter().for_each(|(key, value)| objects(value, &format!("{at}/{key}"), found));
        }
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(index, value)| objects(value, &format!("{at}/{index}"), found));
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

#[test]
fn a_member_more_or_less_or_of_another_type_is_refused() {
    let check = validator("check");
    let route = "no-go/heights-above-the-sea.toml";
    let run = pinfold(&example(), &["check", route, "--limits", "limits.toml", "--preset", "open-category", "--json"]);
    let sound = object(&run);
    assert!(sound["preset"].is_object() && sound["findings"].as_array().is_some_and(|findings| findings.len() > 1));
    for (whole, may_be_left_out) in [(sound, &["axis", "preset"][..]), (errors()[0].1.clone(), &[])] {
        holds(&check, &whole, "the whole");
        let mut places = Vec::new();
        objects(&whole, "", &mut places);
        for place in places {
            let changed = |change: &dyn Fn(&mut serde_json::Map<String, Value>)| {
                let mut changed = whole.clone();
                change(changed.pointer_mut(&place).and_then(Value::as_object_mut).expect("an object"));
                check.is_valid(&changed)
            };
            assert!(!changed(&|object| drop(object.insert("more".into(), json!(1)))), "{place}: one more");
            let keys: Vec<String> =
                whole.pointer(&place).and_then(Value::as_object).expect("an object").keys().cloned().collect();
            for key in keys {
                let left_out = may_be_left_out.contains(&key.as_str());
                assert_eq!(changed(&|object| drop(object.shift_remove(&key))), left_out, "{place}/{key} left out");
                assert!(!changed(&|object| drop(object.insert(key.clone(), json!([[]])))), "{place}/{key} a list");
            }
        }
    }
}

#[test]
fn a_go_with_a_stop_and_a_no_go_without_one_are_refused() {
    let check = validator("check");
    for (of, mut object) in verdicts() {
        let other = if object["verdict"] == "go" { "no-go" } else { "go" };
        object["verdict"] = other.into();
        assert!(!check.is_valid(&object), "{of}");
    }
}
