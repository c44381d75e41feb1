//! A board in memory: the real one of the core, with flash and an input that tests hold.

pub mod bench;
pub mod faults;
mod flash;
pub mod host;
pub mod layout;
pub mod sample;
pub mod states;

use pinfold_core::link::{Ask, PIECE};

pub use bench::{Bench, RamHardware};
pub use flash::{Failing, Order, RamFlash, SECTOR};

/// A file in pieces, in order, and how many bytes have been taken after each.
///
/// # Panics
/// It is longer than 4 GiB.
pub fn pieces(file: &[u8]) -> impl Iterator<Item = (Ask, u32)> {
    file.chunks(PIECE).scan(0, |taken, piece| {
        let offset = *taken;
        *taken += u32::try_from(piece.len()).expect("short");
        Some((Ask::Piece { offset, bytes: piece.iter().copied().collect() }, *taken))
    })
}
