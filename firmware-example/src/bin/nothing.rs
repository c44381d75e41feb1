//! An image that does nothing: what the start alone takes. The sizes of other images less this one's are their own.

#![no_std]
#![no_main]

use cortex_m_rt::entry;
use pinfold_firmware as _;

#[entry]
fn main() -> ! {
    loop {
        core::hint::spin_loop();
    }
}
