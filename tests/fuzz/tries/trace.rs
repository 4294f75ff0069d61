//! Any bytes as the table of what was measured of a machine: read as finite readings in the order of time, or refused.

use latchstroke_core::fit::curve::Part;
use latchstroke_scenario::measured::{Reading, trace};
use latchstroke_scenario::{Look, Unread};
use std::fs;
use std::path::Path;

/// The ways in which a table may be said to be read.
const READINGS: [Reading; 3] = [
    Reading { part: None, frames: None, marks: false, pixel: None, free_scale: false },
    Reading { part: Some(Part::Rod), frames: Some(240.0), marks: true, pixel: Some(1e-4), free_scale: false },
    Reading { part: Some(Part::Piston), frames: Some(30.0), marks: false, pixel: None, free_scale: true },
];

/// Which columns are named with each of them.
const COLUMNS: [Option<&str>; 3] = [None, None, Some("t ms,remark,piston mm")];

/// Tries one table, in a folder of its own.
pub fn tries(folder: &Path, table: &[u8]) {
    let path = &folder.join("trace.csv");
    fs::write(path, table).expect("a file");
    for (reading, columns) in READINGS.iter().zip(COLUMNS) {
        match trace(path, columns, reading) {
            Ok(trace) => {
                let readings = &trace.measured.readings;
                assert!(
                    readings.iter().all(|(time, place)| time.is_finite() && place.is_finite()),
                    "{readings:?}"
                );
                assert!(readings.windows(2).all(|pair| pair[0].0 < pair[1].0), "{readings:?}");
            }
            Err(Unread::Unusable(why)) => assert!(!why.is_empty()),
            Err(Unread::Mistakes(mistakes)) => {
                assert!(!mistakes.list().is_empty());
                assert!(mistakes.render(Look::Plain, 100).len() < 200_000);
            }
        }
    }
}
