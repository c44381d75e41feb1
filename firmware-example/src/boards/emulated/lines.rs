//! Lines of the board that go out and come in.
//!
//! The emulated machine has no pins. What goes out are lamps, whose registers the emulator's monitor shows; what comes
//! in is said over the third serial port: `h` holds the load switch, `r` releases it; `g` is an aircraft on the ground,
//! `f` one that flies, `n` a wire that tells nothing. After a reset the switch is released, and nothing is told.

use core::convert::Infallible;

use embedded_hal::digital::{ErrorType, OutputPin};
use pinfold_core::interlock::Flight;

use super::{
    registers::{Register, lamps, more_lamps},
    uart::Uart,
};
use crate::platform::Inputs;

/// A line that goes out: a lamp.
#[derive(Debug)]
pub struct Lamp {
    register: Register,
    bit: u32,
}

impl Lamp {
    /// The permit.
    pub(super) const PERMIT: Self = Self { register: lamps(), bit: 1 };
    /// The advice.
    pub(super) const ADVICE: Self = Self { register: lamps(), bit: 2 };
    /// What blinks.
    pub(super) const ALIVE: Self = Self { register: more_lamps(), bit: 1 };
    /// The permit as pulses.
    pub(super) const PULSES: Self = Self { register: more_lamps(), bit: 2 };
}

impl ErrorType for Lamp {
    type Error = Infallible;
}

impl OutputPin for Lamp {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.register.write(self.register.read() & !self.bit);
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        self.register.write(self.register.read() | self.bit);
        Ok(())
    }
}

/// What is said over the third serial port.
#[derive(Debug)]
pub struct Said {
    port: Uart,
    held: bool,
    flight: Option<Flight>,
}

impl Said {
    /// Nothing yet.
    pub(super) const fn new(port: Uart) -> Self {
        Self { port, held: false, flight: None }
    }

    fn listen(&mut self) {
        while let Some(byte) = self.port.try_receive() {
            match byte {
                b'h' => self.held = true,
                b'r' => self.held = false,
                b'f' => self.flight = Some(Flight::Flying),
                b'g' => self.flight = Some(Flight::Ground),
                b'n' => self.flight = None,
                _ => {}
            }
        }
    }
}

impl Inputs for Said {
    fn held(&mut self) -> bool {
        self.listen();
        self.held
    }

    fn flight(&mut self) -> Option<Flight> {
        self.listen();
        self.flight
    }
}
