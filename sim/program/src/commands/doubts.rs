//! What is not known of a machine, and how sure the answer of the main job is.

use super::calibrate::believed;
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::job::{Answer, Job, Size};
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::odds::{Believed, Odds, Question};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::tolerance::Input;
use latchstroke_core::studies::watch::{Unwatched, Watch};
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::MouldStatement;
use latchstroke_report::odds::Doubts;
use latchstroke_scenario::Scenario;
use latchstroke_scenario::key;
use latchstroke_scenario::stated::tolerance;

/// How many machines are drawn: enough to tell 95 in 100 from 75 in 100, in well under a second.
const DRAWS: usize = 128;
/// Which of the sequences of draws.
const SEED: u32 = 1;

/// What is not known of a scenario, and machines drawn of it.
pub(super) struct Drawn {
    /// The values at play.
    pub inputs: Vec<Input>,
    /// The machines drawn, each judged for every cast; none where every value counts as exact, or once the work is called off.
    pub odds: Option<Odds>,
}

/// Draws machines of all that a scenario does not know.
///
/// # Errors
/// The faults of the statement.
pub(super) fn draw(
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

/// The doubts about each size of an answer, at the pace it is told for.
///
/// # Errors
/// The faults of the statement.
pub(super) fn of<'a>(scenario: &'a Scenario, job: &Job, answer: &Answer) -> Result<Doubts<'a>, Vec<Fault>> {
    let casts: Vec<Cast> = answer.sizes.iter().filter_map(Size::told).map(|told| told.cast).collect();
    about(scenario, job.stated, (&casts, job.pacing()), &Unwatched)
}

/// The doubts about casts, at the paces that `pacing` gives them.
///
/// # Errors
/// The faults of the statement.
pub(super) fn about<'a>(
    scenario: &'a Scenario,
    stated: &MachineStatement,
    asked: (&[Cast], Pacing),
    watch: &impl Watch,
) -> Result<Doubts<'a>, Vec<Fault>> {
    let Drawn { inputs, odds } = draw(scenario, stated, asked, (DRAWS, SEED), watch)?;
    Ok(Doubts { scenario, inputs, odds })
}

/// Where a value that remembered casts tell of stands among the inputs; it joins them where the scenario states it as exact.
fn place(scenario: &Scenario, inputs: &mut Vec<Input>, path: &str) -> usize {
    inputs.iter().position(|input| input.path == path).unwrap_or_else(|| {
        let stated = scenario.quantity(path).map_or(f64::NAN, |quantity| quantity.si);
        inputs.push(Input { path: path.to_owned(), stated, distribution: Distribution::within(stated, 0.0) });
        inputs.len() - 1
    })
}
