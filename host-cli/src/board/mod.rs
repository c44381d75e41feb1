//! Talking to a board: over a serial port or TCP, in the frames and messages of [`pinfold_core::link`].

pub(crate) mod conversation;
pub(crate) mod difference;
pub(crate) mod load;
#[cfg(test)]
mod over_a_bad_line;
pub(crate) mod ports;
pub(crate) mod progress;
pub(crate) mod transport;
pub(crate) mod trouble;
pub(crate) mod waits;
pub(crate) mod words;
