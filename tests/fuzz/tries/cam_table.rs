//! Any bytes as the table of a cam beside a scenario: read or refused, and each mistake at a line of the table.

use latchstroke_scenario::{Unread, open};
use std::fs;
use std::sync::OnceLock;

/// A machine whose cam is measured, its readings in a table beside it.
const SCENARIO: &str = include_str!("../../program/scenarios/measured_in_inches.toml");

/// Tries one.
pub fn tries(table: &[u8]) {
    static FOLDER: OnceLock<tempfile::TempDir> = OnceLock::new();
    let folder = FOLDER.get_or_init(|| {
        let folder = tempfile::tempdir().expect("a folder");
        let from = SCENARIO.find("\nreadings").expect("readings") + 1;
        let to = from + SCENARIO[from..].find("\n[").expect("a section after them");
        let text = format!("{}readings_file = \"cam.csv\"\n{}", &SCENARIO[..from], &SCENARIO[to..]);
        fs::write(folder.path().join("any.toml"), text).expect("a file");
        folder
    });
    fs::write(folder.path().join("cam.csv"), table).expect("a file");
    match open(&folder.path().join("any.toml"), &[]) {
        Ok(scenario) => assert_eq!(scenario.files().len(), 2),
        Err(Unread::Unusable(why)) => panic!("{why}"),
        Err(Unread::Mistakes(mistakes)) => assert!(!mistakes.list().is_empty()),
    }
}
