//! Any bytes as a recording: heard or refused, and what is heard is told in finite numbers.

#[path = "../../../sim/program/src/recording.rs"]
mod read;

use latchstroke_sound::{clicks, turns};
use std::fs;
use std::path::Path;

/// The endings that say of a file what it should be.
const ENDINGS: [&str; 6] = ["wav", "flac", "mp3", "ogg", "m4a", "aiff"];

/// Tries one file, in a folder of its own.
pub fn tries(folder: &Path, bytes: &[u8]) {
    let path = &folder.join("any").with_extension(ENDINGS[bytes.len() % ENDINGS.len()]);
    fs::write(path, bytes).expect("a file");
    match read::hear(path) {
        Ok(heard) => {
            assert!(heard.bins.iter().all(|bin| bin.is_finite() && *bin >= 0.0));
            assert!(heard.level.is_finite() && heard.loudest.is_finite() && (0.0..=1.0).contains(&heard.cut));
            assert!(read::length(&heard).is_finite());
            let found = clicks(&heard);
            assert!(
                found.iter().all(|click| click.time.is_finite()
                    && click.rise.is_finite()
                    && click.energy.is_finite())
            );
            if let Ok(turns) = turns(&heard, &found, None) {
                assert!(turns.period.is_finite() && turns.period > 0.0);
            }
        }
        Err(why) => assert!(!why.is_empty() && why.len() < 1000, "{why}"),
    }
}
