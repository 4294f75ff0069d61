//! From a scenario to the sleeve and the rod extension as their owner states them.

use super::designation::{NamedThread, NoDesignation};
use crate::scenario::Scenario;
use latchstroke_models::fault::Fault;

/// A working length of the stack with its tolerance, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedLength {
    /// The length, m.
    pub length: f64,
    /// Half-width of the stated tolerance, m.
    pub tolerance: Option<f64>,
}

/// Sleeve and rod extension as stated; what is `None` was left out. Lengths in m, strengths in Pa.
#[derive(Debug, Clone, PartialEq)]
pub struct PartsStatement {
    /// Length of the sleeve, where there is one.
    pub sleeve: Option<StatedLength>,
    /// Length of the extension, where there is one.
    pub extension: Option<StatedLength>,
    /// Diameter of the plain rod.
    pub rod_diameter: Option<f64>,
    /// Length of the plain rod.
    pub rod_length: Option<f64>,
    /// Bore of the sleeve.
    pub sleeve_bore: Option<f64>,
    /// Outside diameter of the sleeve.
    pub sleeve_outside: Option<f64>,
    /// Diameter of the register.
    pub register_diameter: Option<f64>,
    /// Length of the register.
    pub register_length: Option<f64>,
    /// Thread of rod and nut.
    pub thread: Option<NamedThread>,
    /// Length of the thread for the nut.
    pub thread_length: Option<f64>,
    /// Thread by which the extension holds on the rod.
    pub engagement: Option<f64>,
    /// Outside diameter of the extension.
    pub extension_outside: Option<f64>,
    /// Distance across the spanner flats.
    pub spanner_flats: Option<f64>,
    /// Material of both pieces.
    pub material: Option<String>,
    /// Yield strength.
    pub yield_strength: Option<f64>,
    /// Tensile strength.
    pub tensile_strength: Option<f64>,
}

/// The statement of a scenario.
///
/// # Errors
/// A fault at `parts.thread` if its text is no designation of a thread.
pub fn statement(scenario: &Scenario) -> Result<PartsStatement, Vec<Fault>> {
    let stated = |key: &str| scenario.quantity(&format!("parts.{key}")).map(|quantity| quantity.si);
    let stack = |path: &str| {
        let quantity = scenario.quantity(path).filter(|quantity| quantity.si > 0.0)?;
        Some(StatedLength { length: quantity.si, tolerance: quantity.tolerance_si.filter(|t| *t > 0.0) })
    };
    let thread = scenario.text("parts.thread").map(NamedThread::parse).transpose().map_err(
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
