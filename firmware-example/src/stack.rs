//! How much of the stack was ever used. The start-up code paints it; what is no longer painted was used.
#![expect(
    unsafe_code,
    reason = "the ends of the stack are known to the linker alone, and its words are nobody's to read"
)]

use cortex_m_rt::STACK_PAINT_VALUE;

unsafe extern "C" {
    /// The lowest word of the stack, as the linker script of `cortex-m-rt` has it.
    static _stack_end: u32;
    /// The word above the stack's highest.
    static _stack_start: u32;
}

/// How much of the stack there is and was used, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Use {
    /// The most that was used at any time since the start.
    pub(crate) most: u32,
    /// All of it.
    pub(crate) size: u32,
}

/// Looks how far up the paint reaches.
#[must_use]
pub(crate) fn most_used() -> Use {
    let bytes = |words: usize| u32::try_from(words.saturating_mul(size_of::<u32>())).unwrap_or(u32::MAX);
    let size = bytes(stack_words().count());
    let untouched = bytes(stack_words().take_while(|word| *word == STACK_PAINT_VALUE).count());
    Use { most: size.saturating_sub(untouched), size }
}

/// The words of the stack, from the lowest: the last to be used.
fn stack_words() -> impl Iterator<Item = u32> {
    let (lowest, end) = (&raw const _stack_end, &raw const _stack_start);
    (lowest.addr()..end.addr()).step_by(size_of::<u32>()).map(move |address| {
        // SAFETY: the address is a multiple of 4 between the two ends of the stack, so there is a word of memory. It
        // may be in use: then what is read means nothing, which does no harm, since all that is asked is whether it was
        // ever written.
        unsafe { lowest.with_addr(address).read_volatile() }
    })
}
