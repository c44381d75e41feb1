//! Which column of a log is what.

use crate::{
    arguments::learn::{Learn, TimeUnit},
    problem::{Problem, Source},
    text::{rows::plain, table::suggestion},
};

/// A column, and what its numbers are multiplied by.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Column {
    pub(crate) index: usize,
    pub(crate) name: String,
    pub(crate) factor: f64,
}

/// How the log tells speed over ground.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Motion {
    Speed(Column),
    Position { lat: Column, lon: Column },
}

/// How the log tells climbing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Rise {
    Rate(Column),
    Height(Column),
}

/// The columns that are used.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Columns {
    pub(crate) time: Column,
    pub(crate) motion: Motion,
    pub(crate) rise: Rise,
    pub(crate) volts: Column,
    pub(crate) amperes: Column,
}

/// What a column can be.
struct Kind {
    option: &'static str,
    what: &'static str,
    /// Names that are obvious, the better ones first.
    names: &'static [&'static str],
    /// What a name may end in, and the factor to the unit that is used.
    units: &'static [(&'static str, f64)],
}

const TIME: Kind = Kind {
    option: "--time",
    what: "the time",
    names: &["time", "timestamp", "t", "elapsed", "elapsed_time", "seconds"],
    units: &[("s", 1.0), ("sec", 1.0), ("seconds", 1.0), ("ms", 1e-3), ("us", 1e-6)],
};
const SPEED: Kind = Kind {
    option: "--speed",
    what: "the ground speed",
    names: &["ground_speed", "groundspeed", "speed_over_ground", "horizontal_speed", "speed"],
    units: &[
        ("m_s", 1.0),
        ("mps", 1.0),
        ("cm_s", 0.01),
        ("km_h", 1.0 / 3.6),
        ("kmh", 1.0 / 3.6),
        ("kph", 1.0 / 3.6),
        ("kn", 0.514_444),
        ("kt", 0.514_444),
        ("mph", 0.447_04),
        ("ft_s", 0.3048),
    ],
};
const LAT: Kind = Kind { option: "--lat", what: "the latitude", names: &["lat", "latitude"], units: DEGREES };
const LON: Kind = Kind { option: "--lon", what: "the longitude", names: &["lon", "lng", "longitude"], units: DEGREES };
const DEGREES: &[(&str, f64)] = &[("deg", 1.0), ("degrees", 1.0)];
const CLIMB_RATE: Kind = Kind {
    option: "--climb-rate",
    what: "the climb rate",
    names: &["climb_rate", "climbrate", "climb", "vertical_speed"],
    units: SPEED.units,
};
const HEIGHT: Kind = Kind {
    option: "--height",
    what: "the height",
    names: &["height", "altitude", "alt", "relative_altitude", "height_above_launch"],
    units: &[("m", 1.0), ("cm", 0.01), ("mm", 1e-3), ("ft", 0.3048)],
};
const VOLTS: Kind = Kind {
    option: "--volts",
    what: "the pack's voltage",
    names: &["volts", "voltage", "battery_voltage", "pack_voltage", "battery_volts", "volt"],
    units: &[("v", 1.0), ("mv", 1e-3)],
};
const AMPERES: Kind = Kind {
    option: "--amperes",
    what: "the current from the pack",
    names: &["amperes", "amps", "current", "battery_current", "pack_current", "ampere"],
    units: &[("a", 1.0), ("ma", 1e-3)],
};

/// The names in a log's header.
pub(crate) struct Header<'s> {
    pub(crate) source: &'s Source,
    pub(crate) names: Vec<String>,
}

impl Columns {
    /// The columns that are asked for, or obvious from their names.
    pub(crate) fn find(header: &Header<'_>, asked: &Learn) -> Result<Self, Problem> {
        Ok(Self {
            time: header.time(asked)?,
            motion: header.motion(asked)?,
            rise: header.rise(asked)?,
            volts: header.needed(&VOLTS, asked.volts.as_deref())?,
            amperes: header.needed(&AMPERES, asked.amperes.as_deref())?,
        })
    }

    /// All of them.
    pub(crate) fn all(&self) -> Vec<&Column> {
        let motion = match &self.motion {
            Motion::Speed(speed) => vec![speed],
            Motion::Position { lat, lon } => vec![lat, lon],
        };
        let (Rise::Rate(rise) | Rise::Height(rise)) = &self.rise;
        [vec![&self.time], motion, vec![rise, &self.volts, &self.amperes]].concat()
    }
}

