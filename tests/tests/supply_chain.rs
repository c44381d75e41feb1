//! What the project is made of beside its own code: licences, sources, and a reason for each crate.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use serde_json::Value;
use spdx::{Expression, ParseMode};

/// The only place that crates come from.
const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";
/// The workspaces, each with a lock file.
const WORKSPACES: [&str; 3] = [".", "firmware-example", "fuzz"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the project")
}

/// What cargo says of a workspace.
struct Workspace {
    said: Value,
}

impl Workspace {
    fn of(folder: &str, more: &[&str]) -> Self {
        let manifest: PathBuf = root().join(folder).join("Cargo.toml");
        let mut cargo = Command::new(env!("CARGO"));
        cargo.args(["metadata", "--locked", "--format-version", "1", "--manifest-path"]).arg(manifest).args(more);
        let output = cargo.output().expect("cargo starts");
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        Self { said: serde_json::from_slice(&output.stdout).expect("JSON") }
    }

    fn packages(&self) -> impl Iterator<Item = &Value> {
        self.said["packages"].as_array().expect("packages").iter()
    }

    fn package(&self, id: &str) -> &Value {
        self.packages().find(|package| package["id"] == id).expect("a package for each id")
    }

    /// The names of all crates that end in what a package becomes: no macros, nothing of its build or tests.
    fn linked(&self, name: &str) -> BTreeSet<String> {
        let nodes = self.said["resolve"]["nodes"].as_array().expect("nodes");
        let node = |id: &str| nodes.iter().find(|node| node["id"] == id).expect("a node for each id");
        let begin = self.packages().find(|package| package["name"] == name).expect("the package");
        let mut left = vec![text(&begin["id"])];
        let mut seen = BTreeSet::new();
        while let Some(id) = left.pop() {
            if is_macro(self.package(id)) || !seen.insert(id) {
                continue;
            }
            let dependencies = node(id)["deps"].as_array().expect("a list");
            left.extend(dependencies.iter().filter(|dependency| is_linked(dependency)).map(|one| text(&one["pkg"])));
        }
        seen.into_iter().map(|id| text(&self.package(id)["name"]).to_owned()).collect()
    }
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a text")
}

fn is_macro(package: &Value) -> bool {
    package["targets"].as_array().expect("targets").iter().any(|target| target["kind"][0] == "proc-macro")
}

fn is_linked(dependency: &Value) -> bool {
    dependency["dep_kinds"].as_array().expect("kinds").iter().any(|kind| kind["kind"].is_null())
}

/// What a person wrote of the dependencies.
fn written() -> toml::Table {
    let text = fs::read_to_string(root().join("tests/dependencies.toml")).expect("the list");
    text.parse().expect("TOML")
}

/// The names in a part of the list, each with a reason.
fn listed(part: &str) -> BTreeSet<String> {
    let written = written();
    let table = written[part].as_table().unwrap_or_else(|| panic!("no part {part}"));
    for (name, reason) in table {
        assert!(reason.as_str().is_some_and(|reason| !reason.trim().is_empty()), "no reason for {name} in {part}");
    }
    table.keys().cloned().collect()
}

/// Whether an expression can be met with the licences that are taken.
fn is_taken(expression: &str, taken: &[String]) -> bool {
    let expression = Expression::parse_mode(expression, ParseMode::LAX).expect("a licence expression");
    expression.evaluate(|asked| taken.contains(&asked.to_string()))
}

#[test]
fn a_crate_comes_from_elsewhere_or_under_a_licence_that_nobody_agreed_to() {
    let written = written();
    let taken: Vec<String> = written["licences"]["taken"].clone().try_into().expect("texts");
    let exceptions: BTreeMap<String, String> = written["licences"]["exceptions"].clone().try_into().expect("texts");
    let mut excepted = BTreeSet::new();
    for workspace in WORKSPACES.map(|folder| Workspace::of(folder, &[])) {
        for package in workspace.packages() {
            let name = text(&package["name"]);
            assert!(package["source"].is_null() || package["source"] == REGISTRY, "{name}: {}", package["source"]);
            let licence = package["license"].as_str().unwrap_or_else(|| panic!("{name} names no licence"));
            if !is_taken(licence, &taken) {
                assert!(exceptions.get(name).is_some_and(|why| why.starts_with(licence)), "{name}: {licence}");
                excepted.insert(name.to_owned());
            }
        }
    }
    assert_eq!(excepted, exceptions.into_keys().collect(), "an exception that nothing needs");
}

#[test]
fn a_licence_is_told_from_another() {
    let taken = ["MIT".to_owned(), "Apache-2.0".to_owned()];
    assert!(is_taken("MIT/Apache-2.0", &taken) && is_taken("GPL-3.0-only OR MIT", &taken));
    assert!(!is_taken("GPL-3.0-only", &taken) && !is_taken("MIT AND GPL-3.0-only", &taken));
}

#[test]
fn a_dependency_is_there_for_no_reason() {
    let packages = [(".", "pinfold-core", "core"), (".", "pinfold", "host-cli"), (".", "pinfold-tests", "tests")];
    let packages = packages.into_iter().chain([("firmware-example", "pinfold-firmware", "firmware")]);
    for (folder, name, part) in packages {
        let workspace = Workspace::of(folder, &["--no-deps"]);
        let package = workspace.packages().find(|package| package["name"] == name).expect("the package");
        let dependencies = package["dependencies"].as_array().expect("a list").iter();
        let asked: BTreeSet<String> = dependencies.map(|one| text(&one["name"]).to_owned()).collect();
        assert_eq!(asked, listed(part), "{part}: asked for on the left, listed with a reason on the right");
    }
}

#[test]
fn something_is_linked_into_the_image_that_nobody_listed() {
    let for_board = ["--all-features", "--filter-platform", "thumbv7em-none-eabihf"];
    let mut linked = Workspace::of("firmware-example", &for_board).linked("pinfold-firmware");
    assert!(linked.remove("pinfold-firmware"));
    let listed: BTreeSet<String> = listed("firmware").union(&listed("image")).cloned().collect();
    assert_eq!(linked, listed, "linked on the left, listed on the right");
}
