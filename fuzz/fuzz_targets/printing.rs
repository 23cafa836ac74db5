#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| backline_fuzz::printing::run(bytes));
