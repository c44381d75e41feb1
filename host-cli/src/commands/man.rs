//! `pinfold man`.

use std::{fs, io, io::Write as _, path::Path, process::ExitCode};

use clap::{Command, CommandFactory as _};
use clap_mangen::Man;

use super::{Done, print};
use crate::{arguments::Arguments, problem::Problem, write::file::create};

/// Prints the page of the whole command, or writes the pages of all commands into a folder.
pub(crate) fn run(folder: Option<&Path>) -> Done {
    // Every command has its page, and --help.
    let mut command = Arguments::command().disable_help_subcommand(true);
    command.build();
    match folder {
        Some(folder) => write(&command, folder)?,
        None => {
            let page = page(&command).1;
            print(|out| out.write_all(&page))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn write(command: &Command, folder: &Path) -> Result<(), Problem> {
    let unwritable = |error: io::Error| Problem::file(folder, format!("the folder can't be written: {error}"));
    fs::create_dir_all(folder).map_err(unwritable)?;
    let pages: Vec<_> = commands(command).map(page).collect();
    // All or none.
    if let Some((there, _)) = pages.iter().find(|(name, _)| folder.join(name).exists()) {
        return create(&folder.join(there), &[]);
    }
    pages.iter().try_for_each(|(name, page)| create(&folder.join(name), page))?;
    print(|out| writeln!(out, "{} pages are in {}", pages.len(), folder.display()))
}

/// A command and all commands in it.
fn commands(command: &Command) -> Box<dyn Iterator<Item = &Command> + '_> {
    Box::new(std::iter::once(command).chain(command.get_subcommands().flat_map(commands)))
}

/// The name and the text of a command's page.
fn page(command: &Command) -> (String, Vec<u8>) {
    let (man, mut page) = (Man::new(command.clone()), Vec::new());
    // Memory takes everything.
    let _ = man.render(&mut page);
    (man.get_filename(), page)
}
