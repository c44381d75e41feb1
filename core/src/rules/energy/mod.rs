//! What flying takes of the charge, in the worst wind that is allowed for.
//!
//! # What is bounded
//! A wind blows from one direction all flight long, and at any speed up to the strongest, now more and now less. Ground speed
//! and track are held, so the airspeed changes: v along the track less the wind. Power is the limits' table at that airspeed,
//! and while rising what climbing takes above hovering; nothing is credited for descending. The need is an upper bound over
//! every such wind. A headwind on every leg would be one, too; but no wind is against the way out and the way back.
//!
//! So directions are cut into sectors of at most 5 degrees (72 for a wind from anywhere), and everything is summed for each
//! sector by itself. In a sector a leg's power is the table's largest over all airspeeds that its directions and all wind
//! speeds allow (`airspeed`); the table is linear between its points, so the ends of that interval and the points inside it
//! decide. The sector with the largest sum is the worst, and named by its middle.
//!
//! A line's heading isn't one number: straight in longitude and latitude, geodesic and straight in the plane differ, and so
//! does true north along the way. All of that is at most the largest curvature times length and distance from launch
//! (`Frame::turn_ceil`), and every cosine is widened by it.
//!
//! # Why the ends of a part decide
//! What a flight takes that turns back where a share s of a leg is covered is
//!
//! > used before + s x (the leg's own) + rise(s) + way home(s) + hold + descent(s).
//!
//! The first is a constant and the second linear: power is one number over the leg, and shares of the way are shares of the
//! time. The height is linear in s, so the rise to the return height, max(0, H - h), and the height to descend from, max(H,
//! h), are convex. The way home is as long as the distance from launch, which is convex along a straight line; the power of
//! flying it is
//! *not* one number: the heading home turns along the leg. With a table that has a valley the sum can be largest in the middle. So
//! the way home is bounded with one power over a part of the leg: the table's largest over all headings home from that part,
//! and over the sector. Then the sum is linear + convex, and one of its two ends is the largest. (How far a reading of the
//! leg may be beside its chord, and along it, is added to every distance and turned into an angle for every heading.)
//!
//! A leg is one part where the headings home from it are within a tenth of a radian; else it is halved, down to a
//! thirty-second of it. The smallest parts are only reached beside launch, where there is hardly any way home.
//!
//! # Error budget
//! Bounds from above throughout. Airspeeds: to 0.01 m/s. Power: to 1 mW. Times: to 1 ms each. Lengths: 6.1e-5 + 4 mm and the
//! readings' own. Energy: exact from there, in µJ; to 0.001 Wh in the end. Against the true worst case most is lost by the
//! sectors, and by parts of legs: below 10 % for tables whose power doesn't rise faster than with the cube of the airspeed.
//!
//! Sources: the wind triangle, FAA-H-8083-25, chapter on navigation; the rest is derived here.
//!
//! # Worked by hand: hovering in still air
//! Climb to 20 m at 3 m/s (6.667 s at 260 W), hold for 60 s, and return: 5 s of its hold and 20 m down at 0.7 m/s (28.572 s),
//! at 190 W. 6.667 x 260 + (60 + 5 + 28.572) x 190 = 19,512.1 J = 5.42003 Wh: 5,421 counts of 0.001 Wh.
//!
//! # Worked by hand: out and back in a wind
//! Due east from the equator by 0.01 degree, 1,113.195 m (with what is added to a length: 1,113.267 m), at 5 m/s in a wind
//! from the west of up to 3 m/s, and back: 222.654 s each way. Out, airspeeds are 2 to 5 m/s; with 190 W at 0 and 175 W at 5
//! m/s the most is that at the slow end, 184 W. Back, they are 5 to 8 m/s: 208 W, on the way from 175 W to 230 W at 10 m/s.
//! Climb, hold and descent as above but for 5 s of hold, in airspeeds of 0 to 3 m/s: 190 W at most. Together 40,968.3 +
//! 46,312.0 + 1,733.4 + 6,378.7 = 95,392.5 J = 26.4979 Wh: 26,498 counts.

pub(crate) mod airspeed;
pub mod charge;
pub(crate) mod effort;
mod heading;
pub(crate) mod homeward;
pub(crate) mod power;
#[cfg(test)]
pub(crate) mod samples;
pub(crate) mod sectors;

use crate::arithmetic::{clamp_i32, clamp_i64, divide_ceil, divisor};

/// µJ as 0.001 Wh, rounded up; the largest number where it doesn't fit.
pub(crate) fn watt_hours_ceil(microjoules: i64) -> i32 {
    /// µJ in 0.001 Wh.
    const UNIT: u64 = 3_600_000;
    clamp_i32(clamp_i64(divide_ceil(microjoules.max(0).unsigned_abs(), divisor(UNIT))))
}
