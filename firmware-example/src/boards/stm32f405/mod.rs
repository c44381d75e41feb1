//! A board with an STM32F405: see `README.md` beside this file for wiring, memory and what has not been tried.

mod flash;
mod lines;
mod registers;
mod serial;
mod time;

pub use flash::Flash;
pub use lines::{Advice, Flying, Lamp, LoadSwitch, Permit, Pulses};
pub use serial::Serial;
pub use time::{Clock, Watchdog};

use embedded_io::Write as _;
use registers::{clocks, first_serial, second_serial};

use crate::{
    platform::{Devices, Hardware, Pins, Platform},
    slots::Slots,
};

/// A board with an STM32F405.
#[derive(Debug)]
pub struct Stm32f405;

impl Platform for Stm32f405 {
    type Link = Serial;
    type Permit = Permit;
    type Pulses = Pulses;
    type Advice = Advice;
    type Lamp = Lamp;
    type Inputs = Pins<LoadSwitch, Flying>;
    type Flash = Slots<Flash>;
    type Clock = Clock;
    type Watchdog = Watchdog;

    fn drop_permit() {
        lines::drop_permit();
    }

    fn log(bytes: &[u8]) {
        let _ = Serial::again(second_serial()).write_all(bytes);
    }

    fn devices() -> Devices<Self> {
        // First, so that whatever follows can't hang for ever.
        let watchdog = Watchdog::new();
        lines::set_up();
        let buses = time::speed_up();
        clocks().apb2enr().modify(|_, w| w.usart1en().set_bit());
        clocks().apb1enr().modify(|_, w| w.usart2en().set_bit());
        // Where no wire tells whether the aircraft flies, `flying` is `None`.
        let inputs = Pins { load_switch: lines::Input, flying: Some(lines::Input) };
        // The log's port.
        let _ = Serial::new(second_serial(), buses.slow);
        Devices {
            link: Serial::new(first_serial(), buses.fast),
            permit: lines::Output,
            pulses: lines::Output,
            advice: lines::Output,
            lamp: lines::Output,
            hardware: Hardware { flash: Flash::slots(), inputs },
            clock: Clock::new(&buses),
            watchdog,
        }
    }
}
