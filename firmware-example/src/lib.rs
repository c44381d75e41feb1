//! What the images of this package share: a serial line, a log, a look at the stack, and a panic handler that can't be linked.
//!
//! The board is the emulated machine `mps2-an386`, a Cortex-M4. [`hardware`] is the only file that knows its addresses and the
//! only one that reads or writes by address; for another board replace that file and [`uart`], or use what its HAL gives: anything that
//! implements the traits of `embedded-io` will do.

#![no_std]

pub mod hardware;
pub mod log;
mod panic;
pub mod stack;
pub mod stopwatch;
pub mod uart;
