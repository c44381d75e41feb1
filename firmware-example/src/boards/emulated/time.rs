//! The clock and the watchdog.

use core::num::NonZeroU32;

use super::registers::{CLOCK, Timer, WatchdogTimer};
use crate::platform;

const COUNTS: u32 = 1;
const COUNTS_AND_RESETS: u32 = 3;
const KEY: u32 = 0x1ACC_E551;
/// The watchdog counts this down twice: four seconds in all.
const HALF_OF_PATIENCE: u32 = 2 * CLOCK;

/// A timer that runs: all it can count takes 171 seconds.
#[derive(Debug)]
pub struct Clock(Timer);

impl Clock {
    /// Starts the timer.
    #[must_use]
    pub fn new(mut timer: Timer) -> Self {
        timer.reload.write(u32::MAX);
        timer.value.write(u32::MAX);
        timer.control.write(COUNTS);
        Self(timer)
    }
}

impl platform::Clock for Clock {
    const TICKS_IN_MS: NonZeroU32 = NonZeroU32::new(CLOCK / 1000).expect("a constant above 0");

    fn ticks(&self) -> u32 {
        // The timer counts down.
        !self.0.value.read()
    }
}

/// The watchdog, which waits for four seconds.
#[derive(Debug)]
pub struct Watchdog(WatchdogTimer);

impl Watchdog {
    /// Starts the watchdog.
    pub(super) fn new(mut timer: WatchdogTimer) -> Self {
        timer.lock.write(KEY);
        timer.load.write(HALF_OF_PATIENCE);
        timer.control.write(COUNTS_AND_RESETS);
        timer.lock.write(0);
        Self(timer)
    }
}

impl platform::Watchdog for Watchdog {
    fn feed(&mut self) {
        self.0.lock.write(KEY);
        self.0.clear.write(1);
        self.0.lock.write(0);
    }
}
