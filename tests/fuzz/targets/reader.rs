//! Any text as a scenario: it is read or refused, each mistake at a place in it; what is read reads back from what is written out.
#![no_main]

#[path = "../tries/reader.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|text: &str| tried::tries(text));
