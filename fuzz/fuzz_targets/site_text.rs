#![no_main]

libfuzzer_sys::fuzz_target!(|input: &[u8]| pinfold::fuzz::site_text(input));
