//! `pinfold rules`.

use std::{io::Write as _, path::Path, process::ExitCode};

use super::{Done, print};
use crate::{
    problem::Problem,
    rulebook::{self, Page},
    text::table::suggestion,
};

/// Lists all rules, or explains one.
pub(crate) fn run(name: Option<&str>) -> Done {
    match name {
        None => list()?,
        Some(name) => explain(name)?,
    }
    Ok(ExitCode::SUCCESS)
}

fn list() -> Result<(), Problem> {
    print(|out| {
        for page in rulebook::all() {
            writeln!(out, "{:<13}{:<16}{}", page.name, page.severity, page.summary)?;
        }
        writeln!(out, "\n`pinfold rules keep-out` explains one.")
    })
}

fn explain(name: &str) -> Result<(), Problem> {
    let Some(page) = rulebook::named(name) else {
        let problem = Problem::file(Path::new("command line"), format!("there is no rule `{name}`"));
        let names: Vec<&str> = rulebook::all().iter().map(|Page { name, .. }| *name).collect();
        return Err(problem.help(suggestion(name, &names)));
    };
    print(|out| page.write(out))
}
