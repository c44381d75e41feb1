//! How long something takes, in ticks of the machine's clock.
//!
//! Under an emulator that advances its time by 128 ns with every instruction, a tick is 40 ns and
//! instructions = (ticks * 40 + 64) / 128.

use crate::hardware::Timer;

const COUNTS: u32 = 1;

/// A timer that runs.
#[derive(Debug)]
pub struct Stopwatch(Timer);

impl Stopwatch {
    /// Starts the timer.
    #[must_use]
    pub fn new(mut timer: Timer) -> Self {
        timer.reload.write(u32::MAX);
        timer.value.write(u32::MAX);
        timer.control.write(COUNTS);
        Self(timer)
    }

    /// What the timer shows now.
    #[must_use]
    pub fn now(&self) -> u32 {
        self.0.value.read()
    }

    /// Ticks since it showed `then`.
    #[must_use]
    pub fn since(&self, then: u32) -> u32 {
        then.wrapping_sub(self.now())
    }
}
