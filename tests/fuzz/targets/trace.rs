//! Any bytes as the table of what was measured of a machine: read as finite readings in the order of time, or refused.
#![no_main]

#[path = "../tries/trace.rs"]
mod tried;

thread_local!(static FOLDER: tempfile::TempDir = tempfile::tempdir().expect("a folder"));

libfuzzer_sys::fuzz_target!(|table: &[u8]| FOLDER.with(|folder| tried::tries(folder.path(), table)));
