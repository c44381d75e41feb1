//! What a flight takes and what a pack gives, worked out a second time: by sweeps over directions of the wind and over places
//! where a return may begin, in floating point. A sweep finds no more than there is, so that what it finds holds as a truth.
//!
//! * [`table`], [`wind`]: the power table; the airspeeds that a wind asks for.
//! * [`way`], [`stint`], [`flight`]: ways over ground, what one piece of path takes, and what all of them do.
//! * [`sweep`], [`back`], [`airspeed`]: the worst direction, the worst turn-back, the largest airspeed.
//! * [`pack`]: what may be used.
//! * [`judge`], [`claims`]: where a verdict disagrees. [`scene`], [`aircraft`], [`course`], [`tune`]: cases made to be hard.
//!   [`bombard`]: many of them. [`extremes`]: cases at the ends of every range.

pub mod aircraft;
pub mod airspeed;
pub mod back;
pub mod bombard;
pub mod claims;
pub mod course;
pub mod extremes;
pub mod flight;
pub mod judge;
pub mod pack;
pub mod scene;
pub mod stint;
pub mod sweep;
pub mod table;
pub mod tune;
pub mod way;
pub mod wind;
