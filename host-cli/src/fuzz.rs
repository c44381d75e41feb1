//! What fuzzing throws text at: the readers of routes, limits and sites. Whatever is read packs, unpacks to the same,
//! and is written as text that reads as the same again.

use std::{path::PathBuf, sync::OnceLock};

use clap::Parser;
use pinfold_core::model::store::LimitsStore;

use crate::{
    arguments::route::AsRoute,
    problem::{Problem, Source},
    read::{self, Limits, Route, limits_toml, packed, site},
    write,
};

/// A target and what it is called.
pub type Target = (&'static str, fn(&[u8]));

/// The targets.
pub const TARGETS: [Target; 3] = [("route_text", route_text), ("limits_text", limits_text), ("site_text", site_text)];

/// What a route's file may be called: its format is told by that, or by what is in it.
const ROUTES: [&str; 5] = ["route.toml", "route.geojson", "route.gpx", "route.kml", "route.csv"];
const LIMITS: &str = include_str!("../example/limits.toml");
const SITE: &str = include_str!("../example/site.geojson");
const GROUND: &str = include_str!("../example/ground.asc");

#[derive(Parser)]
struct Options {
    #[command(flatten)]
    as_route: AsRoute,
}

fn text(input: &[u8]) -> Option<String> {
    String::from_utf8(input.to_vec()).ok()
}

/// A problem can always be said, both ways.
fn is_told(problem: &Problem) {
    assert!(!problem.summary().is_empty() && problem.json()["error"]["say"].is_string(), "nothing is said");
    assert!(!problem.render(false).is_empty(), "nothing is shown");
}

/// A route's text; the first byte says what its file is called.
pub fn route_text(input: &[u8]) {
    let Some((called, rest)) = input.split_first() else { return };
    let Some(text) = text(rest) else { return };
    let path = PathBuf::from(ROUTES[usize::from(*called) % ROUTES.len()]);
    let limits = if called & 0x80 == 0 { None } else { Some(example()) };
    let options = Options::try_parse_from(["pinfold"]).expect("no option is demanded");
    match read::route_text(&Source { path, text }, limits, &options.as_route) {
        Ok(route) => reads_again(&route),
        Err(problem) => is_told(&problem),
    }
}

fn reads_again(route: &Route) {
    let path = PathBuf::from("again.toml");
    let bytes = write::packed::route(route, &path).expect("a route that was read has no too many steps").bytes;
    let unpacked = packed::route(&path, &bytes).expect("packed bytes");
    assert_eq!((&unpacked.launch, &unpacked.steps), (&route.launch, &route.steps), "another route is unpacked");
    let text = write::route_toml::text(route);
    let again = read::route_toml::read(&Source { path, text }, None).expect("a route that was written");
    assert_eq!((&again.launch, &again.steps), (&route.launch, &route.steps), "another route is written");
}

/// A folder with the example's site and ground, and nothing else.
fn folder() -> &'static tempfile::TempDir {
    static FOLDER: OnceLock<tempfile::TempDir> = OnceLock::new();
    FOLDER.get_or_init(|| {
        let folder = tempfile::tempdir().expect("a folder");
        for (name, text) in [("site.geojson", SITE), ("ground.asc", GROUND)] {
            std::fs::write(folder.path().join(name), text).expect("a file");
        }
        folder
    })
}

fn limits_from(text: String) -> Result<Limits, Problem> {
    limits_toml::read(&Source { path: folder().path().join("limits.toml"), text })
}

fn example() -> &'static Limits {
    static EXAMPLE: OnceLock<Limits> = OnceLock::new();
    EXAMPLE.get_or_init(|| limits_from(LIMITS.to_owned()).expect("the shipped limits"))
}

/// Whether the files that limits name, if any, are those of the example: others are none of fuzzing's business.
fn names_ours(text: &str) -> bool {
    let Ok(table) = text.parse::<toml::Table>() else { return true };
    let named = |section: &str, key: &str| table.get(section)?.get(key)?.as_str();
    named("site", "file").is_none_or(|file| file == "site.geojson")
        && named("heights", "ground").is_none_or(|file| file == "ground.asc")
}

/// The text of limits beside the example's site and ground.
pub fn limits_text(input: &[u8]) {
    let Some(text) = text(input).filter(|text| names_ours(text)) else { return };
    match limits_from(text) {
        Ok(limits) => limits_read_again(&limits.store),
        Err(problem) => is_told(&problem),
    }
}

fn limits_read_again(store: &LimitsStore) {
    let limits = store.limits().expect("limits that were read are sound");
    let bytes = write::packed::limits(limits).bytes;
    let unpacked = packed::limits(&PathBuf::from("again"), &bytes).expect("packed bytes");
    let again = unpacked.store.limits().expect("sound");
    assert_eq!(write::packed::limits(again).bytes, bytes, "other limits are unpacked");
    assert_eq!(format!("{:?}", again.figures()), format!("{:?}", limits.figures()));
    reads_as(&write::site_geojson::text(limits), store);
}

/// A site that was written reads as the same zones.
fn reads_as(text: &str, store: &LimitsStore) {
    let source = Source { path: "again.geojson".into(), text: text.to_owned() };
    let again = filled(&source, store).expect("a site that was written");
    let limits = [store, &*again].map(|store| store.limits().expect("sound"));
    let [old, new] = limits.map(|limits| limits.zones().map(|(_, zone)| zone.clone()).collect::<Vec<_>>());
    assert_eq!(old, new, "other zones are written");
    for (number, _) in limits[0].zones() {
        assert!(limits[0].rings(number).eq(limits[1].rings(number)), "other corners of zone {number}");
    }
}

/// A store with the figures of another, and the zones of a site.
fn filled(source: &Source, figures: &LimitsStore) -> Result<Box<LimitsStore>, Problem> {
    let site = site::read(source, &mut Vec::new())?;
    let mut store = Box::new(LimitsStore::new());
    let mut figures = figures.limits().expect("sealed").figures().clone();
    (figures.heights.ceiling_above_ground, figures.heights.ground_clearance) = (None, None);
    store.begin(figures);
    site.fill(source, &mut store)?;
    store.seal().map(drop).map_err(|error| site.problem(source, error))?;
    Ok(store)
}

/// The text of a site.
pub fn site_text(input: &[u8]) {
    let Some(text) = text(input) else { return };
    let source = Source { path: "site.geojson".into(), text };
    match filled(&source, &example().store) {
        Ok(store) => limits_read_again(&store),
        Err(problem) => is_told(&problem),
    }
}
