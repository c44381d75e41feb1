//! Milliseconds from a counter.

use crate::platform::Clock;

/// How much of the time has been told.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Elapsed {
    told: u32,
}

impl Elapsed {
    /// From now on.
    pub(crate) fn new(clock: &impl Clock) -> Self {
        Self { told: clock.ticks() }
    }

    /// Whole milliseconds that have passed and weren't told yet. What is less than one is told later: nothing is lost.
    pub(crate) fn milliseconds<C: Clock>(&mut self, clock: &C) -> u32 {
        let passed = clock.ticks().wrapping_sub(self.told);
        let rest = passed % C::TICKS_IN_MS;
        self.told = self.told.wrapping_add(passed.wrapping_sub(rest));
        passed / C::TICKS_IN_MS
    }
}
