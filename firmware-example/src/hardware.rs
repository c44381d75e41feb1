//! The machine's addresses, and the only unsafe code of the firmware: reads and writes of single words.
#![expect(unsafe_code, reason = "a register is an address; that these addresses are registers is known here alone")]

/// A register of the machine, 32 bits wide.
#[derive(Debug)]
pub struct Register(usize);

impl Register {
    const fn at(block: usize, offset: usize) -> Self {
        Self(block | offset)
    }

    /// What it holds.
    #[must_use]
    pub fn read(&self) -> u32 {
        // SAFETY: only this file makes a `Register`, each at a multiple of 4 at which the machine has one. Reading it changes
        // nothing that Rust knows of.
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

/// Ticks of the machine's clock in a second.
pub const CLOCK: u32 = 25_000_000;

unsafe extern "C" {
    /// The lowest word of the stack, as the linker script of `cortex-m-rt` has it.
    static _stack_end: u32;
    /// The word above the stack's highest.
    static _stack_start: u32;
}

/// The words of the stack, from the lowest: the last to be used.
pub fn stack_words() -> impl Iterator<Item = u32> {
    let (lowest, end) = (&raw const _stack_end, &raw const _stack_start);
    (lowest.addr()..end.addr()).step_by(size_of::<u32>()).map(move |address| {
        // SAFETY: the address is a multiple of 4 between the two ends of the stack, so there is a word of memory. It may be
        // in use: then what is read means nothing, which does no harm, since all that is asked is whether it was ever written.
        unsafe { lowest.with_addr(address).read_volatile() }
    })
}
