//! The board: it takes frames from a serial port, judges routes while their bytes arrive, answers there, and sets the
//! permit and the advice line; another serial port has a log for people.
//!
//! `cargo run` starts it under the emulator and says how to talk to it. Other boards: see `src/boards`.

#![no_std]
#![no_main]

use cortex_m_rt::entry;
use pinfold_core::board::Board;
use pinfold_firmware::{boards::Here, firmware, platform::Platform as _};

#[entry]
fn main() -> ! {
    // All the memory that judging needs, at a fixed place.
    static mut BOARD: Board = Board::new();
    Here::drop_permit();
    firmware::run(Here::devices(), BOARD)
}
