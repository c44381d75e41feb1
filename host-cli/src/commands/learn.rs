//! `pinfold learn`.

use std::{
    io::Write as _,
    path::{Path, PathBuf},
    process::ExitCode,
};

use super::{Done, print};
use crate::{
    arguments::learn::Learn,
    learn::{fit, log, plot, report::Report, samples, steady},
    problem::Problem,
    read,
    write::file::create,
};

/// Learns a power table from a log, and prints or writes it.
pub(crate) fn run(asked: &Learn) -> Done {
    let path = &asked.log;
    let source = read::text_file(path)?;
    let log = log::read(&source, asked)?;
    let samples = samples::make(path, &log)?;
    let flight = steady::sort(&samples.all);
    let learned = fit::fit(path, &flight)?;
    let text = Report { path, log: &log, samples: &samples, flight: &flight, learned: &learned }.text();
    let mut files: Vec<(&PathBuf, String)> = Vec::new();
    if let Some(plot) = &asked.plot {
        let title = format!("Power learned from {}", name(path));
        files.push((plot, plot::svg(plot, &title, &flight, &learned)?));
    }
    files.extend(asked.output.iter().map(|output| (output, text.clone())));
    write(&files)?;
    if asked.output.is_none() {
        print(|out| out.write_all(text.as_bytes()))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn name(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().escape_debug().to_string()).unwrap_or_default()
}

/// Writes all files, or none.
fn write(files: &[(&PathBuf, String)]) -> Result<(), Problem> {
    if let Some((there, _)) = files.iter().find(|(path, _)| path.exists()) {
        return create(there, &[]);
    }
    files.iter().try_for_each(|(path, text)| create(path, text.as_bytes()))
}
