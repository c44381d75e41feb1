//! The command line.

pub(crate) mod batch;
pub(crate) mod board;
pub(crate) mod brief;
#[cfg(test)]
mod in_docs;
pub(crate) mod learn;
pub(crate) mod power;
pub(crate) mod route;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, builder::PossibleValuesParser};
use pinfold_core::{
    geometry::position::Position,
    units::{Charge, Duration, Height, Voltage},
};

use crate::{preset, read::field};

/// The check that a multirotor's route must pass before the motors may start.
///
/// If it says Go, no path that the route can mean breaks a limit; what cannot be decided is No-go. A Go is no permission to
/// fly: local rules and licensed practice decide.
#[derive(Parser)]
#[command(name = "pinfold", version, long_version = LONG_VERSION.as_str(), max_term_width = 80)]
pub(crate) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// What to do.
#[derive(Subcommand)]
pub(crate) enum Command {
    /// Check a route against limits
    ///
    /// Exit code: 0 Go, 1 No-go, 2 input that can't be used. With --watch it goes on after that, too, and the exit code, that of a
    /// program that was interrupted, says nothing about a verdict.
    Check(Check),
    /// Check many routes against the same limits
    ///
    /// A line for each: verdict, fingerprint, where the least distance is to spare, and the first stop. In a folder, route files
    /// are checked (TOML, GeoJSON, GPX, KML, CSV, or packed) and all others are passed over, and named. Exit code: that of the
    /// worst, 0 Go, 1 No-go, 2 input that can't be used, which doesn't keep the others from being checked.
    Batch(batch::Batch),
    /// Write a route's brief: verdict, plan, profiles and field checklist on one page
    ///
    /// The page is one file of HTML without scripts that prints on A4 and Letter; it is written for a No-go, too. A file that is
    /// there already is replaced only where pinfold made it. Exit code as of `check`.
    Brief(brief::Brief),
    /// Pack a route or limits into the bytes that a board takes
    Pack(Pack),
    /// Turn packed bytes back into text
    ///
    /// With --bytes: every field with its offset, its bytes, its name and what it means; of damaged bytes all before the damage,
    /// what is wrong and where. Exit code then: 2.
    Unpack(Unpack),
    /// Talk to a board on a serial port or a TCP address: load, ask and watch
    #[command(subcommand)]
    Board(board::Board),
    /// Write a complete invented site, aircraft and routes to start from
    Example {
        /// A folder that doesn't exist yet or is empty
        folder: PathBuf,
    },
    /// List the presets that `check --preset` takes
    Presets,
    /// List the rules, or explain one
    Rules {
        /// The rule's name, as findings say it
        #[arg(value_name = "NAME")]
        name: Option<String>,
    },
    /// Compute a power table from an aircraft, to start from
    ///
    /// Prints the [power] section of limits.toml. It is a model's, not a measurement: `pinfold learn` makes one from a flight.
    Power(power::Power),
    /// Learn a power table from a flight log
    ///
    /// Prints the [power] section of limits.toml. The log is to have time, ground speed (or latitude and longitude), climb rate
    /// (or height), volts and amperes. A log knows no wind: fly on a calm day, every speed out and back.
    Learn(learn::Learn),
    /// Print what makes a shell complete the command line
    ///
    /// For bash: pinfold completions bash > ~/.local/share/bash-completion/completions/pinfold
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page, or write those of all commands into a folder
    ///
    /// pinfold man | man -l -
    Man {
        /// A folder for the pages, such as ~/.local/share/man/man1
        #[arg(short, long, value_name = "FOLDER")]
        output: Option<PathBuf>,
    },
}

/// What `pack` is asked.
#[derive(Args)]
pub(crate) struct Pack {
    /// A route (TOML, GeoJSON, GPX, KML or CSV), or limits.toml
    pub(crate) file: PathBuf,
    /// The limits that a route with heights above ground is made for
    #[arg(long, value_name = "LIMITS")]
    pub(crate) limits: Option<PathBuf>,
    /// Where the packed bytes go
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: PathBuf,
    #[command(flatten)]
    pub(crate) as_route: route::AsRoute,
}

/// What `unpack` is asked.
#[derive(Args)]
pub(crate) struct Unpack {
    /// The packed route or limits; with --bytes a packed verdict, too
    pub(crate) file: PathBuf,
    /// Where the text goes; limits need it, since their site and ground go into files beside it
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// Show every field of the bytes instead, also of damaged ones
    #[arg(long, conflicts_with = "output")]
    pub(crate) bytes: bool,
}

/// What `check` is asked.
#[derive(Args)]
pub(crate) struct Check {
    /// The route: route.toml, packed, GeoJSON, GPX, KML or CSV
    pub(crate) route: PathBuf,
    /// The limits: limits.toml, or packed
    #[arg(long, value_name = "LIMITS")]
    pub(crate) limits: PathBuf,
    /// Figures to lay under the limits: of each the stricter one counts
    #[arg(long, value_name = "NAME", value_parser = PossibleValuesParser::new(preset::names()))]
    pub(crate) preset: Option<String>,
    /// Where the aircraft stands, in degrees: held to within_m of the limits' launch section
    #[arg(long, value_name = "LAT,LON", value_parser = field::here, allow_hyphen_values = true)]
    pub(crate) here: Option<Position>,
    /// The pack's voltage, at rest and without load: what it tells of the charge counts where that is less than planned
    #[arg(long, value_name = "V", value_parser = field::volts, allow_hyphen_values = true)]
    pub(crate) pack_volts: Option<Voltage>,
    /// How long the pack has had neither load nor charge, in seconds
    #[arg(long, value_name = "S", value_parser = field::seconds, allow_hyphen_values = true, requires = "pack_volts")]
    pub(crate) pack_rested_s: Option<Duration>,
    /// Where the aircraft is flying, in degrees and metres above launch: the route goes on from there
    #[arg(
        long, value_name = "LAT,LON,HEIGHT", value_parser = field::aloft, allow_hyphen_values = true,
        requires = "left_wh", conflicts_with_all = ["here", "pack_volts"]
    )]
    pub(crate) from: Option<(Position, Height)>,
    /// What is left in its pack, the reserve included
    #[arg(long, value_name = "WH", value_parser = field::watt_hours, allow_hyphen_values = true, requires = "from")]
    pub(crate) left_wh: Option<Charge>,
    /// Print one JSON object, also for input that can't be used; with --watch one a line
    #[arg(long)]
    pub(crate) json: bool,
    /// Check again with every change of the route, the limits, the site or the ground, until Ctrl-C
    #[arg(long)]
    pub(crate) watch: bool,
    #[command(flatten)]
    pub(crate) as_route: route::AsRoute,
}

/// Version of the program, of the packed format, and what fits.
static LONG_VERSION: std::sync::LazyLock<String> = std::sync::LazyLock::new(long_version);

fn long_version() -> String {
    use pinfold_core::{
        link::LINK_VERSION,
        model::{
            ground::GROUND_SIDE,
            limits::{CHARGE_POINTS, POWER_POINTS},
            route::STEPS,
            zone::{VERTICES, ZONES},
        },
        verdict::RULE_COUNT,
        wire::VERSION,
    };
    format!(
        "{}\npacked format {VERSION}, link {LINK_VERSION}; {RULE_COUNT} rules; at most\n\
         {STEPS} steps,\n\
         {ZONES} zones with {VERTICES} corners in all,\n\
         {POWER_POINTS} points of power, {CHARGE_POINTS} of charge by voltage,\n\
         {GROUND_SIDE} x {GROUND_SIDE} cells of ground",
        env!("CARGO_PKG_VERSION")
    )
}
