//! Any bytes as the table of a cam beside a scenario: read or refused, and each mistake at a line of the table.

use latchstroke_scenario::{Unread, open};
use std::fs;
use std::path::Path;

/// A machine whose cam is measured, its readings in a table beside it.
const SCENARIO: &str = include_str!("../../program/scenarios/measured_in_inches.toml");

/// Tries one table, in a folder of its own.
pub fn tries(folder: &Path, table: &[u8]) {
    let scenario = folder.join("any.toml");
    if !scenario.exists() {
        let from = SCENARIO.find("\nreadings").expect("readings") + 1;
        let to = from + SCENARIO[from..].find("\n[").expect("a section after them");
        let text = format!("{}readings_file = \"cam.csv\"\n{}", &SCENARIO[..from], &SCENARIO[to..]);
        fs::write(&scenario, text).expect("a file");
    }
    fs::write(folder.join("cam.csv"), table).expect("a file");
    match open(&scenario, &[]) {
        Ok(scenario) => assert_eq!(scenario.files().len(), 2),
        Err(Unread::Unusable(why)) => panic!("{why}"),
        Err(Unread::Mistakes(mistakes)) => assert!(!mistakes.list().is_empty()),
    }
}
