//! The shipped example: the tour passes, each mistake is refused by the rule that it breaks.

use std::fs;

use crate::support::{example, pinfold};

/// The mistakes and the rules that they break: a way home begins on the path, so `return-path` breaks with what it meets there.
const MISTAKES: [(&str, &[&str]); 12] = [
    ("beyond-the-radio", &["link"]),
    ("exchanged-coordinates", &["extent"]),
    ("heights-above-the-sea", &["ceiling", "return-path"]),
    ("low-over-the-dyke", &["ground"]),
    ("no-charge-to-come-home", &["turn-back"]),
    ("no-landing", &["sequence"]),
    ("no-way-home", &["return-path"]),
    ("one-step-too-low", &["keep-out", "return-path"]),
    ("short-cut", &["keep-in", "return-path"]),
    ("too-fast-for-the-wind", &["wind"]),
    ("too-near-to-people", &["people", "return-path"]),
    ("twice-round", &["reserve", "turn-back"]),
];

#[test]
fn the_example_is_go() {
    let run = pinfold(&example(), &["check", "route.toml", "--limits", "limits.toml"]);
    assert_eq!(run.code, 0, "{}", run.out);
    assert!(run.out.starts_with("GO  "), "the verdict comes first: {}", run.out);
    assert!(!run.out.contains("Stops") && !run.out.contains("Cautions"), "{}", run.out);
}

#[test]
fn each_mistake_is_refused_by_its_rules_and_by_no_other() {
    for (name, rules) in MISTAKES {
        let route = format!("no-go/{name}.toml");
        let run = pinfold(&example(), &["check", &route, "--limits", "limits.toml", "--json"]);
        assert_eq!(run.code, 1, "{name}");
        let json: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
        assert_eq!(json["verdict"], "no-go");
        let findings = json["findings"].as_array().expect("a list");
        let stops: Vec<_> =
            findings.iter().filter(|finding| finding["severity"] == "stop").map(|f| &f["rule"]).collect();
        assert_eq!(stops, rules, "{name}");
    }
    let files = fs::read_dir(example().join("no-go")).expect("a folder").count();
    assert_eq!(files, MISTAKES.len(), "every mistake that ships is tested");
}

#[test]
fn what_the_command_writes_is_what_ships() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = pinfold(folder.path(), &["example", "new"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let mut names: Vec<String> =
        ["README.md", "route.toml", "in-flight.toml", "limits.toml", "site.geojson", "ground.asc"]
            .map(String::from)
            .into();
    names.extend(MISTAKES.map(|(name, _)| format!("no-go/{name}.toml")));
    for name in names {
        let [written, shipped] =
            [folder.path().join("new"), example()].map(|at| fs::read(at.join(&name)).expect("a file"));
        assert!(written == shipped, "{name} differs");
    }
    let run = pinfold(folder.path(), &["check", "new/route.toml", "--limits", "new/limits.toml"]);
    assert_eq!(run.code, 0);
}

#[test]
fn an_example_is_not_written_over_anything() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("mine"), "precious").expect("written");
    let run = pinfold(folder.path(), &["example", "."]);
    assert_eq!(run.code, 2);
    assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 1);
}
