//! Pins.

use core::convert::Infallible;

use embedded_hal::digital::{ErrorType, InputPin, OutputPin};

use super::registers::{clocks, port_a, port_b};

const PERMIT: u8 = 0;
const ADVICE: u8 = 1;
const PULSES: u8 = 6;
const LAMP: u8 = 5;
const LOAD_SWITCH: u8 = 12;
const FLYING: u8 = 13;

/// A pin of port B that goes out.
#[derive(Debug)]
pub struct Output<const NUMBER: u8>;

/// PB0.
pub type Permit = Output<PERMIT>;
/// PB1.
pub type Advice = Output<ADVICE>;
/// PB6.
pub type Pulses = Output<PULSES>;
/// PB5.
pub type Lamp = Output<LAMP>;

/// A pin of port B that comes in.
#[derive(Debug)]
pub struct Input<const NUMBER: u8>;

/// PB12, pulled down: a wire that is off isn't held.
pub type LoadSwitch = Input<LOAD_SWITCH>;
/// PB13, pulled up: with a wire that is off the aircraft flies, and gets no permit.
pub type Flying = Input<FLYING>;

/// Makes the permit inactive, whatever was set up before.
pub(super) fn drop_permit() {
    clocks().ahb1enr().modify(|_, w| w.gpioben().set_bit());
    port_b().bsrr().write(|w| w.br(PERMIT).set_bit().br(PULSES).set_bit().br(ADVICE).set_bit());
    port_b().moder().modify(|_, w| w.moder(PERMIT).output().moder(PULSES).output().moder(ADVICE).output());
}

/// Sets up all pins, the serial ports' too. What goes out is low.
pub(super) fn set_up() {
    drop_permit();
    clocks().ahb1enr().modify(|_, w| w.gpioaen().set_bit());
    port_b().pupdr().modify(|_, w| {
        w.pupdr(PERMIT).pull_down().pupdr(PULSES).pull_down();
        w.pupdr(LOAD_SWITCH).pull_down().pupdr(FLYING).pull_up()
    });
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

impl<const NUMBER: u8> ErrorType for Input<NUMBER> {
    type Error = Infallible;
}

impl<const NUMBER: u8> InputPin for Input<NUMBER> {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        Ok(port_b().idr().read().idr(NUMBER).bit_is_set())
    }

    fn is_low(&mut self) -> Result<bool, Infallible> {
        self.is_high().map(|high| !high)
    }
}
