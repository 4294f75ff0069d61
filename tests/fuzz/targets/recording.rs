//! Any bytes as a recording: heard or refused, and what is heard is told in finite numbers.
#![no_main]

#[path = "../tries/recording.rs"]
mod tried;

thread_local!(static FOLDER: tempfile::TempDir = tempfile::tempdir().expect("a folder"));

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| FOLDER.with(|folder| tried::tries(folder.path(), bytes)));
