//! The memory of the slots.
//!
//! The emulated machine has no flash that can be written. Memory that no program section lies in stands for one: it
//! survives a reset, an erase sets all bits of a slot, and programming only clears bits.

use super::registers::{slots_mark, slots_word};
use crate::slots::{Memory, Slots, WORDS};

const ERASED: u32 = u32::MAX;
/// Tells a reset from power that has come: then memory holds anything, where a new flash is erased.
const MARK: u32 = 0x5107_F1A5;

/// Memory that stands for a flash.
#[derive(Debug)]
pub struct Flash(());

impl Flash {
    /// As it was left, or new.
    pub(super) fn slots() -> Slots<Self> {
        let mut flash = Self(());
        if slots_mark().read() != MARK {
            (0..2).for_each(|slot| {
                let _ = flash.erase(slot);
            });
            slots_mark().write(MARK);
        }
        Slots(flash)
    }
}

impl Memory for Flash {
    fn read(&self, word: usize) -> Option<u32> {
        slots_word(word).map(|word| word.read())
    }

    fn program(&mut self, word: usize, bits: u32) -> Option<()> {
        let mut held = slots_word(word)?;
        held.write(held.read() & bits);
        Some(())
    }

    fn erase(&mut self, slot: usize) -> Option<()> {
        const HALF: usize = WORDS / 2;
        let mut words = match slot {
            0 => 0..HALF,
            1 => HALF..WORDS,
            _ => return None,
        };
        words.try_for_each(|word| slots_word(word).map(|mut word| word.write(ERASED)))
    }
}
