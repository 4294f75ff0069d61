//! Results in an owner's words and units: tables, findings, cautions, data for programs, and files.
//!
//! One module for each command: what [`latchstroke_core`] answers goes in, as plain structs, with the owner's units
//! ([`owner::OwnerUnits`]) of a [`latchstroke_scenario::Scenario`]; words, JSON, CSV and pictures come out. Nothing is decided here.

pub mod calibrate;
pub mod cautions;
pub mod charts;
pub mod check;
mod csv;
pub mod film;
pub mod findings;
pub mod fit;
pub mod handout;
pub mod json;
pub mod judge;
pub mod limits;
pub mod listen;
pub mod measure;
pub mod names;
pub mod odds;
pub mod outbox;
pub mod owner;
pub mod pace;
pub mod parts;
pub mod preload;
pub mod sleeve;
mod table;
pub mod talk;
pub mod tolerance;
pub mod trace;
pub mod turn;
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
