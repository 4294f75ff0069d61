//! Any loudness as what was heard: clicks in order at finite times, and turns or a reason why there are none.
#![no_main]

#[path = "../tries/clicks.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| tried::tries(bytes));
