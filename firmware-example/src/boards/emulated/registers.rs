//! The machine's addresses: reads and writes of single words.
#![expect(unsafe_code, reason = "a register is an address; that these addresses are registers is known here alone")]

use crate::slots::WORDS;

/// A register of the machine, 32 bits wide, or a word of the memory that no program section lies in.
#[derive(Debug)]
pub struct Register(usize);

impl Register {
    const fn at(block: usize, offset: usize) -> Self {
        Self(block | offset)
    }

    /// What it holds.
    #[must_use]
    pub fn read(&self) -> u32 {
        // SAFETY: only this file makes a `Register`, each at a multiple of 4 at which the machine has one. Reading it
        // changes nothing that Rust knows of.
        unsafe { core::ptr::with_exposed_provenance::<u32>(self.0).read_volatile() }
    }

    /// Makes it hold `value`.
    pub fn write(&mut self, value: u32) {
        // SAFETY: as for `read`; no register here starts a transfer to or from memory.
        unsafe { core::ptr::with_exposed_provenance_mut::<u32>(self.0).write_volatile(value) }
    }
}

/// The registers of a serial port (CMSDK APB UART).
#[derive(Debug)]
pub struct SerialPort {
    /// The byte that came, or goes.
    pub data: Register,
    /// Bit 0: no room for a byte to go. Bit 1: a byte has come.
    pub state: Register,
    /// Bit 0: sends. Bit 1: receives.
    pub control: Register,
    /// Ticks of the clock in a bit.
    pub divisor: Register,
}

impl SerialPort {
    const fn at(block: usize) -> Self {
        Self {
            data: Register::at(block, 0x0),
            state: Register::at(block, 0x4),
            control: Register::at(block, 0x8),
            divisor: Register::at(block, 0x10),
        }
    }

    /// The first port: the link.
    #[must_use]
    pub const fn first() -> Self {
        Self::at(0x4000_4000)
    }

    /// The second port: the log.
    #[must_use]
    pub const fn second() -> Self {
        Self::at(0x4000_5000)
    }

    /// The third port: the load switch.
    #[must_use]
    pub const fn third() -> Self {
        Self::at(0x4000_6000)
    }
}

/// The registers of a timer (CMSDK APB timer): it counts down.
#[derive(Debug)]
pub struct Timer {
    /// Bit 0: counts.
    pub control: Register,
    /// The count.
    pub value: Register,
    /// What it starts at after 0.
    pub reload: Register,
}

impl Timer {
    /// The first timer.
    #[must_use]
    pub const fn first() -> Self {
        const BLOCK: usize = 0x4000_0000;
        Self { control: Register::at(BLOCK, 0x0), value: Register::at(BLOCK, 0x4), reload: Register::at(BLOCK, 0x8) }
    }
}

/// The registers of the watchdog (CMSDK APB watchdog): it counts down twice, then resets the machine.
#[derive(Debug)]
pub struct WatchdogTimer {
    /// What it starts at.
    pub load: Register,
    /// Bit 0: counts. Bit 1: resets.
    pub control: Register,
    /// A write starts the count again.
    pub clear: Register,
    /// The key opens the other registers, anything else closes them.
    pub lock: Register,
}

impl WatchdogTimer {
    /// The only one.
    #[must_use]
    pub const fn only() -> Self {
        const BLOCK: usize = 0x4000_8000;
        Self {
            load: Register::at(BLOCK, 0x0),
            control: Register::at(BLOCK, 0x8),
            clear: Register::at(BLOCK, 0xC),
            lock: Register::at(BLOCK, 0xC00),
        }
    }
}

/// The two lamps of the FPGA I/O block, one bit each, from bit 0.
#[must_use]
pub const fn lamps() -> Register {
    Register::at(0x4002_8000, 0x0)
}

/// The eight lamps of the serial configuration controller, one bit each, from bit 0.
#[must_use]
pub const fn more_lamps() -> Register {
    Register::at(0x4002_F000, 0x4)
}

/// Where the memory of the slots is. `memory.x` keeps the program out of it.
const SLOTS: usize = 0x2001_0000;

/// A word of the slots' memory, if there is one of this number.
pub(super) const fn slots_word(number: usize) -> Option<Register> {
    if number < WORDS { Some(Register::at(SLOTS, number << 2)) } else { None }
}

/// The word above the slots' memory.
pub(super) const fn slots_mark() -> Register {
    Register::at(SLOTS, WORDS << 2)
}

/// Ticks of the machine's clock in a second.
pub const CLOCK: u32 = 25_000_000;