impl Header<'_> {
    fn time(&self, asked: &Learn) -> Result<Column, Problem> {
        let column = self.needed(&TIME, asked.time.as_deref())?;
        let told = unit(&column.name, &TIME).is_some() || column.name == "seconds";
        match asked.time_unit {
            Some(TimeUnit::S) => Ok(Column { factor: 1.0, ..column }),
            Some(TimeUnit::Ms) => Ok(Column { factor: 1e-3, ..column }),
            Some(TimeUnit::Us) => Ok(Column { factor: 1e-6, ..column }),
            None if told => Ok(column),
            None => {
                let say = format!("the column `{}` doesn't say what unit its times have", column.name);
                Err(self.problem(say).help("give --time-unit s, ms or us"))
            }
        }
    }

    fn motion(&self, asked: &Learn) -> Result<Motion, Problem> {
        let position = |lat, lon| Ok(Motion::Position { lat: self.needed(&LAT, lat)?, lon: self.needed(&LON, lon)? });
        if asked.lat.is_some() {
            return position(asked.lat.as_deref(), asked.lon.as_deref());
        }
        if let Some(speed) = self.column(&SPEED, asked.speed.as_deref())? {
            return Ok(Motion::Speed(speed));
        }
        if self.column(&LAT, None)?.is_some() {
            return position(None, None);
        }
        Err(self.missing("the ground speed, or a position", "--speed COLUMN, or --lat COLUMN --lon COLUMN"))
    }

    fn rise(&self, asked: &Learn) -> Result<Rise, Problem> {
        if asked.height.is_none()
            && let Some(rate) = self.column(&CLIMB_RATE, asked.climb_rate.as_deref())?
        {
            return Ok(Rise::Rate(rate));
        }
        let height = self.column(&HEIGHT, asked.height.as_deref())?.map(Rise::Height);
        height.ok_or_else(|| self.missing("the climb rate, or a height", "--climb-rate COLUMN, or --height COLUMN"))
    }

    fn needed(&self, kind: &Kind, asked: Option<&str>) -> Result<Column, Problem> {
        let column = self.column(kind, asked)?;
        column.ok_or_else(|| self.missing(kind.what, &format!("{} COLUMN", kind.option)))
    }

    /// The column that is asked for, which must be there; or else the one with the most obvious name, if there is one.
    fn column(&self, kind: &Kind, asked: Option<&str>) -> Result<Option<Column>, Problem> {
        let Some(asked) = asked else {
            let found = kind.names.iter().map(|name| self.called(|header| base(header, kind) == *name));
            return match found.into_iter().find(|indices| !indices.is_empty()) {
                Some(indices) => self.only(&indices, kind).map(Some),
                None => Ok(None),
            };
        };
        let indices = self.called(|header| header.eq_ignore_ascii_case(asked.trim()));
        if indices.is_empty() {
            let known: Vec<&str> = self.names.iter().map(String::as_str).collect();
            let say = format!("there is no column `{asked}`, which {} names", kind.option);
            return Err(self.problem(say).help(suggestion(asked, &known)));
        }
        self.only(&indices, kind).map(Some)
    }

    fn called(&self, fits: impl Fn(&str) -> bool) -> Vec<usize> {
        self.names.iter().enumerate().filter(|(_, name)| fits(name)).map(|(index, _)| index).collect()
    }

    fn only(&self, indices: &[usize], kind: &Kind) -> Result<Column, Problem> {
        let [index] = indices else {
            let names: Vec<String> = indices.iter().map(|index| format!("`{}`", self.names[*index])).collect();
            let say = format!("several columns may be {}: {}", kind.what, names.join(", "));
            return Err(self.problem(say).help(format!("give {} COLUMN, and name no two columns alike", kind.option)));
        };
        let name = self.names[*index].clone();
        let factor = unit(&name, kind).map_or(1.0, |(_, factor)| factor);
        Ok(Column { index: *index, name, factor })
    }

    fn missing(&self, what: &str, options: &str) -> Problem {
        let say = format!("no column is obviously {what}");
        self.problem(say).help(format!("the columns are {}: give {options}", self.names.join(", ")))
    }

    /// A problem with the header.
    fn problem(&self, say: String) -> Problem {
        let text = &self.source.text;
        let begin = text.len() - text.trim_start().len();
        let end = text[begin..].find(['\n', '\r']).map_or(text.len(), |length| begin + length);
        self.source.problem(begin..end, say)
    }
}

/// The unit that a name ends in, if it has one: the longest that fits.
fn unit(name: &str, kind: &Kind) -> Option<(&'static str, f64)> {
    let name = plain(name);
    let fits = |unit: &str| name.strip_suffix(unit).is_some_and(|rest| rest.ends_with('_'));
    kind.units.iter().copied().filter(|(unit, _)| fits(unit)).max_by_key(|(unit, _)| unit.len())
}

/// A name without its unit.
fn base(name: &str, kind: &Kind) -> String {
    let length = unit(name, kind).map_or(0, |(unit, _)| unit.len() + 1);
    let plain = plain(name);
    plain[..plain.len() - length].to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_ends_in_its_unit() {
        assert_eq!(base("Ground speed (km/h)", &SPEED), "ground_speed");
        assert_eq!(unit("Ground speed (km/h)", &SPEED), Some(("km_h", 1.0 / 3.6)));
        assert_eq!(unit("ground_speed_m_s", &SPEED), Some(("m_s", 1.0)));
        assert_eq!(unit("Current [mA]", &AMPERES), Some(("ma", 1e-3)));
        assert_eq!(unit("time_µs", &TIME), Some(("us", 1e-6)));
        assert_eq!(unit("time", &TIME), None);
        assert_eq!(unit("s", &TIME), None, "a name alone is no unit");
    }
}
