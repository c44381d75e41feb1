//! A position on the command line: LAT,LON.

use pinfold_core::geometry::position::Position;

use super::quantity;
use crate::text::{
    decimal::{Counts, written},
    table::Quantity,
};

/// What is wrong, or the position that the digits say.
pub(crate) fn parse(text: &str) -> Result<Position, String> {
    let parts: Vec<&str> = text.split(',').collect();
    let [latitude, longitude] = parts[..] else {
        let say = "write latitude and longitude in degrees with a comma between and points for decimals: -33.1,151.2";
        return Err(say.into());
    };
    let latitude = degrees("the latitude", latitude, quantity::LATITUDE)?;
    let longitude = degrees("the longitude", longitude, quantity::LONGITUDE)?;
    Position::new(latitude, longitude).ok_or_else(|| "this is no place on Earth".into())
}

/// Counts of 1e-7 degree; none is rounded, since what is near enough is decided by them.
fn degrees(what: &str, text: &str, quantity: Quantity) -> Result<i32, String> {
    let counts = Counts::parse(text, quantity.digits).map_err(|_| format!("{what} is no number: write 47.5"))?;
    let (least, most) = quantity.range;
    let nearest = counts.nearest().filter(|nearest| (least..=most).contains(nearest)).ok_or_else(|| {
        let [least, most] = [least, most].map(|end| written(end, quantity.digits));
        format!("{what} is out of range: from {least} to {most} degrees")
    })?;
    if !counts.is_whole() {
        let nearest = written(nearest, quantity.digits);
        return Err(format!("{what} is finer than 1e-7 degree, and none is rounded here: write {nearest}"));
    }
    i32::try_from(nearest).map_err(|_| format!("{what} is out of range"))
}
