//! What the firmware needs of a board. Everything is a trait of `embedded-hal`, `embedded-io` or `embedded-storage`,
//! but for the clock and the watchdog, for which these have none.

use core::num::NonZeroU32;

use embedded_hal::digital::{InputPin, OutputPin};
use embedded_io::{Read, ReadReady, Write, WriteReady};
use embedded_storage::nor_flash::NorFlash;
use pinfold_core::{board, interlock::Flight};

/// A board: the types of its devices, and how to come by them.
pub trait Platform: Sized {
    /// The serial port of the link, 115,200 baud. Damaged and lost bytes need no care: the frames' checksums find them.
    type Link: Read + ReadReady + Write + WriteReady;
    /// The permit line: high is the permit. It must be held low from outside while the board doesn't drive it.
    type Permit: OutputPin;
    /// The permit once more, as pulses that a stuck processor can't make.
    type Pulses: OutputPin;
    /// The line that tells a pilot in flight, and takes nothing away.
    type Advice: OutputPin;
    /// A lamp that blinks while the firmware runs.
    type Lamp: OutputPin;
    /// What comes in by wires.
    type Inputs: Inputs;
    /// The two slots of the limits, an erase unit each, and nothing else.
    type Flash: NorFlash;
    /// The clock.
    type Clock: Clock;
    /// The watchdog.
    type Watchdog: Watchdog;

    /// Makes the permit inactive by a write to the register, whoever has the pin: the first thing at the start, and the
    /// last after a fault.
    fn drop_permit();

    /// Sends bytes on the serial port of the log, which `devices` set up. What can't be sent is lost: the log is a comfort, the
    /// link is the interface.
    fn log(bytes: &[u8]);

    /// The devices, set up, the permit inactive. To be called once.
    fn devices() -> Devices<Self>;
}

/// The devices of a board.
#[expect(missing_debug_implementations, reason = "peripherals of a HAL seldom have one, and nobody would print them")]
pub struct Devices<P: Platform> {
    /// The link.
    pub link: P::Link,
    /// The permit line.
    pub permit: P::Permit,
    /// The permit as pulses.
    pub pulses: P::Pulses,
    /// The advice line.
    pub advice: P::Advice,
    /// The lamp.
    pub lamp: P::Lamp,
    /// What the limits are kept in, and what guards them.
    pub hardware: Hardware<P::Flash, P::Inputs>,
    /// The clock.
    pub clock: P::Clock,
    /// The watchdog.
    pub watchdog: P::Watchdog,
}

/// What the limits are kept in, and what guards them.
#[derive(Debug)]
pub struct Hardware<F, I> {
    /// The two slots.
    pub flash: F,
    /// What comes in by wires.
    pub inputs: I,
}

impl<F: NorFlash, I: Inputs> board::Hardware for Hardware<F, I> {
    type Flash = F;

    fn flash(&mut self) -> &mut F {
        &mut self.flash
    }

    fn held(&mut self) -> bool {
        self.inputs.held()
    }
}

/// What comes in by wires.
pub trait Inputs {
    /// Whether limits may be loaded: a jumper or button is held.
    fn held(&mut self) -> bool;

    /// Whether the aircraft flies; nothing where no wire tells.
    fn flight(&mut self) -> Option<Flight>;
}

/// Pins that come in: the load switch, high while it is held, and a line that is high while the aircraft flies, where
/// there is one.
#[derive(Debug)]
pub struct Pins<S, L> {
    /// The load switch.
    pub load_switch: S,
    /// High while the aircraft flies.
    pub flying: Option<L>,
}

impl<S: InputPin, L: InputPin> Inputs for Pins<S, L> {
    /// A switch that can't be read isn't held.
    fn held(&mut self) -> bool {
        self.load_switch.is_high().unwrap_or(false)
    }

    /// A line that can't be read tells nothing.
    fn flight(&mut self) -> Option<Flight> {
        let flies = self.flying.as_mut()?.is_high().ok()?;
        Some(if flies { Flight::Flying } else { Flight::Ground })
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
