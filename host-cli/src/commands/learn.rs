//! `pinfold learn`.

use std::{
    fs,
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
    match &asked.output {
        Some(output) => {
            print(|out| writeln!(out, "power table up to {:.1} m/s: {}", learned.table.end(), output.display()))?;
        }
        None => print(|out| out.write_all(text.as_bytes()))?,
    }
    Ok(ExitCode::SUCCESS)
}

fn name(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().escape_debug().to_string()).unwrap_or_default()
}

/// Writes all files, or none.
fn write(files: &[(&PathBuf, String)]) -> Result<(), Problem> {
    for (at, (path, text)) in files.iter().enumerate() {
        if let Err(problem) = create(path, text.as_bytes()) {
            // What was written a moment ago is nothing without the rest. If it can't go, the problem is said all the same.
            files[..at].iter().for_each(|(path, _)| drop(fs::remove_file(path)));
            return Err(problem);
        }
    }
    Ok(())
}
