//! The boards. A feature of the package chooses one: [`Here`].

#[cfg(feature = "emulated")]
pub mod emulated;

#[cfg(feature = "emulated")]
pub use emulated::Emulated as Here;

#[cfg(not(feature = "emulated"))]
compile_error!("choose a board: --features emulated");
