//! What `batch` is asked.

use std::{num::NonZeroUsize, path::PathBuf};

use clap::{Args, builder::PossibleValuesParser};

use super::route::AsRoute;
use crate::preset;

/// What `batch` is asked: routes, and the limits that all of them are held to.
#[derive(Args)]
pub(crate) struct Batch {
    /// Routes, and folders with routes in them
    #[arg(required = true, value_name = "ROUTE|FOLDER")]
    pub(crate) routes: Vec<PathBuf>,
    /// The limits: limits.toml, or packed
    #[arg(long, value_name = "LIMITS")]
    pub(crate) limits: PathBuf,
    /// Figures to lay under the limits: of each the stricter one counts
    #[arg(long, value_name = "NAME", value_parser = PossibleValuesParser::new(preset::names()))]
    pub(crate) preset: Option<String>,
    /// Look into the folders in a folder, too
    #[arg(long)]
    pub(crate) recursive: bool,
    /// How many routes are checked at once [default: as many as there are processors]
    #[arg(long, value_name = "COUNT")]
    pub(crate) jobs: Option<NonZeroUsize>,
    /// Print one JSON object a line for each route, also for those that can't be used
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) as_route: AsRoute,
}
