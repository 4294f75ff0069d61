//! Any bytes as a recording: heard or refused, and what is heard is told in finite numbers.

#[path = "../../../sim/program/src/recording.rs"]
mod read;

use latchstroke_sound::{clicks, turns};
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;

/// The endings that say of a file what it should be.
const ENDINGS: [&str; 6] = ["wav", "flac", "mp3", "ogg", "m4a", "aiff"];

/// Tries one.
pub fn tries(bytes: &[u8]) {
    static FOLDER: OnceLock<(tempfile::TempDir, Vec<PathBuf>)> = OnceLock::new();
    let (_, paths) = FOLDER.get_or_init(|| {
        let folder = tempfile::tempdir().expect("a folder");
        let paths = ENDINGS.map(|ending| folder.path().join("any").with_extension(ending)).to_vec();
        (folder, paths)
    });
    let path = &paths[bytes.len() % paths.len()];
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
