//! `pinfold presets`.

use std::process::ExitCode;

use super::{Done, print};
use crate::{preset, report::preset::write};

/// Lists all presets with their figures and sources.
pub(crate) fn run() -> Done {
    let presets = preset::all()?;
    print(|out| presets.iter().try_for_each(|preset| write(out, preset)))?;
    Ok(ExitCode::SUCCESS)
}
