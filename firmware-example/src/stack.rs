//! How much of the stack was ever used. The start-up code paints it; what is no longer painted was used.

use cortex_m_rt::STACK_PAINT_VALUE;

use crate::hardware::stack_words;

/// How much of the stack there is and was used, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Use {
    /// The most that was used at any time since the start.
    pub most: u32,
    /// All of it.
    pub size: u32,
}

/// Looks how far up the paint reaches.
#[must_use]
pub fn most_used() -> Use {
    let bytes = |words: usize| u32::try_from(words.saturating_mul(size_of::<u32>())).unwrap_or(u32::MAX);
    let size = bytes(stack_words().count());
    let untouched = bytes(stack_words().take_while(|word| *word == STACK_PAINT_VALUE).count());
    Use { most: size.saturating_sub(untouched), size }
}
