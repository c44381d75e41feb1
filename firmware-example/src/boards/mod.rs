//! The boards. A feature of the package chooses one: [`Here`].

#[cfg(feature = "emulated")]
pub mod emulated;
#[cfg(feature = "stm32f405")]
pub mod stm32f405;

#[cfg(feature = "emulated")]
pub use emulated::Emulated as Here;
#[cfg(feature = "stm32f405")]
pub use stm32f405::Stm32f405 as Here;

#[cfg(not(any(feature = "emulated", feature = "stm32f405")))]
compile_error!("choose a board: --features emulated, or --no-default-features --features stm32f405");
#[cfg(all(feature = "emulated", feature = "stm32f405"))]
compile_error!("choose one board: for the STM32F405, --no-default-features --features stm32f405");
