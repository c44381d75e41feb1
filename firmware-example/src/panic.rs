//! The proof that no panic can be reached.
//!
//! The panic handler calls a function that doesn't exist. The linker drops a handler that nothing can reach; where
//! something can, the image doesn't link.

use core::panic::PanicInfo;

use crate::{boards::Here, platform::Platform as _};

#[expect(unsafe_code, reason = "a function that doesn't exist can only be declared this way; nothing is ever called")]
unsafe extern "C" {
    /// Exists nowhere. If the linker misses it, a panic can be reached: find the call that leads here.
    safe fn a_panic_can_be_reached() -> !;
}

#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    Here::drop_permit();
    a_panic_can_be_reached()
}
