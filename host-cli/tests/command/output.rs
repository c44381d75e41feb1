//! What is printed: for people in 80 columns without colours, for programs as JSON.

use serde_json::Value;

use crate::support::{Copy, example, pinfold};

/// All the routes that ship.
fn routes() -> Vec<String> {
    let no_go = std::fs::read_dir(example().join("no-go")).expect("a folder");
    let names = no_go.map(|entry| format!("no-go/{}", entry.expect("an entry").file_name().to_string_lossy()));
    names.chain(["route.toml".to_owned()]).collect()
}

#[test]
fn lines_fit_in_80_columns_and_have_no_colour_codes() {
    for route in routes() {
        let run = pinfold(&example(), &["check", &route, "--limits", "limits.toml"]);
        for line in run.out.lines() {
            assert!(line.chars().count() <= 80, "{route}: {line}");
            assert!(!line.contains('\u{1b}'), "{route}: {line:?}");
        }
    }
}

#[test]
fn the_answer_comes_first_then_stops_places_and_cautions() {
    // Twice as high as the tour: too high, and too far to be seen.
    let run = pinfold(&example(), &["check", "no-go/heights-above-the-sea.toml", "--limits", "limits.toml"]);
    let at = |text: &str| run.out.find(text).unwrap_or_else(|| panic!("no «{text}» in {}", run.out));
    assert!(run.out.starts_with("NO-GO  "));
    assert!(at("Stops") < at("Closest") && at("Closest") < at("Cautions") && at("Cautions") < at("Not looked at"));
    assert!(run.out.contains("local rules and licensed practice decide") || run.out.contains("permission to fly"));
}

#[test]
fn colour_is_only_for_a_terminal() {
    use std::process::Command;
    let run = |variable: (&str, &str)| {
        let output = Command::new(env!("CARGO_BIN_EXE_pinfold"))
            .args(["check", "route.toml", "--limits", "limits.toml"])
            .current_dir(example())
            .env_remove("NO_COLOR")
            .env(variable.0, variable.1)
            .output()
            .expect("the command starts");
        String::from_utf8(output.stdout).expect("UTF-8")
    };
    assert!(run(("CLICOLOR_FORCE", "1")).contains('\u{1b}'), "the test can tell colours");
    assert!(!run(("NO_COLOR", "1")).contains('\u{1b}'));
}

/// The keys of an object, in order.
fn keys(value: &Value) -> Vec<&str> {
    value.as_object().expect("an object").keys().map(String::as_str).collect()
}

fn assert_finding(finding: &Value) {
    let expected = ["rule", "severity", "step", "zone", "clearance", "required", "unit", "at", "say"];
    let found: Vec<&str> = keys(finding).into_iter().filter(|key| *key != "axis").collect();
    assert_eq!(found, expected);
    assert!(finding["say"].as_str().is_some_and(|say| say.ends_with('.') || say.ends_with('?')), "{finding}");
    assert!(["stop", "caution"].contains(&finding["severity"].as_str().expect("a text")));
    if finding["clearance"].is_number() {
        assert!(finding["required"].is_number() && finding["unit"].is_string(), "{finding}");
    } else {
        assert!(finding["clearance"].is_null() && finding["required"].is_null() && finding["unit"].is_null());
    }
    if !finding["at"].is_null() {
        assert_eq!(keys(&finding["at"]), ["lat", "lon", "height_m"]);
    }
}

#[test]
fn json_has_every_key_for_every_route() {
    for route in routes() {
        let run = pinfold(&example(), &["check", &route, "--limits", "limits.toml", "--json"]);
        let json: Value = serde_json::from_str(&run.out).expect("JSON");
        let expected = [
            "verdict",
            "fingerprint",
            "limits_fingerprint",
            "steps",
            "length_m",
            "duration_s",
            "findings",
            "closest",
            "energy",
        ];
        assert_eq!(keys(&json), expected);
        assert_eq!(json["verdict"], if run.code == 0 { "go" } else { "no-go" });
        assert_eq!(json["fingerprint"].as_str().map(str::len), Some(9));
        let lists = [&json["findings"], &json["closest"]].map(|list| list.as_array().expect("a list"));
        lists.into_iter().flatten().for_each(assert_finding);
        for finding in lists[0] {
            let (has, needs) = (finding["clearance"].as_f64(), finding["required"].as_f64());
            assert!(has.zip(needs).is_none_or(|(has, needs)| has < needs), "{finding}");
        }
        if json["energy"].is_object() {
            let expected = ["needed_wh", "usable_wh", "left_percent", "worst_turn_back_step", "worst_wind_from_deg"];
            assert_eq!(keys(&json["energy"]), expected);
        }
    }
}

