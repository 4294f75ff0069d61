//! Results in an owner's words and units: tables, findings, cautions, data for programs, and files.
//!
//! One module for each command: what [`latchstroke_core`] answers goes in, as plain structs, with the owner's units
//! ([`owner::OwnerUnits`]) of a [`latchstroke_scenario::Scenario`]; words, JSON, CSV and pictures come out. Nothing is decided here.

// Some words are said by what is written to a disk alone.
#![cfg_attr(not(feature = "files"), allow(dead_code))]

pub mod calibrate;
mod came_out;
pub mod cautions;
pub mod charts;
pub mod check;
#[cfg(feature = "files")]
mod csv;
pub mod film;
pub mod findings;
#[cfg(feature = "files")]
pub mod fit;
#[cfg(feature = "files")]
pub mod handout;
pub mod json;
pub mod judge;
pub mod limits;
#[cfg(feature = "files")]
pub mod listen;
#[cfg(feature = "files")]
pub mod measure;
pub mod names;
pub mod odds;
#[cfg(feature = "files")]
pub mod outbox;
pub mod owner;
#[cfg(feature = "files")]
pub mod pace;
#[cfg(feature = "files")]
pub mod parts;
#[cfg(feature = "files")]
pub mod preload;
#[cfg(feature = "files")]
pub mod reading;
#[cfg(feature = "files")]
pub mod sleeve;
pub mod sweep;
mod table;
#[cfg(feature = "files")]
pub mod talk;
#[cfg(feature = "files")]
pub mod tolerance;
#[cfg(feature = "files")]
pub mod trace;
pub mod turn;
#[cfg(feature = "files")]
pub mod warm;
pub mod wrong;

/// What the model leaves out, in short.
pub(crate) const LEFT_OUT: &str = "The waves within the springs and the splashing of the jet are left out. The mould’s wall stands at one temperature.";

/// All, each once, in their order.
pub fn each_once<T: PartialEq>(all: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut found: Vec<T> = Vec::new();
    for one in all {
        if !found.contains(&one) {
            found.push(one);
        }
    }
    found
}

/// At most `most` of `count` things, as their numbers: the first, the last, and as many evenly between.
pub fn a_few(count: usize, most: usize) -> impl Iterator<Item = usize> {
    let drawn = count.min(most);
    (0..drawn).map(move |n| n * count.saturating_sub(1) / drawn.saturating_sub(1).max(1))
}
