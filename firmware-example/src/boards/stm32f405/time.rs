//! The processor's clock, the clock that counts, and the watchdog.

use core::num::NonZeroU32;

use super::registers::{clocks, flash_controller, timer, watchdog};
use crate::platform;

/// The internal oscillator, Hz.
const INTERNAL: u32 = 16_000_000;
/// How often is looked whether the multiplied clock has settled: some milliseconds, where a third of one is enough.
const LOOKS: u32 = 10_000;

/// The clocks of the buses, Hz.
pub(super) struct Buses {
    /// The first serial port's.
    pub(super) fast: u32,
    /// The second serial port's.
    pub(super) slow: u32,
    /// The timer's.
    timer: u32,
}

/// Multiplies the internal oscillator to 96 MHz. Where that doesn't settle, it stays at 16 MHz: slow, but right.
pub(super) fn speed_up() -> Buses {
    // What the register holds after a reset: 16 MHz / 16 * 192 / 2.
    clocks().pllcfgr().reset();
    clocks().cr().modify(|_, w| w.pllon().set_bit());
    if !(0..LOOKS).any(|_| clocks().cr().read().pllrdy().bit_is_set()) {
        return Buses { fast: INTERNAL, slow: INTERNAL, timer: INTERNAL };
    }
    // Three wait states up to 120 MHz at 2.7 V and more. The cache for data stays off: it would hold what a slot held before.
    flash_controller().acr().modify(|_, w| w.latency().ws3().prften().set_bit().icen().set_bit());
    clocks().cfgr().modify(|_, w| w.ppre1().div4().ppre2().div2());
    clocks().cfgr().modify(|_, w| w.sw().pll());
    while !clocks().cfgr().read().sws().is_pll() {}
    // Timers of a slowed bus run at twice its speed.
    Buses { fast: 48_000_000, slow: 24_000_000, timer: 48_000_000 }
}

/// A timer that counts microseconds: all it can count takes 71 minutes.
#[derive(Debug)]
pub struct Clock(());

impl Clock {
    pub(super) fn new(buses: &Buses) -> Self {
        let divisor = u16::try_from(buses.timer / 1_000_000).unwrap_or(u16::MAX);
        clocks().apb1enr().modify(|_, w| w.tim2en().set_bit());
        timer().psc().write(|w| w.psc().set(divisor.saturating_sub(1)));
        timer().arr().write(|w| w.arr().set(u32::MAX));
        // The divisor counts from the next start at 0 on, which this is.
        timer().egr().write(|w| w.ug().set_bit());
        timer().cr1().modify(|_, w| w.cen().set_bit());
        Self(())
    }
}

impl platform::Clock for Clock {
    const TICKS_IN_MS: NonZeroU32 = NonZeroU32::new(1000).expect("a constant above 0");

    fn ticks(&self) -> u32 {
        timer().cnt().read().cnt().bits()
    }
}

/// The independent watchdog, which has an oscillator of its own.
#[derive(Debug)]
pub struct Watchdog(());

impl Watchdog {
    /// Starts the watchdog. Its oscillator says 32 kHz and may have 17 to 47: four seconds, 2.7 to 7.5.
    pub(super) fn new() -> Self {
        watchdog().kr().write(|w| w.key().start());
        watchdog().kr().write(|w| w.key().unlock());
        watchdog().pr().write(|w| w.pr().divide_by64());
        watchdog().rlr().write(|w| w.rl().set(2000));
        let settling = || watchdog().sr().read().pvu().bit_is_set() || watchdog().sr().read().rvu().bit_is_set();
        while settling() {}
        watchdog().kr().write(|w| w.key().feed());
        Self(())
    }
}

impl platform::Watchdog for Watchdog {
    fn feed(&mut self) {
        watchdog().kr().write(|w| w.key().feed());
    }
}
