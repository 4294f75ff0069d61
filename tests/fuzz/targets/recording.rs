//! Any bytes as a recording: heard or refused, and what is heard is told in finite numbers.
#![no_main]

#[path = "../tries/recording.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| tried::tries(bytes));
