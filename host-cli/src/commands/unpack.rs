//! `pinfold unpack`.

use std::{io::Write as _, path::Path, process::ExitCode};

use pinfold_core::wire::Kind;

use super::{Done, print};
use crate::{
    arguments::Unpack,
    fields::Fields,
    problem::Problem,
    read::{self, packed},
    report,
    write::{file::create, ground_toml, limits_toml, route_toml, site_geojson},
};

/// Turns packed bytes back into text, or shows them field by field.
pub(crate) fn run(asked: &Unpack) -> Done {
    let (file, output) = (asked.file.as_path(), asked.output.as_deref());
    let bytes = read::bytes(file)?;
    if asked.bytes {
        return show(file, &bytes);
    }
    if !read::is_packed(&bytes) {
        return Err(Problem::file(file, "these are no packed bytes").help("give a file that `pinfold pack` wrote"));
    }
    match packed::kind(&bytes) {
        Some(Kind::Limits) => limits(file, &bytes, output)?,
        Some(Kind::Verdict) => {
            let problem = Problem::file(file, "this is a packed verdict, not a route or limits");
            return Err(problem.help("`pinfold unpack --bytes` shows what is in it"));
        }
        Some(Kind::Route) | None => route(file, &bytes, output)?,
    }
    Ok(ExitCode::SUCCESS)
}

/// Shows every field, sound or not: of damaged bytes those before the damage.
fn show(file: &Path, bytes: &[u8]) -> Done {
    let fields = Fields::of(bytes);
    print(|out| report::bytes::write(out, &fields))?;
    match fields.fault {
        Some(fault) => Err(packed::problem(file, bytes, fault, fields.kind)),
        None if fields.rest.is_empty() => Ok(ExitCode::SUCCESS),
        None => Err(Problem::file(file, "the bytes are sound, but not all of them can be shown here")),
    }
}

fn route(file: &Path, bytes: &[u8], output: Option<&Path>) -> Result<(), Problem> {
    let text = route_toml::text(&packed::route(file, bytes)?);
    match output {
        Some(path) => create(path, text.as_bytes()),
        None => print(|out| out.write_all(text.as_bytes())),
    }
}

/// Limits are two files, or three with ground data: the others stand beside the figures and are named after them.
fn limits(file: &Path, bytes: &[u8], output: Option<&Path>) -> Result<(), Problem> {
    let output = output.ok_or_else(|| {
        Problem::file(file, "limits are several files: the figures, the site, and the ground where it is given")
            .help("name the first: -o limits.toml")
    })?;
    let held = packed::limits(file, bytes)?;
    let sound = held.sound(file)?;
    let site = output.with_extension("site.geojson");
    let ground = sound.ground().map(|ground| (output.with_extension("ground.toml"), ground_toml::text(ground)));
    let beside = |path: &Path| path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let ground_name = ground.as_ref().map(|(path, _)| beside(path));
    let figures = limits_toml::text(sound.figures(), &beside(&site), ground_name.as_deref());
    let mut files = vec![(site, site_geojson::text(sound))];
    files.extend(ground);
    files.push((output.to_owned(), figures));
    // All or none.
    if let Some((there, _)) = files.iter().rev().find(|(path, _)| path.exists()) {
        return create(there, &[]);
    }
    files.iter().try_for_each(|(path, text)| create(path, text.as_bytes()))
}
