//! How a route is read from a file that doesn't say everything.

use clap::{Args, ValueEnum};
use pinfold_core::{
    geometry::position::Position,
    units::{Duration, Height, Speed},
};

use crate::read::field;

/// Over these options in the help.
const HEADING: &str = "For a route in GeoJSON, GPX, KML or CSV, which doesn't say everything";

/// What a route's file doesn't say.
#[derive(Args, Clone, Debug, Default)]
pub(crate) struct AsRoute {
    /// What heights are measured from, where the file doesn't say it
    #[arg(long, value_enum, value_name = "REFERENCE", help_heading = HEADING)]
    pub(crate) heights: Option<Heights>,
    /// Height above launch of all points, where the file has no heights
    #[arg(
        long, value_name = "H", value_parser = field::height, allow_hyphen_values = true, help_heading = HEADING,
        conflicts_with = "heights"
    )]
    pub(crate) height_m: Option<Height>,
    /// Speed over ground, where the file has none
    #[arg(long, value_name = "M_S", value_parser = field::speed, allow_hyphen_values = true, help_heading = HEADING)]
    pub(crate) speed: Option<Speed>,
    /// How long to stay at each point, in seconds; without it not at all
    #[arg(long, value_name = "S", value_parser = field::hold, allow_hyphen_values = true, help_heading = HEADING)]
    pub(crate) hold_s: Option<Duration>,
    /// Where the aircraft starts, in degrees; without it at the line's first point
    #[arg(long, value_name = "LAT,LON", value_parser = field::here, allow_hyphen_values = true, help_heading = HEADING)]
    pub(crate) launch: Option<Position>,
    /// How high launch is above the sea
    #[arg(long, value_name = "H", value_parser = field::elevation, allow_hyphen_values = true, help_heading = HEADING)]
    pub(crate) elevation_m: Option<Height>,
    /// Height above launch that is climbed to first; without it that of the first point
    #[arg(long, value_name = "H", value_parser = field::height, allow_hyphen_values = true, help_heading = HEADING)]
    pub(crate) climb_to_m: Option<Height>,
    /// How the route ends; without it with a return to launch
    #[arg(long, value_enum, value_name = "HOW", help_heading = HEADING)]
    pub(crate) end: Option<End>,
    /// The route's name; without it the line's own, or the file's
    #[arg(long, value_name = "NAME", help_heading = HEADING)]
    pub(crate) name: Option<String>,
    /// Which line is the route, where the file has several: its number or its name
    #[arg(long, value_name = "N", help_heading = HEADING)]
    pub(crate) line: Option<String>,
}

/// What heights are measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Heights {
    /// The launch point.
    #[value(name = "above-launch")]
    Launch,
    /// Mean sea level.
    #[value(name = "above-sea")]
    Sea,
    /// The ground below.
    #[value(name = "above-ground")]
    Ground,
    /// The WGS 84 ellipsoid.
    #[value(name = "above-ellipsoid")]
    Ellipsoid,
}

/// How a route ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum End {
    /// With a return to launch.
    Return,
    /// With a landing at the last point.
    Land,
}

impl AsRoute {
    /// The first option that is given, if any: a file that says everything takes none.
    pub(crate) fn given(&self) -> Option<&'static str> {
        let given = [
            ("--heights", self.heights.is_some()),
            ("--height-m", self.height_m.is_some()),
            ("--speed", self.speed.is_some()),
            ("--hold-s", self.hold_s.is_some()),
            ("--launch", self.launch.is_some()),
            ("--elevation-m", self.elevation_m.is_some()),
            ("--climb-to-m", self.climb_to_m.is_some()),
            ("--end", self.end.is_some()),
            ("--name", self.name.is_some()),
            ("--line", self.line.is_some()),
        ];
        given.into_iter().find(|(_, given)| *given).map(|(option, _)| option)
    }
}

impl Heights {
    /// The word for it, as it is written in files and on the command line.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Launch => "above-launch",
            Self::Sea => "above-sea",
            Self::Ground => "above-ground",
            Self::Ellipsoid => "above-ellipsoid",
        }
    }
}
