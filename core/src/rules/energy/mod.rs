//! What flying takes of the charge, in the worst wind that is allowed for.

pub(crate) mod airspeed;
pub mod charge;
pub(crate) mod effort;
mod heading;
pub(crate) mod homeward;
pub(crate) mod power;
#[cfg(test)]
mod samples;
pub(crate) mod sectors;

use crate::arithmetic::{clamp_i32, clamp_i64, divide_ceil, divisor};

/// µJ as 0.001 Wh, rounded up; the largest number where it doesn't fit.
pub(crate) fn watt_hours_ceil(microjoules: i64) -> i32 {
    /// µJ in 0.001 Wh.
    const UNIT: u64 = 3_600_000;
    clamp_i32(clamp_i64(divide_ceil(microjoules.max(0).unsigned_abs(), divisor(UNIT))))
}
