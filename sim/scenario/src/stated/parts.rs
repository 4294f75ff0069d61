//! From a scenario to the sleeve and the rod extension as their owner states them.

use super::designation::{self, NoDesignation};
use crate::Scenario;
use latchstroke_core::studies::parts::PartsStatement;
use latchstroke_models::fault::Fault;

/// The statement of a scenario.
///
/// # Errors
/// A fault at `parts.thread` if its text is no designation of a thread.
pub fn statement(scenario: &Scenario) -> Result<PartsStatement, Vec<Fault>> {
    let stated = |key: &str| scenario.quantity(&format!("parts.{key}")).map(|quantity| quantity.si);
    let stack = |path: &str| scenario.quantity(path).map(|length| length.si).filter(|length| *length > 0.0);
    let thread = scenario.text("parts.thread").map(designation::parse).transpose().map_err(
        |NoDesignation { message, right }| {
            vec![Fault { key: "parts.thread".to_owned(), what: message, right }]
        },
    )?;
    Ok(PartsStatement {
        sleeve: stack("stack.sleeve"),
        extension: stack("stack.extension"),
        rod_diameter: stated("rod_diameter"),
        rod_length: stated("rod_length"),
        sleeve_bore: stated("sleeve_bore"),
        sleeve_outside: stated("sleeve_outside"),
        register_diameter: stated("register_diameter"),
        register_length: stated("register_length"),
        thread,
        thread_length: stated("thread_length"),
        engagement: stated("engagement"),
        extension_outside: stated("extension_outside"),
        spanner_flats: stated("spanner_flats"),
        material: scenario.text("parts.material").map(str::to_owned),
        yield_strength: stated("yield_strength"),
        tensile_strength: stated("tensile_strength"),
    })
}