#[test]
fn the_example_reports_every_rule_that_applies() {
    let (_, json) = Copy::new().check_json();
    let rules: Vec<&str> = json["closest"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|place| place["rule"].as_str().expect("a text"))
        .collect();
    let keep_outs = 4;
    let mut expected = vec!["extent", "keep-in"];
    expected.extend(vec!["keep-out"; keep_outs]);
    expected.extend(["people", "ceiling", "floor", "ground", "speed", "climb-rate", "landing", "wind", "reserve"]);
    expected.push("turn-back");
    // One for heights, one for every zone.
    expected.extend(vec!["return-path"; 1 + 1 + keep_outs + 1]);
    expected.extend(["link", "sight", "launch", "stray"]);
    assert_eq!(rules, expected);
}

#[test]
fn a_bad_command_line_with_json_is_an_error_object() {
    let run = Copy::new().run(&["check", "--json"]);
    assert_eq!(run.code, 2);
    let json: Value = serde_json::from_str(&run.out).expect("JSON");
    assert!(json["error"]["say"].as_str().is_some_and(|say| say.contains("--limits")), "{json}");
}

#[test]
fn an_error_object_has_the_line_and_column() {
    let (code, json) = Copy::new().edit("route.toml", "height_m = 20.0", "height_m = nan").check_json();
    assert_eq!(code, 2);
    assert_eq!(json["error"]["line"], 16, "{json}");
    assert_eq!(json["error"]["column"], 12);
    assert!(json["error"]["file"].as_str().is_some_and(|file| file.ends_with("route.toml")));
}

#[test]
fn a_name_cannot_move_the_cursor() {
    let run = Copy::new().edit("route.toml", "Sallow Holm, morning count", "a\\u202Eb").check();
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(!run.out.contains('\u{202e}'), "{:?}", run.out);
}

#[test]
fn help_and_version_say_what_fits() {
    let copy = Copy::new();
    let version = copy.run(&["--version"]);
    assert_eq!(version.code, 0);
    assert!(version.out.contains("packed format 4") && version.out.contains("65535 steps"), "{}", version.out);
    assert_eq!(copy.run(&["check", "--help"]).code, 0);
    assert_eq!(copy.run(&["frobnicate"]).code, 2);
}

#[test]
fn where_a_rule_is_explained_is_said_once_after_the_stops() {
    let stops = |route: &str| {
        let run = pinfold(&example(), &["check", route, "--limits", "limits.toml"]);
        let lines: Vec<String> =
            run.out.lines().filter(|line| line.contains("`pinfold rules")).map(str::to_owned).collect();
        assert!(lines.is_empty() || run.out.contains(&format!("\n{}\n\n", lines[0])), "{}", run.out);
        lines
    };
    assert!(stops("route.toml").is_empty(), "nothing to explain on a Go");
    assert_eq!(stops("no-go/no-way-home.toml"), ["  `pinfold rules return-path` explains it."]);
    assert_eq!(stops("no-go/short-cut.toml"), ["  `pinfold rules keep-in` and the like explain them."]);
}

#[test]
fn rules_are_listed_and_explained_and_a_slip_is_told() {
    let copy = Copy::new();
    let list = copy.run(&["rules"]);
    assert_eq!(list.code, 0);
    assert!(list.out.contains("keep-out     stop            ") && list.out.contains("\nlanding      stop or caution "));
    assert!(list.out.lines().all(|line| line.chars().count() <= 80), "{}", list.out);
    assert_eq!(list.out.lines().filter(|line| line.contains("stop  ") || line.contains("caution")).count(), 24);
    for name in list.out.lines().take(24).filter_map(|line| line.split_whitespace().next()) {
        let page = copy.run(&["rules", name]);
        assert!(page.code == 0 && page.out.starts_with(name) && page.out.contains("\nDoes not see\n"), "{name}");
    }
    let slip = copy.run(&["rules", "keepout"]);
    assert_eq!((slip.code, slip.out.as_str()), (2, ""));
    assert!(slip.err.contains("there is no rule `keepout`") && slip.err.contains("did you mean `keep-out`?"));
}
