//! What `board` is asked.

use std::{path::PathBuf, time::Duration};

use clap::{Args, Subcommand, ValueEnum};
use pinfold_core::{
    geometry::position::Position,
    units::{self, Charge, Height, Voltage},
};

use super::route::AsRoute;
use crate::read::field;

/// What `board` is asked.
#[derive(Subcommand)]
pub(crate) enum Board {
    /// List the serial ports
    Ports {
        /// Print one JSON object
        #[arg(long)]
        json: bool,
    },
    /// Load limits; the board's load input must be held meanwhile
    Limits {
        /// The limits: limits.toml, or packed
        limits: PathBuf,
        #[command(flatten)]
        line: Line,
    },
    /// Load a route, and hold the board's verdict beside the one that is made here
    ///
    /// Exit code: 0 Go, 1 No-go, 2 trouble; that the two differ is trouble.
    Route {
        #[command(flatten)]
        files: Files,
        #[command(flatten)]
        line: Line,
    },
    /// Say how things stand
    Status {
        #[command(flatten)]
        line: Line,
    },
    /// Say how things stand, again with each change
    Watch {
        #[command(flatten)]
        line: Line,
    },
    /// Tell the board what is known at the field, to try things on the bench
    Readings(Readings),
    /// Hold the fingerprints of a route and of limits beside those that the board holds
    ///
    /// Exit code: 0 the same, 1 different, 2 trouble.
    Compare {
        #[command(flatten)]
        files: Files,
        #[command(flatten)]
        line: Line,
    },
}

impl Board {
    /// Whether the answer is for a program.
    pub(crate) const fn json(&self) -> bool {
        match self {
            Self::Ports { json } => *json,
            Self::Limits { line, .. }
            | Self::Route { line, .. }
            | Self::Status { line }
            | Self::Watch { line }
            | Self::Readings(Readings { line, .. })
            | Self::Compare { line, .. } => line.json,
        }
    }
}

/// A route and the limits that it is held to.
#[derive(Args)]
pub(crate) struct Files {
    /// The route: route.toml, packed, GeoJSON, GPX, KML or CSV
    pub(crate) route: PathBuf,
    /// The limits: limits.toml, or packed
    #[arg(long, value_name = "LIMITS")]
    pub(crate) limits: PathBuf,
    #[command(flatten)]
    pub(crate) as_route: AsRoute,
}

/// Where the board is.
#[derive(Args)]
pub(crate) struct Line {
    /// The board's serial port, or HOST:PORT for an emulated one
    #[arg(long, value_name = "PORT")]
    pub(crate) port: Option<String>,
    /// Bits in a second on a serial port
    #[arg(long, value_name = "BAUD", default_value_t = 115_200, value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) baud: u32,
    /// Print JSON, also for trouble
    #[arg(long)]
    pub(crate) json: bool,
}

/// What is known at the field.
#[derive(Args)]
#[command(group = clap::ArgGroup::new("known").required(true).multiple(true))]
pub(crate) struct Readings {
    /// Where the aircraft is, in degrees
    #[arg(long, value_name = "LAT,LON", value_parser = field::here, allow_hyphen_values = true, group = "known")]
    pub(crate) here: Option<Position>,
    /// Its height above launch
    #[arg(long, value_name = "H", value_parser = field::height, allow_hyphen_values = true, group = "known")]
    pub(crate) height_m: Option<Height>,
    /// The pack's voltage, at rest and without load
    #[arg(long, value_name = "V", value_parser = field::volts, allow_hyphen_values = true, group = "known")]
    pub(crate) pack_volts: Option<Voltage>,
    /// How long the pack has had neither load nor charge, in seconds
    #[arg(long, value_name = "S", value_parser = field::seconds, allow_hyphen_values = true, requires = "pack_volts")]
    pub(crate) pack_rested_s: Option<units::Duration>,
    /// Whether the aircraft flies; that it is on the ground ends a permit only where a wire tells it, too
    #[arg(long, value_enum, value_name = "WHERE", group = "known")]
    pub(crate) flight: Option<Flight>,
    /// What is left in its pack, the reserve included
    #[arg(long, value_name = "WH", value_parser = field::watt_hours, allow_hyphen_values = true, group = "known")]
    pub(crate) left_wh: Option<Charge>,
    /// Send them again and again, so many seconds after each other, and say what changes
    #[arg(long, value_name = "S", value_parser = field::interval, allow_hyphen_values = true)]
    pub(crate) every_s: Option<Duration>,
    #[command(flatten)]
    pub(crate) line: Line,
}

/// Whether an aircraft flies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Flight {
    /// It is on the ground.
    Ground,
    /// It flies.
    Flying,
}
