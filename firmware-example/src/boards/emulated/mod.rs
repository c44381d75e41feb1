//! The emulated machine `mps2-an386`, a Cortex-M4 at 25 MHz.
//!
//! | what | where |
//! | --- | --- |
//! | link | first serial port |
//! | log | second serial port |
//! | load switch | third serial port: `h` holds it, `r` releases it |
//! | flying | third serial port: `g` on the ground, `f` flying, `n` nobody knows |
//! | permit, advice | bits 0 and 1 of the word 0x4002_8000 |
//! | lamp, permit as pulses | bits 0 and 1 of the word 0x4002_F004 |
//! | slots of the limits | 0x2001_0000 to 0x2001_8000, memory that survives a reset |
//! | watchdog | the machine's own |

mod flash;
mod lines;
pub mod registers;
mod time;
mod uart;

pub use flash::Flash;
pub use lines::{Lamp, Said};
use registers::{SerialPort, Timer, WatchdogTimer, lamps, more_lamps};
pub use time::{Clock, Watchdog};
pub use uart::Uart;

use crate::{
    platform::{Devices, Hardware, Platform},
    slots::Slots,
};

/// The emulated machine.
#[derive(Debug)]
pub struct Emulated;

impl Platform for Emulated {
    type Link = Uart;
    type Permit = Lamp;
    type Pulses = Lamp;
    type Advice = Lamp;
    type Lamp = Lamp;
    type Inputs = Said;
    type Flash = Slots<Flash>;
    type Clock = Clock;
    type Watchdog = Watchdog;

    fn drop_permit() {
        lamps().write(0);
        more_lamps().write(0);
    }

    fn log(bytes: &[u8]) {
        Uart::again(SerialPort::second()).send_all(bytes);
    }

    fn devices() -> Devices<Self> {
        // The log's port.
        let _ = Uart::new(SerialPort::second());
        Devices {
            link: Uart::new(SerialPort::first()),
            permit: Lamp::PERMIT,
            pulses: Lamp::PULSES,
            advice: Lamp::ADVICE,
            lamp: Lamp::ALIVE,
            hardware: Hardware { flash: Flash::slots(), inputs: Said::new(Uart::new(SerialPort::third())) },
            clock: Clock::new(Timer::first()),
            watchdog: Watchdog::new(WatchdogTimer::only()),
        }
    }
}
