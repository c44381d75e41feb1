//! How a route is read from a file that doesn't say everything.

use clap::Args;

/// What a route's file doesn't say.
#[derive(Args, Clone, Debug, Default)]
#[command(next_help_heading = "What a route's file doesn't say")]
pub(crate) struct AsRoute {}
