//! Which files are routes.

use std::{
    fs,
    path::{Path, PathBuf},
};

use pinfold_core::wire::Kind;

use super::super::pack::is_limits;
use crate::{
    arguments::batch::Batch,
    problem::Problem,
    read::{self, has_line, packed},
};

/// What was found under the names that were given.
pub(super) struct Found {
    pub(super) routes: Vec<PathBuf>,
    /// Files in folders that are no routes.
    others: Vec<PathBuf>,
    /// Folders in folders, where these aren't looked into.
    folders: Vec<PathBuf>,
}

impl Found {
    /// What isn't checked, said.
    pub(super) fn passed_over(&self) -> Vec<String> {
        let listed =
            |paths: &[PathBuf]| paths.iter().map(|path| path.display().to_string()).collect::<Vec<_>>().join(", ");
        let others =
            (!self.others.is_empty()).then(|| format!("passed over, since no route: {}", listed(&self.others)));
        let folders = (!self.folders.is_empty())
            .then(|| format!("not looked into without --recursive: {}", listed(&self.folders)));
        others.into_iter().chain(folders).collect()
    }
}

/// Finds the routes: what is named itself is one, whatever it is; in a folder what can be one.
pub(super) fn find(asked: &Batch) -> Result<Found, Problem> {
    let mut found = Found { routes: Vec::new(), others: Vec::new(), folders: Vec::new() };
    for name in &asked.routes {
        if name.is_dir() { look_into(name, asked, &mut found)? } else { add(&mut found.routes, name.clone()) }
    }
    match (found.routes.first(), asked.routes.first()) {
        (None, Some(first)) => {
            let help = "name routes, or a folder with route files (TOML, GeoJSON, GPX, KML, CSV, or packed) in it; --recursive looks into its folders";
            Err(Problem::file(first, "there is no route in it").help(help))
        }
        _ => Ok(found),
    }
}

/// A file that is named twice is checked once.
fn add(routes: &mut Vec<PathBuf>, route: PathBuf) {
    if !routes.contains(&route) {
        routes.push(route);
    }
}

fn look_into(folder: &Path, asked: &Batch, found: &mut Found) -> Result<(), Problem> {
    let unreadable = |error: std::io::Error| Problem::file(folder, format!("the folder can't be read: {error}"));
    let entries = fs::read_dir(folder).map_err(unreadable)?;
    let mut paths =
        entries.map(|entry| entry.map(|entry| entry.path())).collect::<Result<Vec<_>, _>>().map_err(unreadable)?;
    paths.sort();
    for path in paths {
        if path.is_dir() {
            // A link may lead round in a circle.
            if asked.recursive && !path.is_symlink() {
                look_into(&path, asked, found)?
            } else {
                found.folders.push(path)
            }
        } else if can_be_route(&path) {
            add(&mut found.routes, path);
        } else {
            found.others.push(path);
        }
    }
    Ok(())
}

/// Whether a file in a folder is to be a route. What is damaged is one, so that it is said.
fn can_be_route(path: &Path) -> bool {
    if read::holds_packed(path) {
        let kind = read::bytes(path).ok().and_then(|bytes| packed::kind(&bytes));
        return !matches!(kind, Some(Kind::Limits | Kind::Verdict));
    }
    let extension = path.extension().map(|extension| extension.to_ascii_lowercase().to_string_lossy().into_owned());
    match extension.as_deref() {
        Some("toml") => !read::text_file(path).and_then(|source| is_limits(&source)).unwrap_or(false),
        Some("gpx") => true,
        Some("geojson" | "json" | "kml" | "csv") => read::text_file(path).map_or(true, |source| has_line(&source)),
        Some(_) | None => false,
    }
}
