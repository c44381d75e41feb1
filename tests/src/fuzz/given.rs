//! Decisions out of the bytes of an input. Where the bytes end, all that follows is the first choice.

use arbitrary::Unstructured;

/// What is left of an input.
pub(super) struct Given<'a>(Unstructured<'a>);

impl<'a> Given<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self(Unstructured::new(bytes))
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// A number below `count`.
    pub(super) fn below(&mut self, count: usize) -> usize {
        self.0.int_in_range(0..=count - 1).unwrap_or(0)
    }

    /// A number from `low` up to and with `high`.
    pub(super) fn between(&mut self, low: i32, high: i32) -> i32 {
        self.0.int_in_range(low..=high).unwrap_or(low)
    }

    /// One of some.
    pub(super) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }

    /// The same of what can't be copied.
    pub(super) fn pick_of<T, const N: usize>(&mut self, from: [T; N]) -> T {
        let number = self.below(N);
        from.into_iter().nth(number).expect("one of them")
    }

    pub(super) fn byte(&mut self) -> u8 {
        self.0.arbitrary().unwrap_or(0)
    }

    pub(super) fn yes(&mut self) -> bool {
        self.byte() & 1 == 1
    }

    /// Up to so many bytes, fewer where there are no more.
    pub(super) fn bytes(&mut self, most: usize) -> &'a [u8] {
        let count = self.below(most + 1).min(self.0.len());
        self.0.bytes(count).unwrap_or(&[])
    }
}
