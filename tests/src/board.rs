//! A board in memory: the real one of the core, with flash and an input that tests hold.

pub mod bench;
mod flash;
pub mod host;
pub mod layout;
pub mod sample;
pub mod states;

pub use bench::{Bench, RamHardware};
pub use flash::{Failing, Order, RamFlash, SECTOR};
