//! Tells the linker where the memory of the board is, and where the texts of the log go.

use std::env;

/// A feature of this package each, and a folder of `src/boards`.
const BOARDS: [&str; 2] = ["emulated", "stm32f405"];

fn main() {
    let chosen = |board: &str| env::var_os(format!("CARGO_FEATURE_{}", board.to_uppercase())).is_some();
    for board in BOARDS.into_iter().filter(|board| chosen(board)) {
        println!("cargo:rerun-if-changed=src/boards/{board}/memory.x");
        println!("cargo:rustc-link-search={}/src/boards/{board}", env!("CARGO_MANIFEST_DIR"));
    }
    println!("cargo:rustc-link-arg-bins=-Tlink.x");
    // The texts of the log, which stay in the ELF file and take no memory of the board.
    println!("cargo:rustc-link-arg-bins=-Tdefmt.x");
}
