//! Any bytes as the table of a cam beside a scenario: read or refused, and each mistake at a line of the table.
#![no_main]

#[path = "../tries/cam_table.rs"]
mod tried;

thread_local!(static FOLDER: tempfile::TempDir = tempfile::tempdir().expect("a folder"));

libfuzzer_sys::fuzz_target!(|table: &[u8]| FOLDER.with(|folder| tried::tries(folder.path(), table)));
