//! Any text as a quantity of any kind: it is read as a finite number or refused at a place within it; what is read reads back.
#![no_main]

#[path = "../tries/quantity.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|text: &str| tried::tries(text));
