//! Decides whether a multirotor route keeps every limit that it is held to.
//!
//! > **If the verdict is Go, then no path that the route can mean breaks a limit.** What cannot be decided is No-go.
//!
//! `no_std`, no allocation, no recursion, no panic, no unsafe code; integers decide. The same bytes give the same verdict on a
//! laptop and on a microcontroller. A route is taken one step at a time, in memory that doesn't depend on its length.
//!
//! # Rooms
//! Each arrow is "is used by":
//! ```text
//! units -> geometry -> model -> verdict -+-> rules -> check -> interlock -+
//!                                        |                                +-> board
//!                                        +-> wire -> link ----------------+
//! ```
//! * [`units`]: every quantity with its unit and bounds.
//! * [`geometry`]: exact predicates, distances with a guaranteed direction of error.
//! * [`model`]: routes, limits, zones and the path that a step means.
//! * [`verdict`]: findings, clearances, Go or No-go.
//! * [`rules`] and [`check`]: judging. They see no bytes.
//! * [`interlock`]: whether there is a permit. It sees no bytes and no pins.
//! * [`wire`] and [`link`]: packed bytes and frames. They judge nothing: of the other branch they only know what its states
//!   and readings are called.
//! * [`board`]: joins the two for a microcontroller: bytes in, bytes out, line levels.
//!
//! # What the promise covers, and what not
//! A verdict is about the numbers that were given, and about nothing that limits don't say. It is no permission to fly: local
//! rules and licensed practice decide.

#![no_std]

#[cfg(test)]
extern crate std;

mod arithmetic;
pub mod board;
pub mod check;
pub mod fingerprint;
pub mod geometry;
pub mod interlock;
pub mod link;
pub mod model;
pub mod rules;
pub mod units;
pub mod verdict;
pub mod wire;
