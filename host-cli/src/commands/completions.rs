//! `pinfold completions`.

use std::{io::Write as _, process::ExitCode};

use clap::CommandFactory as _;
use clap_complete::Shell;

use super::{Done, print};
use crate::arguments::Arguments;

/// Prints what makes a shell complete the command line.
pub(crate) fn run(shell: Shell) -> Done {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "pinfold", &mut script);
    print(|out| out.write_all(&script))?;
    Ok(ExitCode::SUCCESS)
}
