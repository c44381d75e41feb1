//! The slots of the limits.
//!
//! The emulated machine has no flash that can be written. Memory that no program section lies in stands for one: it survives a
//! reset, an erase sets all bits of a slot, and programming only clears bits.

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash, check_erase, check_read, check_write,
};

use super::registers::{SLOTS_BYTES, slots_mark, slots_word};

const WORD: usize = 4;
const SLOT: usize = SLOTS_BYTES / 2;
const ERASED: u32 = u32::MAX;
/// Tells a reset from power that has come: then memory holds anything, where a new flash is erased.
const MARK: u32 = 0x5107_F1A5;

/// Two slots of 16 KiB.
#[derive(Debug)]
pub struct Flash(());

impl Flash {
    /// As it was left, or new.
    pub(super) fn new() -> Self {
        if slots_mark().read() != MARK {
            erase(0, SLOTS_BYTES);
            slots_mark().write(MARK);
        }
        Self(())
    }
}

fn erase(from: usize, to: usize) {
    (from..to).step_by(WORD).filter_map(slots_word).for_each(|mut word| word.write(ERASED));
}

/// As an offset of the flash; a number that is none becomes one that the checks refuse.
fn index(offset: u32) -> usize {
    usize::try_from(offset).unwrap_or(usize::MAX)
}

impl ErrorType for Flash {
    type Error = NorFlashErrorKind;
}

impl ReadNorFlash for Flash {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(self, offset, bytes.len())?;
        for (at, byte) in (index(offset)..).zip(bytes) {
            let word = slots_word(at & !3).ok_or(NorFlashErrorKind::OutOfBounds)?.read();
            *byte = word.to_le_bytes().into_iter().nth(at & 3).ok_or(NorFlashErrorKind::Other)?;
        }
        Ok(())
    }

    fn capacity(&self) -> usize {
        SLOTS_BYTES
    }
}

impl NorFlash for Flash {
    const WRITE_SIZE: usize = WORD;
    const ERASE_SIZE: usize = SLOT;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        check_erase(self, from, to)?;
        erase(index(from), index(to));
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(self, offset, bytes.len())?;
        for (at, word) in (index(offset)..).step_by(WORD).zip(bytes.as_chunks::<WORD>().0) {
            let mut held = slots_word(at).ok_or(NorFlashErrorKind::OutOfBounds)?;
            held.write(held.read() & u32::from_le_bytes(*word));
        }
        Ok(())
    }
}
