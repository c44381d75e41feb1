//! The core's quantities as people write them.

use pinfold_core::units as core;

use crate::text::table::{COARSE, Quantity};

macro_rules! quantities {
    ($( $name:ident: $core:ident, $unit:literal, $digits:literal; )*) => {$(
        pub(crate) const $name: Quantity = Quantity {
            unit: $unit,
            digits: $digits,
            range: (core::$core::MIN as i64, core::$core::MAX as i64),
            coarse: COARSE,
        };
    )*};
}

quantities! {
    LATITUDE: Latitude, "degrees", 7;
    LONGITUDE: Longitude, "degrees", 7;
    HEIGHT: Height, "m", 2;
    LENGTH: Length, "m", 2;
    SPEED: Speed, "m/s", 2;
    SPEED_LIMIT: SpeedLimit, "m/s", 2;
    AIRSPEED: Airspeed, "m/s", 2;
    DURATION: Duration, "s", 2;
    TILT: Tilt, "degrees", 0;
    POWER: Power, "W", 0;
    VOLTAGE: Voltage, "V", 2;
    CAPACITY: Capacity, "mAh", 0;
    CELLS: Cells, "cells", 0;
    HEALTH: Health, "%", 0;
    RESERVE: Reserve, "%", 0;
    CHARGE: Charge, "Wh", 3;
    CELL_VOLTAGE: CellVoltage, "V of one cell", 3;
    WHOLE_CHARGE: StateOfCharge, "%", 0;
    WIND_SPEED: WindSpeed, "m/s", 2;
    DIRECTION: Direction, "degrees", 0;
    WHOLE_SPREAD: Spread, "degrees", 0;
    TEMPERATURE: Temperature, "degrees Celsius", 1;
    CELL_SIDE: CellSide, "degrees", 7;
    COUNT_HEIGHT: CountHeight, "m", 2;
}

/// A few per cent are no slip: only what would become nothing is suspected.
pub(crate) const STATE_OF_CHARGE: Quantity = Quantity { coarse: 1, ..WHOLE_CHARGE };
/// A few degrees are no slip: only what would become one is suspected, as a part of a circle or radians.
pub(crate) const SPREAD: Quantity = Quantity { coarse: 2, ..WHOLE_SPREAD };
