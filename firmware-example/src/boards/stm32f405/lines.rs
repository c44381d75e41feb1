//! Pins.

use core::convert::Infallible;

use embedded_hal::digital::{ErrorType, InputPin, OutputPin};

use super::registers::{clocks, port_a, port_b};

const PERMIT: u8 = 0;
const ADVICE: u8 = 1;
const LAMP: u8 = 5;
const LOAD_SWITCH: u8 = 12;

/// A pin of port B that goes out.
#[derive(Debug)]
pub struct Output<const NUMBER: u8>;

/// PB0.
pub type Permit = Output<PERMIT>;
/// PB1.
pub type Advice = Output<ADVICE>;
/// PB5.
pub type Lamp = Output<LAMP>;

/// PB12, pulled down: a wire that is off isn't held.
#[derive(Debug)]
pub struct LoadSwitch;

/// Makes the permit inactive, whatever was set up before.
pub(super) fn drop_permit() {
    clocks().ahb1enr().modify(|_, w| w.gpioben().set_bit());
    port_b().bsrr().write(|w| w.br(PERMIT).set_bit().br(ADVICE).set_bit());
    port_b().moder().modify(|_, w| w.moder(PERMIT).output().moder(ADVICE).output());
}

/// Sets up all pins, the serial ports' too. What goes out is low.
pub(super) fn set_up() {
    drop_permit();
    clocks().ahb1enr().modify(|_, w| w.gpioaen().set_bit());
    port_b().pupdr().modify(|_, w| w.pupdr(PERMIT).pull_down().pupdr(LOAD_SWITCH).pull_down());
    port_b().moder().modify(|_, w| w.moder(LAMP).output());
    // PA9 and PA10 for the link, PA2 for the log: alternate function 7. What comes in rests high while nothing is joined.
    port_a().pupdr().modify(|_, w| w.pupdr(10).pull_up());
    port_a().afrh().modify(|_, w| w.afrh9().af7().afrh10().af7());
    port_a().afrl().modify(|_, w| w.afrl2().af7());
    port_a().moder().modify(|_, w| w.moder(9).alternate().moder(10).alternate().moder(2).alternate());
}

impl<const NUMBER: u8> ErrorType for Output<NUMBER> {
    type Error = Infallible;
}

impl<const NUMBER: u8> OutputPin for Output<NUMBER> {
    fn set_low(&mut self) -> Result<(), Infallible> {
        port_b().bsrr().write(|w| w.br(NUMBER).set_bit());
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        port_b().bsrr().write(|w| w.bs(NUMBER).set_bit());
        Ok(())
    }
}

impl ErrorType for LoadSwitch {
    type Error = Infallible;
}

impl InputPin for LoadSwitch {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        Ok(port_b().idr().read().idr(LOAD_SWITCH).bit_is_set())
    }

    fn is_low(&mut self) -> Result<bool, Infallible> {
        self.is_high().map(|high| !high)
    }
}
