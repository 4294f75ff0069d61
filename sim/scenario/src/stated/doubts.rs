//! From a scenario to what of it is not known: the values at play, what remembered casts tell of two of them, and machines drawn.

use super::experience::{experiences, priors};
use super::tolerance;
use crate::{Scenario, key};
use latchstroke_core::studies::calibrate::{Posterior, calibrate};
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::judge::{Acceptance, Cast};
use latchstroke_core::studies::odds::{Believed, Odds, Question};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::tolerance::Input;
use latchstroke_core::studies::watch::{Unwatched, Watch};
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::MouldStatement;

/// How many machines are drawn: enough to tell 95 in 100 from 75 in 100, in well under a second.
pub const DRAWS: usize = 128;
/// Which of the sequences of draws.
pub const SEED: u32 = 1;

/// What is not known of a scenario, and machines drawn of it.
#[derive(Debug)]
pub struct Drawn {
    /// The values at play.
    pub inputs: Vec<Input>,
    /// The machines drawn, each judged for every cast; none where every value counts as exact, or once the work is called off.
    pub odds: Option<Odds>,
}

/// Draws machines of all that a scenario does not know. Of one sequence (the seed) the first machines are the same however many
/// are drawn.
///
/// # Errors
/// The faults of the statement.
pub fn draw(
    scenario: &Scenario,
    stated: &MachineStatement,
    (casts, pacing): (&[Cast], Pacing),
    (draws, seed): (usize, u32),
    watch: &impl Watch,
) -> Result<Drawn, Vec<Fault>> {
    let mut inputs = tolerance::inputs(scenario);
    let posterior = believed(scenario, stated)?;
    let believed = posterior.as_ref().map(|posterior| Believed {
        posterior,
        film: place(scenario, &mut inputs, key!(MouldStatement, heat_transfer)),
        skin: place(scenario, &mut inputs, key!(Acceptance, skin)),
    });
    if inputs.is_empty() {
        return Ok(Drawn { inputs, odds: None });
    }
    let vary = |values: &[(&str, f64)]| tolerance::varied(scenario, values, Pacing::Fixed);
    let question = Question { vary: &vary, inputs: &inputs, believed, casts, pacing };
    let odds = question.draw(draws, seed, watch);
    Ok(Drawn { inputs, odds })
}

/// What the casts of a scenario make one believe; none where it lists none.
fn believed(scenario: &Scenario, machine: &MachineStatement) -> Result<Option<Posterior>, Vec<Fault>> {
    let casts = experiences(scenario);
    if casts.is_empty() {
        return Ok(None);
    }
    let found = calibrate(machine, priors(scenario), &super::terms(scenario), &casts, &Unwatched)?;
    Ok(found.map(|calibration| calibration.posterior))
}

/// Where a value that remembered casts tell of stands among the inputs; it joins them where the scenario states it as exact.
fn place(scenario: &Scenario, inputs: &mut Vec<Input>, path: &str) -> usize {
    inputs.iter().position(|input| input.path == path).unwrap_or_else(|| {
        let stated = scenario.quantity(path).map_or(f64::NAN, |quantity| quantity.si);
        inputs.push(Input { path: path.to_owned(), stated, distribution: Distribution::within(stated, 0.0) });
        inputs.len() - 1
    })
}
