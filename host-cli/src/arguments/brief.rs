//! What `brief` is asked.

use std::path::PathBuf;

use clap::{ArgGroup, Args, builder::PossibleValuesParser};

use super::route;
use crate::preset;

/// What `brief` is asked.
#[derive(Args)]
#[command(group(ArgGroup::new("written").required(true).multiple(true).args(["output", "svg", "png"])))]
pub(crate) struct Brief {
    /// The route: route.toml, or packed
    pub(crate) route: PathBuf,
    /// The limits: limits.toml, or packed
    #[arg(long, value_name = "LIMITS")]
    pub(crate) limits: PathBuf,
    /// Figures to lay under the limits: of each the stricter one counts
    #[arg(long, value_name = "NAME", value_parser = PossibleValuesParser::new(preset::names()))]
    pub(crate) preset: Option<String>,
    /// Where the page goes
    #[arg(short, long, value_name = "FILE.html")]
    pub(crate) output: Option<PathBuf>,
    /// Where the plan alone goes, as SVG
    #[arg(long, value_name = "FILE.svg")]
    pub(crate) svg: Option<PathBuf>,
    /// Where the plan alone goes, as PNG
    #[arg(long, value_name = "FILE.png")]
    pub(crate) png: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) as_route: route::AsRoute,
}
