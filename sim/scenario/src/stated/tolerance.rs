//! From a scenario to a study of its tolerances.

use crate::{Quantity, Scenario};
use latchstroke_core::studies::tolerance::{Case, Input};
use latchstroke_models::fault::Fault;

/// Every value of a scenario that carries a tolerance.
pub fn inputs(scenario: &Scenario) -> Vec<Input> {
    scenario.toleranced().into_iter().map(|(path, stated)| input(path, stated)).collect()
}

fn input(path: String, stated: &Quantity) -> Input {
    Input { path, stated: stated.si, half_width: stated.tolerance_si.unwrap_or(0.0) }
}

/// The length of a scenario's sleeve; nought where it has none.
pub fn sleeve(scenario: &Scenario) -> Input {
    let path = "stack.sleeve".to_owned();
    match scenario.quantity(&path) {
        Some(length) => input(path, length),
        None => Input { path, stated: 0.0, half_width: 0.0 },
    }
}

/// What a scenario has judged.
pub fn case(scenario: &Scenario) -> Case {
    Case { machine: super::machine(scenario), cast: super::cast(scenario), terms: super::terms(scenario) }
}

/// What a scenario has judged with other SI values for some full keys.
///
/// # Errors
/// When a key holds neither a quantity nor a number.
pub fn varied(scenario: &Scenario, values: &[(&str, f64)]) -> Result<Case, Vec<Fault>> {
    scenario.with_values(values).map(|varied| case(&varied)).ok_or_else(Vec::new)
}
