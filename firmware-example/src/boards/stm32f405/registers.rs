//! The blocks of registers that this board uses, and the words of the slots.
#![expect(unsafe_code, reason = "registers and flash are addresses; that they are there is known here alone")]

use stm32f4::stm32f405::{
    FLASH, GPIOA, GPIOB, IWDG, RCC, TIM2, USART1, USART2, flash, gpioa, gpiob, iwdg, rcc, tim2, usart1,
};

use crate::slots::WORDS;

macro_rules! blocks {
    ($($(#[$doc:meta])* $name:ident: $peripheral:ident, $block:path;)*) => {$(
        $(#[$doc])*
        pub(super) fn $name() -> &'static $block {
            // SAFETY: the block is there as long as the chip is. There is one thread and no interrupt, and what the registers
            // hold is changed through cells.
            unsafe { &*$peripheral::ptr() }
        }
    )*};
}

blocks! {
    /// Resets and clocks.
    clocks: RCC, rcc::RegisterBlock;
    /// Pins PA0 to PA15.
    port_a: GPIOA, gpioa::RegisterBlock;
    /// Pins PB0 to PB15.
    port_b: GPIOB, gpiob::RegisterBlock;
    /// The serial port of the link.
    first_serial: USART1, usart1::RegisterBlock;
    /// The serial port of the log.
    second_serial: USART2, usart1::RegisterBlock;
    /// A timer of 32 bits.
    timer: TIM2, tim2::RegisterBlock;
    /// The independent watchdog.
    watchdog: IWDG, iwdg::RegisterBlock;
    /// What erases and programs the flash.
    flash_controller: FLASH, flash::RegisterBlock;
}

/// Sectors 2 and 3 of the flash. `memory.x` keeps the program out of them.
const SLOTS: usize = 0x0800_8000;

fn slots_word(number: usize) -> Option<*mut u32> {
    (number < WORDS).then(|| core::ptr::with_exposed_provenance_mut(SLOTS | number << 2))
}

/// What a word of the slots holds.
pub(super) fn read_slots(number: usize) -> Option<u32> {
    // SAFETY: a word of the flash, in which there is nothing that Rust knows of.
    slots_word(number).map(|word| unsafe { word.read_volatile() })
}

/// Writes a word of the slots, which programs it if the flash controller is set to that.
pub(super) fn write_slots(number: usize, bits: u32) -> Option<()> {
    // SAFETY: as above. If the controller isn't set to it, it notes an error and nothing is written.
    slots_word(number).map(|word| unsafe { word.write_volatile(bits) })
}
