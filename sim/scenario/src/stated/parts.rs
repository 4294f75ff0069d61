//! From a scenario to the sleeve and the rod extension as their owner states them.

use super::Stated;
use super::designation::{self, NoDesignation};
use crate::Scenario;
use latchstroke_core::studies::parts::PartsStatement;
use latchstroke_models::fault::Fault;
use latchstroke_models::field;

/// The statement of a scenario.
///
/// # Errors
/// A fault at the thread if its text is no designation of one.
pub fn statement(scenario: &Scenario) -> Result<PartsStatement, Vec<Fault>> {
    let Stated { parts, thread, .. } = Stated::of(scenario);
    let read = thread.map(|text| designation::parse(&text)).transpose();
    read.map_err(|NoDesignation { message, right }| {
        vec![Fault { field: field!(PartsStatement, thread), what: message.into(), right: right.into() }]
    })?;
    Ok(parts)
}
