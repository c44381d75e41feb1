//! What a field's number means, in the unit that core's types say.

use pinfold_core::units;

use super::trace::Raw;
use crate::{report::people::printable, text::decimal::written};

macro_rules! unit_of {
    ($quantity:expr; $($name:ident)*) => {
        match $quantity {
            $(stringify!($name) => Some(units::$name::UNIT),)*
            _ => None,
        }
    };
}

/// What one count of a type of core stands for.
pub(super) fn unit(quantity: &str) -> Option<&'static str> {
    unit_of!(quantity;
        Latitude Longitude Height Length Speed SpeedLimit Airspeed Duration Tilt Power Voltage Capacity Cells Health
        Reserve Charge CellVoltage StateOfCharge WindSpeed Direction Spread Temperature CellSide CellCount CountHeight)
}

/// What one count of a plain integer stands for, by its name: core's docs say it where the integer stands.
fn unit_of_plain(name: &str) -> Option<&'static str> {
    match name {
        "summary.length" | "place.height" => Some("0.01 m"),
        "summary.duration" => Some("0.01 s"),
        "energy.needed" | "energy.usable" | "energy.held" => Some("0.001 Wh"),
        _ => None,
    }
}

/// So many counts of a unit, for people.
pub(super) fn figure(counts: i64, unit: &str) -> String {
    let (count, name) = unit.split_once(' ').unwrap_or(("1", unit));
    format!("{} {name}", written(counts, digits(count)))
}

/// How many digits after the point a count of 10^-digits has.
fn digits(count: &str) -> u32 {
    match count {
        "1e-7" => 7,
        "0.001" => 3,
        "0.01" => 2,
        "0.1" => 1,
        _ => 0,
    }
}

/// What is written in a field, for people.
pub(super) fn shown(raw: &Raw, quantity: &str, name: &str) -> String {
    match raw {
        Raw::Bytes => String::new(),
        Raw::Unsigned(number) => number_shown(i64::try_from(*number).unwrap_or(i64::MAX), quantity, name),
        Raw::Signed(number) => number_shown(*number, quantity, name),
        Raw::Text(text) => format!("\"{}\"", printable(text)),
        Raw::Given(true) => "is given:".to_owned(),
        Raw::Given(false) => "isn't given".to_owned(),
        Raw::Items(count) => format!("{count} items"),
        Raw::Variant(number, name) => format!("{number}: {}", words(name)),
        Raw::Fingerprint(fingerprint) => fingerprint.to_string(),
    }
}

fn number_shown(number: i64, quantity: &str, name: &str) -> String {
    unit(quantity).or_else(|| unit_of_plain(name)).map_or_else(|| number.to_string(), |unit| figure(number, unit))
}

/// A name in code as it is written elsewhere: `KeepIn` is keep-in.
fn words(name: &str) -> String {
    let mut words = String::new();
    for (index, character) in name.char_indices() {
        if index > 0 && character.is_uppercase() {
            words.push('-');
        }
        words.extend(character.to_lowercase());
    }
    words
}
