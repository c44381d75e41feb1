//! The same bytes, the same answer: the firmware on an emulated board against the checker on the host.
//!
//! These tests need the images that `tests/run` builds, and fail without them.

mod board;
mod command;
mod generate;
mod host;
mod lines;
mod measure;
mod noise;
mod odd;
mod permit;
