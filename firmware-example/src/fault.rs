//! After a fault: the permit goes at once, and nothing else happens until the watchdog resets the board.
#![expect(unsafe_code, reason = "handlers of exceptions are declared so; their bodies are safe")]

use cortex_m_rt::exception;

use crate::{boards::Here, platform::Platform as _};

/// Memory that isn't there, an instruction that isn't one, a stack that has run out.
#[exception(trampoline = false)]
unsafe fn HardFault() -> ! {
    stop()
}

/// An interrupt that nobody asked for, and the watchdog's own warning.
#[exception]
unsafe fn DefaultHandler(_: i16) -> ! {
    stop()
}

fn stop() -> ! {
    loop {
        Here::drop_permit();
    }
}
