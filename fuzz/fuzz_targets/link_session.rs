#![no_main]

libfuzzer_sys::fuzz_target!(|input: &[u8]| pinfold_tests::fuzz::session::session(input));
