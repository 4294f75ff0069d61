//! What the scenario module promises.
//!
//! - `units`: published sizes of units
//! - `quantities`: numbers, fractions, tolerances and faults in them
//! - `catalogue`: the catalogue agrees with itself
//! - `files`: the scenario files and the template read, and write back; blanks are asked for
//! - `mistakes`: every mistake at its line and column, all at once
//! - `listing`: how mistakes look; no text upsets the reader
//! - `owners_words`: what an owner is likely to write, answered in an owner's words and units
//! - `parts_that_fit`: parts that do not go together are refused, or remarked on
//! - `measured_cams`: the ways to state readings, their order, and slips among them
//! - `disk`: files too long, in another writing, or not there
//! - `overrides`: values from the command line
//! - `schema`: the JSON Schema takes what the reader takes
//! - `stated`: every key goes to a place of its own, and every fault comes back to it

mod catalogue;
mod disk;
mod files;
mod listing;
mod measured_cams;
mod mistakes;
mod overrides;
mod owners_words;
mod parts_that_fit;
mod quantities;
mod schema;
mod stated;
mod units;

use super::quantity::System;
use super::template::{Form, new_scenario};
use super::{Mistakes, Override, Scenario, read};

/// The scenario files of the project.
const LARGE_INITIALS: &str = include_str!("../../../../scenarios/large_initials.toml");
const KNOWN_CASTS: &str = include_str!("../../../../scenarios/known_casts.toml");
const SMALL_TYPE: &str = include_str!("../../../../scenarios/small_type.toml");
const WRONG_SLEEVE: &str = include_str!("../../../../scenarios/wrong_sleeve.toml");

/// A complete scenario of an invented machine, every key in it.
fn example() -> String {
    new_scenario(Form::Example, System::Metric)
}

/// Reads a text that is expected to hold no mistake.
fn good(text: &str) -> Scenario {
    good_with(text, &[])
}

fn good_with(text: &str, overrides: &[&str]) -> Scenario {
    attempt(text, overrides).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

/// The mistakes of a text, one line to each as shown in a plain listing.
fn mistakes(text: &str, overrides: &[&str]) -> Vec<String> {
    match attempt(text, overrides) {
        Ok(_) => Vec::new(),
        Err(mistakes) => {
            let listing = mistakes.to_string();
            let mut lines: Vec<String> = listing.lines().map(str::to_owned).collect();
            lines.pop();
            lines
        }
    }
}

fn attempt(text: &str, overrides: &[&str]) -> Result<Scenario, Mistakes> {
    let overrides: Vec<Override> = overrides.iter().map(|text| Override::parse(text)).collect();
    read("t.toml", text, &overrides)
}

/// `SMALL_TYPE` with one passage replaced by another.
fn small_type_with(old: &str, new: &str) -> String {
    assert!(SMALL_TYPE.contains(old), "no `{old}` to replace");
    SMALL_TYPE.replacen(old, new, 1)
}
