//! What the tests of the whole share: builders of limits and routes.

pub mod board;
pub mod copied;
pub mod emulator;
pub mod fuzz;
pub mod measured;
pub mod odd;
pub mod oracle;
pub mod packed;
pub mod sample;
pub mod tried;
