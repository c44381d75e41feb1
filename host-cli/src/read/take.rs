//! From keys to the core's quantities.

use pinfold_core::{
    geometry::position::Position,
    model::{NAME_BYTES, Name, is_name},
    units::{Duration, Height, Length, Speed, SpeedLimit},
};

use super::quantity;
use crate::{
    problem::Problem,
    text::table::{Finer, Quantity, Section},
};

/// The value of a key as a quantity of the core; its range was checked as the quantity's own.
pub(crate) fn take<T>(
    section: &Section<'_>, key: &str, quantity: Quantity, finer: Finer, notes: &mut Vec<String>,
    make: fn(i32) -> Option<T>,
) -> Result<T, Problem> {
    let count = section.count(key, quantity, finer, notes)?;
    made(section, key, count, make)
}

/// The same for a key that may be missing.
pub(crate) fn take_if<T>(
    section: &Section<'_>, key: &str, quantity: Quantity, finer: Finer, notes: &mut Vec<String>,
    make: fn(i32) -> Option<T>,
) -> Result<Option<T>, Problem> {
    let count = section.count_if(key, quantity, finer, notes)?;
    count.map(|count| made(section, key, count, make)).transpose()
}

fn made<T>(section: &Section<'_>, key: &str, count: i64, make: fn(i32) -> Option<T>) -> Result<T, Problem> {
    i32::try_from(count).ok().and_then(make).ok_or_else(|| section.problem_at(key, format!("`{key}` is out of range")))
}

/// `lat` and `lon`.
pub(crate) fn position(section: &Section<'_>) -> Result<Position, Problem> {
    let none = &mut Vec::new();
    let latitude = section.count("lat", quantity::LATITUDE, Finer::Refuse, none)?;
    let longitude = section.count("lon", quantity::LONGITUDE, Finer::Refuse, none)?;
    let position = i32::try_from(latitude).ok().zip(i32::try_from(longitude).ok());
    position
        .and_then(|(latitude, longitude)| Position::new(latitude, longitude))
        .ok_or_else(|| section.problem_at("lat", "this is no place on Earth"))
}

/// A name that fits.
pub(crate) fn name(section: &Section<'_>, key: &str) -> Result<Name, Problem> {
    let (text, _) = section.text(key)?;
    fitting_name(&text).map_err(|say| section.problem_at(key, say).help("give it a shorter name"))
}

/// A text as a name, or what is wrong with it.
pub(crate) fn fitting_name(text: &str) -> Result<Name, String> {
    if !is_name(text) {
        return Err("a name has at least one letter, and no control characters".into());
    }
    Name::try_from(text).map_err(|_| format!("this name has {} bytes; {NAME_BYTES} are the most", text.len()))
}

/// A height that is a fact and not a limit: no digit may be lost.
pub(crate) fn height(
    section: &Section<'_>, key: &str, finer: Finer, notes: &mut Vec<String>,
) -> Result<Height, Problem> {
    take(section, key, quantity::HEIGHT, finer, notes, Height::new)
}

/// A height that need not be there.
pub(crate) fn height_if(
    section: &Section<'_>, key: &str, finer: Finer, notes: &mut Vec<String>,
) -> Result<Option<Height>, Problem> {
    take_if(section, key, quantity::HEIGHT, finer, notes, Height::new)
}

/// A length.
pub(crate) fn length(
    section: &Section<'_>, key: &str, finer: Finer, notes: &mut Vec<String>,
) -> Result<Length, Problem> {
    take(section, key, quantity::LENGTH, finer, notes, Length::new)
}

/// A speed or rate in limits.
pub(crate) fn speed_limit(
    section: &Section<'_>, key: &str, finer: Finer, notes: &mut Vec<String>,
) -> Result<SpeedLimit, Problem> {
    take(section, key, quantity::SPEED_LIMIT, finer, notes, SpeedLimit::new)
}

/// A route's speed, if it is there.
pub(crate) fn speed_if(section: &Section<'_>, key: &str) -> Result<Option<Speed>, Problem> {
    take_if(section, key, quantity::SPEED, Finer::Refuse, &mut Vec::new(), Speed::new)
}

/// A time.
pub(crate) fn duration(
    section: &Section<'_>, key: &str, finer: Finer, notes: &mut Vec<String>,
) -> Result<Duration, Problem> {
    take(section, key, quantity::DURATION, finer, notes, Duration::new)
}
