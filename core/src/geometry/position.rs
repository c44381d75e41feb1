//! Where things are on the globe.

use serde::{Deserialize, Serialize};

use crate::units::{Latitude, Longitude};

/// A place on the WGS 84 ellipsoid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Position {
    /// Latitude.
    pub latitude: Latitude,
    /// Longitude.
    pub longitude: Longitude,
}

/// Counts of 1e-7 degree in a full turn.
const TURN: i64 = 3_600_000_000;

impl Position {
    /// The place at these counts of 1e-7 degree, or `None` out of range.
    #[must_use]
    pub fn new(latitude: i32, longitude: i32) -> Option<Self> {
        Some(Self { latitude: Latitude::new(latitude)?, longitude: Longitude::new(longitude)? })
    }

    /// How far `self` is north of `other`, in counts of 1e-7 degree. Exact.
    pub(crate) const fn north_of(self, other: Self) -> i32 {
        self.latitude.get().saturating_sub(other.latitude.get())
    }

    /// How far `self` is east of `other` the short way round, in counts of 1e-7 degree, above -180 and up to 180 degrees. Exact.
    pub(crate) fn east_of(self, other: Self) -> i32 {
        let plain = i64::from(self.longitude.get()).saturating_sub(i64::from(other.longitude.get()));
        let wrapped = if plain > TURN / 2 {
            plain.saturating_sub(TURN)
        } else if plain <= -TURN / 2 {
            plain.saturating_add(TURN)
        } else {
            plain
        };
        crate::arithmetic::clamp_i32(wrapped)
    }

    /// The place `north` and `east` of here, or `None` beyond a pole.
    pub(crate) fn offset(self, north: i32, east: i32) -> Option<Self> {
        let plain = i64::from(self.longitude.get()).saturating_add(i64::from(east));
        let wrapped = if plain > TURN / 2 {
            plain.saturating_sub(TURN)
        } else if plain < -TURN / 2 {
            plain.saturating_add(TURN)
        } else {
            plain
        };
        Self::new(self.latitude.get().checked_add(north)?, crate::arithmetic::clamp_i32(wrapped))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn east(a: i32, b: i32) -> i32 {
        Position::new(0, a).unwrap().east_of(Position::new(0, b).unwrap())
    }

    #[test]
    fn a_difference_over_the_antimeridian_takes_the_short_way() {
        assert_eq!(east(-1_799_990_000, 1_799_990_000), 20_000);
        assert_eq!(east(1_799_990_000, -1_799_990_000), -20_000);
        assert_eq!(east(1_800_000_000, -1_800_000_000), 0);
        assert_eq!(east(0, 1_800_000_000), 1_800_000_000);
        assert_eq!(east(1_800_000_000, 0), 1_800_000_000, "half a turn is east either way");
        assert_eq!(east(7, 5), 2);
    }

    #[test]
    fn an_offset_over_the_antimeridian_wraps() {
        let place = Position::new(0, 1_799_999_990).unwrap();
        assert_eq!(place.offset(5, 20), Position::new(5, -1_799_999_990));
        assert_eq!(place.offset(5, 10), Position::new(5, 1_800_000_000), "the antimeridian itself from the west");
        let place = Position::new(0, -1_799_999_990).unwrap();
        assert_eq!(place.offset(-5, -20), Position::new(-5, 1_799_999_990));
        assert_eq!(place.offset(-5, -10), Position::new(-5, -1_800_000_000), "the antimeridian itself from the east");
        assert_eq!(Position::new(899_999_999, 0).unwrap().offset(2, 0), None);
    }
}
