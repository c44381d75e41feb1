//! `pinfold example`: the shipped example, written out.

use std::{fs, io::Write as _, path::Path, process::ExitCode};

use super::{Done, print};
use crate::{problem::Problem, write::file::create};

macro_rules! files {
    ($($name:literal),* $(,)?) => { [$(($name, include_str!(concat!("../../example/", $name)))),*] };
}

/// The files of the example: the same that stand in host-cli/example.
const FILES: [(&str, &str); 18] = files![
    "README.md",
    "route.toml",
    "in-flight.toml",
    "limits.toml",
    "site.geojson",
    "ground.asc",
    "no-go/beyond-the-radio.toml",
    "no-go/exchanged-coordinates.toml",
    "no-go/heights-above-the-sea.toml",
    "no-go/low-over-the-dyke.toml",
    "no-go/no-charge-to-come-home.toml",
    "no-go/no-landing.toml",
    "no-go/no-way-home.toml",
    "no-go/one-step-too-low.toml",
    "no-go/short-cut.toml",
    "no-go/too-fast-for-the-wind.toml",
    "no-go/too-near-to-people.toml",
    "no-go/twice-round.toml",
];

/// Writes the example into a new or empty folder.
pub(crate) fn run(folder: &Path) -> Done {
    let unwritable = |error: std::io::Error| Problem::file(folder, format!("the folder can't be written: {error}"));
    if folder.exists() && fs::read_dir(folder).map_err(unwritable)?.next().is_some() {
        return Err(Problem::file(folder, "the folder isn't empty; it is left as it is").help("name a new one"));
    }
    for (name, text) in FILES {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap_or(folder)).map_err(unwritable)?;
        create(&path, text.as_bytes())?;
    }
    let shown = folder.display();
    print(|out| {
        writeln!(out, "An invented site, aircraft and routes are in {shown}. Next:")?;
        writeln!(out, "  pinfold check {shown}/route.toml --limits {shown}/limits.toml")
    })?;
    Ok(ExitCode::SUCCESS)
}
