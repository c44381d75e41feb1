//! What `learn` is asked.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// What `learn` is asked: a log, and which of its columns is what.
#[derive(Args)]
pub(crate) struct Learn {
    /// The flight log: CSV with a header
    pub(crate) log: PathBuf,
    /// Column with the time
    #[arg(long, value_name = "COLUMN", help_heading = "Columns")]
    pub(crate) time: Option<String>,
    /// Unit of the time, where the column's name doesn't tell
    #[arg(long, value_enum, value_name = "UNIT", help_heading = "Columns")]
    pub(crate) time_unit: Option<TimeUnit>,
    /// Column with the ground speed (or airspeed, if it is measured)
    #[arg(long, value_name = "COLUMN", help_heading = "Columns")]
    pub(crate) speed: Option<String>,
    /// Column with the latitude, degrees: with --lon, instead of a speed
    #[arg(long, value_name = "COLUMN", conflicts_with = "speed", requires = "lon", help_heading = "Columns")]
    pub(crate) lat: Option<String>,
    /// Column with the longitude, degrees
    #[arg(long, value_name = "COLUMN", requires = "lat", help_heading = "Columns")]
    pub(crate) lon: Option<String>,
    /// Column with the climb rate, up positive
    #[arg(long, value_name = "COLUMN", help_heading = "Columns")]
    pub(crate) climb_rate: Option<String>,
    /// Column with a height, instead of a climb rate
    #[arg(long, value_name = "COLUMN", conflicts_with = "climb_rate", help_heading = "Columns")]
    pub(crate) height: Option<String>,
    /// Column with the pack's voltage
    #[arg(long, value_name = "COLUMN", help_heading = "Columns")]
    pub(crate) volts: Option<String>,
    /// Column with the current from the pack
    #[arg(long, value_name = "COLUMN", help_heading = "Columns")]
    pub(crate) amperes: Option<String>,
    /// Where a picture of samples and table goes (SVG)
    #[arg(long, value_name = "FILE")]
    pub(crate) plot: Option<PathBuf>,
    /// Where the table goes; it is printed where this is left out
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
}

/// A unit of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum TimeUnit {
    /// Seconds.
    S,
    /// Milliseconds.
    Ms,
    /// Microseconds.
    Us,
}
