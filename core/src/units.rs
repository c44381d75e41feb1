//! Quantities, their integer types, units and bounds: the one table of the project.
//!
//! Every number that can enter the checker from outside is one of these types, so that it is in range or does not
//! exist. The bit budgets of [`crate::geometry`] and of the margins rest on the maxima below; constant assertions beside
//! the arithmetic tie them together.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

macro_rules! bounded {
    ($( $(#[$doc:meta])* $name:ident: $repr:ident, $unit:literal, $min:literal => $max:literal; )*) => {$(
        $(#[$doc])*
        ///
        #[doc = concat!("Unit: ", $unit, ". Range: ", stringify!($min), " to ", stringify!($max), ", both included.")]
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name($repr);

        impl $name {
            /// The smallest value.
            pub const MIN: $repr = $min;
            /// The largest value.
            pub const MAX: $repr = $max;
            /// What one count stands for.
            pub const UNIT: &'static str = $unit;

            /// The quantity, or `None` out of range.
            #[must_use]
            pub const fn new(value: $repr) -> Option<Self> {
                if value >= Self::MIN && value <= Self::MAX { Some(Self(value)) } else { None }
            }

            /// The number of counts.
            #[must_use]
            pub const fn get(self) -> $repr {
                self.0
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                self.0.serialize(serializer)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                Self::new($repr::deserialize(deserializer)?).ok_or_else(|| D::Error::custom("out of range"))
            }
        }
    )*};
}

bounded! {
    /// Latitude, north positive, on WGS 84.
    Latitude: i32, "1e-7 degree", -900_000_000 => 900_000_000;
    /// Longitude, east positive, on WGS 84. Both names of the antimeridian are accepted.
    Longitude: i32, "1e-7 degree", -1_800_000_000 => 1_800_000_000;
    /// A height above the launch point or above mean sea level; the holder says which.
    Height: i32, "0.01 m", -1_000_000 => 1_000_000;
    /// A horizontal distance, a radius or a margin.
    Length: i32, "0.01 m", 0 => 10_000_000;
    /// A speed that a route asks for. Zero and negative ones can be written down; the rule `speed` refuses them.
    Speed: i32, "0.01 m/s", -10_000 => 10_000;
    /// A speed or rate in the limits.
    SpeedLimit: i32, "0.01 m/s", 1 => 10_000;
    /// An airspeed in the power table.
    Airspeed: u16, "0.01 m/s", 0 => 10_000;
    /// A time: a hold, a reaction, a delay.
    Duration: i32, "0.01 s", 0 => 8_640_000;
    /// The tilt that the aircraft brakes with. Beyond 80 degrees there is no lift left to speak of.
    Tilt: i32, "1 degree", 1 => 80;
    /// Electrical power.
    Power: i32, "1 W", 1 => 50_000;
    /// A pack's voltage.
    Voltage: i32, "0.01 V", 1 => 10_000;
    /// A pack's capacity.
    Capacity: i32, "1 mAh", 1 => 1_000_000;
    /// Cells in series.
    Cells: i32, "1 cell", 1 => 30;
    /// What is left of a pack's first capacity.
    Health: i32, "1 %", 1 => 100;
    /// The part of the charge that is not for flying.
    Reserve: i32, "1 %", 0 => 99;
    /// A pack's charge.
    Charge: i32, "0.001 Wh", 0 => 100_000_000;
    /// The voltage of one cell.
    CellVoltage: u16, "0.001 V", 1 => 6_000;
    /// What a pack holds of what it can hold.
    StateOfCharge: u8, "1 %", 0 => 100;
    /// A speed of the wind.
    WindSpeed: i32, "0.01 m/s", 0 => 10_000;
    /// A direction, clockwise from true north.
    Direction: i32, "1 degree", 0 => 359;
    /// How far to either side a direction may be off.
    Spread: i32, "1 degree", 0 => 180;
    /// A temperature of the air.
    Temperature: i32, "0.1 degree Celsius", -600 => 600;
    /// How wide or high a cell of ground data is.
    CellSide: i32, "1e-7 degree", 1 => 10_000_000;
    /// Rows or columns of ground data.
    CellCount: u8, "1 cell", 1 => 32;
    /// How much one count of a ground height is.
    CountHeight: i32, "0.01 m", 1 => 30;
}

impl Duration {
    /// No time at all.
    pub const NONE: Self = Self(0);
    /// Ten minutes.
    pub const TEN_MINUTES: Self = Self(60_000);
}

impl Direction {
    /// From north.
    pub const NORTH: Self = Self(0);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_outside_its_bounds_does_not_exist() {
        assert_eq!(Latitude::new(900_000_001), None);
        assert_eq!(Latitude::new(-900_000_000).map(Latitude::get), Some(-900_000_000));
        assert_eq!(Tilt::new(0), None);
        assert_eq!(Tilt::new(81), None);
    }

    #[test]
    fn a_packed_value_outside_its_bounds_is_refused() {
        let mut buffer = [0; 8];
        let bytes = postcard::to_slice(&900_000_001_i32, &mut buffer).unwrap();
        assert!(postcard::from_bytes::<Latitude>(bytes).is_err());
    }
}
