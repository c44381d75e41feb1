//! A board with an STM32F405: see `README.md` beside this file for wiring, memory and what has not been tried.

mod flash;
mod lines;
mod registers;
mod serial;
mod time;

pub use flash::Flash;
pub use lines::{Advice, Lamp, LoadSwitch, Permit};
pub use serial::Serial;
pub use time::{Clock, Watchdog};

use registers::{clocks, first_serial, second_serial};

use crate::{
    platform::{Devices, Hardware, Platform},
    slots::Slots,
};

/// A board with an STM32F405.
#[derive(Debug)]
pub struct Stm32f405;

impl Platform for Stm32f405 {
    type Link = Serial;
    type Log = Serial;
    type Permit = Permit;
    type Advice = Advice;
    type Lamp = Lamp;
    type LoadSwitch = LoadSwitch;
    type Flash = Slots<Flash>;
    type Clock = Clock;
    type Watchdog = Watchdog;

    fn drop_permit() {
        lines::drop_permit();
    }

    fn devices() -> (Devices<Self>, Serial) {
        // First, so that whatever follows can't hang for ever.
        let watchdog = Watchdog::new();
        lines::set_up();
        let buses = time::speed_up();
        clocks().apb2enr().modify(|_, w| w.usart1en().set_bit());
        clocks().apb1enr().modify(|_, w| w.usart2en().set_bit());
        let devices = Devices {
            link: Serial::new(first_serial(), buses.fast),
            permit: lines::Output,
            advice: lines::Output,
            lamp: lines::Output,
            hardware: Hardware { flash: Flash::slots(), load_switch: LoadSwitch },
            clock: Clock::new(&buses),
            watchdog,
        };
        (devices, Serial::new(second_serial(), buses.slow))
    }
}
