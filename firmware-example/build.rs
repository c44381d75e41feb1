//! Tells the linker where the memory is.

fn main() {
    println!("cargo:rerun-if-changed=memory.x");
    println!("cargo:rustc-link-search={}", env!("CARGO_MANIFEST_DIR"));
    println!("cargo:rustc-link-arg-bins=-Tlink.x");
}
