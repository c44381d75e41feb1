//! Every state that a board can get into with anybody at the other end of the link: a search that leaves nothing out.
//!
//! The host may send any of a few frames at any time, so every loss, repetition, delay and restart of a host that means
//! well is among them: what is lost changes nothing, what comes late is a frame like any other.

pub mod account;
pub mod action;
pub mod files;
mod key;
pub mod promise;
pub mod search;
pub mod world;
