//! What is known at the field, on the command line: LAT,LON; LAT,LON,HEIGHT; volts, seconds and watt-hours.

use pinfold_core::{
    geometry::position::Position,
    units::{Charge, Duration, Height, Speed, Voltage},
};

use super::quantity;
use crate::text::{
    decimal::{Counts, written},
    table::Quantity,
};

/// Where the aircraft stands, or what is wrong with it.
pub(crate) fn here(text: &str) -> Result<Position, String> {
    let parts: Vec<&str> = text.split(',').collect();
    let [latitude, longitude] = parts[..] else {
        let say = "write latitude and longitude in degrees with a comma between and points for decimals: -33.1,151.2";
        return Err(say.into());
    };
    position(latitude, longitude)
}

/// Where the aircraft flies: its place, and its height above launch.
pub(crate) fn aloft(text: &str) -> Result<(Position, Height), String> {
    let parts: Vec<&str> = text.split(',').collect();
    let [latitude, longitude, height] = parts[..] else {
        let say = "write latitude and longitude in degrees and the height above launch in metres, with commas between and points for decimals: -33.1,151.2,35.0";
        return Err(say.into());
    };
    Ok((position(latitude, longitude)?, self::height(height)?))
}

/// A height above launch.
pub(crate) fn height(text: &str) -> Result<Height, String> {
    let height = exact("the height above launch", text, quantity::HEIGHT)?;
    Height::new(height).ok_or_else(|| "the height is out of range".into())
}

/// A height above the sea.
pub(crate) fn elevation(text: &str) -> Result<Height, String> {
    let height = exact("the height above the sea", text, quantity::HEIGHT)?;
    Height::new(height).ok_or_else(|| "the height is out of range".into())
}

/// A speed over ground.
pub(crate) fn speed(text: &str) -> Result<Speed, String> {
    let speed = exact("the speed", text, quantity::SPEED)?;
    Speed::new(speed).ok_or_else(|| "the speed is out of range".into())
}

/// How long to stay at a point.
pub(crate) fn hold(text: &str) -> Result<Duration, String> {
    let time = exact("the time", text, quantity::DURATION)?;
    Duration::new(time).ok_or_else(|| "the time is out of range".into())
}

/// The pack's voltage: finer digits are cut off, which is against the route.
pub(crate) fn volts(text: &str) -> Result<Voltage, String> {
    floor("the voltage", text, quantity::VOLTAGE, Voltage::new)
}

/// How long the pack has rested: finer digits are cut off.
pub(crate) fn seconds(text: &str) -> Result<Duration, String> {
    floor("the time", text, quantity::DURATION, Duration::new)
}

/// A time after which something is done again: not none.
pub(crate) fn interval(text: &str) -> Result<std::time::Duration, String> {
    let hundredths = u64::try_from(seconds(text)?.get()).unwrap_or(0);
    let some = (hundredths > 0).then(|| std::time::Duration::from_millis(hundredths * 10));
    some.ok_or_else(|| "without any time between there is no end: write 0.01 or more".into())
}

/// What is left in the pack: finer digits are cut off.
pub(crate) fn watt_hours(text: &str) -> Result<Charge, String> {
    floor("what is left", text, quantity::CHARGE, Charge::new)
}

fn position(latitude: &str, longitude: &str) -> Result<Position, String> {
    let latitude = exact("the latitude", latitude, quantity::LATITUDE)?;
    let longitude = exact("the longitude", longitude, quantity::LONGITUDE)?;
    Position::new(latitude, longitude).ok_or_else(|| "this is no place on Earth".into())
}

/// Counts of a place; none is rounded, since what is near enough is decided by them.
fn exact(what: &str, text: &str, quantity: Quantity) -> Result<i32, String> {
    let counts = parsed(what, text, quantity)?;
    let nearest = in_range(what, counts.nearest(), quantity)?;
    if !counts.is_whole() {
        let (nearest, unit) = (written(nearest, quantity.digits), written(1, quantity.digits));
        let unit = if quantity.digits == 7 { "1e-7 degree".to_owned() } else { format!("{unit} {}", quantity.unit) };
        return Err(format!("{what} is finer than {unit}, and none is rounded here: write {nearest}"));
    }
    i32::try_from(nearest).map_err(|_| format!("{what} is out of range"))
}

fn floor<T>(what: &str, text: &str, quantity: Quantity, make: fn(i32) -> Option<T>) -> Result<T, String> {
    let count = in_range(what, parsed(what, text, quantity)?.floor(), quantity)?;
    i32::try_from(count).ok().and_then(make).ok_or_else(|| format!("{what} is out of range"))
}

fn parsed(what: &str, text: &str, quantity: Quantity) -> Result<Counts, String> {
    Counts::parse(text, quantity.digits)
        .map_err(|_| format!("{what} is no number: write {} in {}", "47.5", quantity.unit))
}

fn in_range(what: &str, count: Option<i64>, quantity: Quantity) -> Result<i64, String> {
    let (least, most) = quantity.range;
    count.filter(|count| (least..=most).contains(count)).ok_or_else(|| {
        let [least, most] = [least, most].map(|end| written(end, quantity.digits));
        format!("{what} is out of range: from {least} to {most} {}", quantity.unit)
    })
}
