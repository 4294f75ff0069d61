//! From a scenario to a study of its tolerances.

use super::Stated;
use crate::{Scenario, key};
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::tolerance::{Case, Input};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::fault::Fault;

/// Every value of a scenario that is not known exactly.
pub fn inputs(scenario: &Scenario) -> Vec<Input> {
    let doubts = scenario.doubts().into_iter();
    doubts.map(|d| Input { path: d.path, stated: d.quantity.si, distribution: d.distribution }).collect()
}

/// The length of a scenario's sleeve; nought where it has none.
pub fn sleeve(scenario: &Scenario) -> Input {
    let path = key!(AbutmentStatement, sleeve).to_owned();
    let (stated, half) =
        scenario.quantity(&path).map_or((0.0, 0.0), |length| (length.si, length.tolerance_si.unwrap_or(0.0)));
    Input { path, stated, distribution: Distribution::within(stated, half) }
}

/// What a scenario has judged.
pub fn case(scenario: &Scenario, pacing: Pacing) -> Case {
    let Stated { machine, cast, terms, .. } = Stated::of(scenario);
    Case { machine, cast, terms, pacing }
}

/// What a scenario has judged with other SI values for some full keys.
///
/// # Errors
/// The faults of an alloy outside the table; none when a key holds neither a quantity nor a number.
pub fn varied(scenario: &Scenario, values: &[(&str, f64)], pacing: Pacing) -> Result<Case, Vec<Fault>> {
    let stated = Stated::of(&scenario.with_values(values).ok_or_else(Vec::new)?);
    if let Some(Err(faults)) = stated.alloy() {
        return Err(faults);
    }
    let Stated { machine, cast, terms, .. } = stated;
    Ok(Case { machine, cast, terms, pacing })
}
