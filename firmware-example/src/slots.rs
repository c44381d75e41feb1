//! The two slots of the limits as a flash of its own, over words of 32 bits.

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash, check_erase, check_read, check_write,
};

const WORD: usize = 4;
/// Bytes of a slot, which is one erase unit.
pub const SLOT_BYTES: usize = 16 * 1024;
/// Words of both.
pub const WORDS: usize = 2 * SLOT_BYTES / WORD;

/// The memory of both slots, in which every word has a number. `None` where there is no such word, or the memory
/// refuses.
pub trait Memory {
    /// What a word holds.
    fn read(&self, word: usize) -> Option<u32>;
    /// Clears those bits of a word that are 0 here.
    fn program(&mut self, word: usize, bits: u32) -> Option<()>;
    /// Sets all bits of the first slot (0) or the second (1).
    fn erase(&mut self, slot: usize) -> Option<()>;
}

/// The two slots.
#[derive(Debug)]
pub struct Slots<M>(pub M);

impl<M> ErrorType for Slots<M> {
    type Error = NorFlashErrorKind;
}

impl<M: Memory> ReadNorFlash for Slots<M> {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(self, offset, bytes.len())?;
        for (at, byte) in (index(offset)..).zip(bytes) {
            let word = self.0.read(at / WORD).ok_or(NorFlashErrorKind::Other)?;
            *byte = word.to_le_bytes().into_iter().nth(at % WORD).ok_or(NorFlashErrorKind::Other)?;
        }
        Ok(())
    }

    fn capacity(&self) -> usize {
        WORDS * WORD
    }
}

impl<M: Memory> NorFlash for Slots<M> {
    const WRITE_SIZE: usize = WORD;
    const ERASE_SIZE: usize = SLOT_BYTES;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        check_erase(self, from, to)?;
        let slots = index(from) / SLOT_BYTES..index(to) / SLOT_BYTES;
        slots.into_iter().try_for_each(|slot| self.0.erase(slot)).ok_or(NorFlashErrorKind::Other)
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(self, offset, bytes.len())?;
        let words = bytes.as_chunks::<WORD>().0.iter().map(|word| u32::from_le_bytes(*word));
        let written = (index(offset) / WORD..).zip(words).try_for_each(|(at, bits)| self.program(at, bits));
        written.ok_or(NorFlashErrorKind::Other)
    }
}

impl<M: Memory> Slots<M> {
    /// Programs a word and looks whether it took.
    fn program(&mut self, word: usize, bits: u32) -> Option<()> {
        let expected = self.0.read(word)? & bits;
        self.0.program(word, bits)?;
        (self.0.read(word)? == expected).then_some(())
    }
}

/// As an offset of the flash; a number that is none becomes one that the checks refuse.
fn index(offset: u32) -> usize {
    usize::try_from(offset).unwrap_or(usize::MAX)
}
