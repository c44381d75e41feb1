//! What the firmware needs of a board. Everything is a trait of `embedded-hal`, `embedded-io` or `embedded-storage`, but for the
//! clock and the watchdog, for which these have none.

use core::num::NonZeroU32;

use embedded_hal::digital::{InputPin, OutputPin};
use embedded_io::{Read, ReadReady, Write, WriteReady};
use embedded_storage::nor_flash::NorFlash;

/// A board: the types of its devices, and how to come by them.
pub trait Platform: Sized {
    /// The serial port of the link, 115,200 baud. Damaged and lost bytes need no care: the frames' checksums find them.
    type Link: Read + ReadReady + Write + WriteReady;
    /// The serial port of the log.
    type Log: Write;
    /// The permit line: high is the permit. It must be held low from outside while the board doesn't drive it.
    type Permit: OutputPin;
    /// The line that tells a pilot in flight, and takes nothing away.
    type Advice: OutputPin;
    /// A lamp that blinks while the firmware runs.
    type Lamp: OutputPin;
    /// The jumper or button that lets limits be loaded: high while it is held.
    type LoadSwitch: InputPin;
    /// The two slots of the limits, an erase unit each, and nothing else.
    type Flash: NorFlash;
    /// The clock.
    type Clock: Clock;
    /// The watchdog.
    type Watchdog: Watchdog;

    /// Makes the permit inactive by a write to the register, whoever has the pin: the first thing at the start, and the last
    /// after a fault.
    fn drop_permit();

    /// The devices and the log, set up, the permit inactive. To be called once.
    fn devices() -> (Devices<Self>, Self::Log);
}

/// The devices of a board.
#[expect(missing_debug_implementations, reason = "peripherals of a HAL seldom have one, and nobody would print them")]
pub struct Devices<P: Platform> {
    /// The link.
    pub link: P::Link,
    /// The permit line.
    pub permit: P::Permit,
    /// The advice line.
    pub advice: P::Advice,
    /// The lamp.
    pub lamp: P::Lamp,
    /// What the limits are kept in, and what guards them.
    pub hardware: Hardware<P::Flash, P::LoadSwitch>,
    /// The clock.
    pub clock: P::Clock,
    /// The watchdog.
    pub watchdog: P::Watchdog,
}

/// What the limits are kept in, and what guards them.
#[derive(Debug)]
pub struct Hardware<F, S> {
    /// The two slots.
    pub flash: F,
    /// The jumper or button.
    pub load_switch: S,
}

impl<F: NorFlash, S: InputPin> Hardware<F, S> {
    /// Whether limits may be loaded. A switch that can't be read isn't held.
    pub fn held(&mut self) -> bool {
        self.load_switch.is_high().unwrap_or(false)
    }
}

/// A counter that never stops.
pub trait Clock {
    /// How much it counts in a millisecond.
    const TICKS_IN_MS: NonZeroU32;

    /// What it shows: it counts up and starts again at 0. All 32 bits take longer than the watchdog waits.
    fn ticks(&self) -> u32;
}

/// Resets the board when it isn't fed. It must wait for longer than a piece of a route is judged or a slot is erased.
pub trait Watchdog {
    /// All is well.
    fn feed(&mut self);
}
