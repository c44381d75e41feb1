//! Lines of the board that go out and come in.
//!
//! The emulated machine has no pins. What goes out are lamps, whose registers the emulator's monitor shows; what comes in is said
//! over the third serial port: `h` holds the load switch, `r` releases it. After a reset it is released.

use core::convert::Infallible;

use embedded_hal::digital::{ErrorType, InputPin, OutputPin};

use super::{
    registers::{Register, lamps, more_lamps},
    uart::Uart,
};

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

/// The load switch.
#[derive(Debug)]
pub struct LoadSwitch {
    port: Uart,
    held: bool,
}

impl LoadSwitch {
    /// A switch that is not held.
    pub(super) const fn new(port: Uart) -> Self {
        Self { port, held: false }
    }
}

impl ErrorType for LoadSwitch {
    type Error = Infallible;
}

impl InputPin for LoadSwitch {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        while let Some(byte) = self.port.try_receive() {
            self.held = byte == b'h' || self.held && byte != b'r';
        }
        Ok(self.held)
    }

    fn is_low(&mut self) -> Result<bool, Infallible> {
        self.is_high().map(|high| !high)
    }
}
