//! How sure the answer of the main job is.

use latchstroke_core::studies::job::{Answer, Job, Size};
use latchstroke_core::studies::judge::{Cast, Verdict};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::watch::{Unwatched, Watch};
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_report::odds::Doubts;
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated::doubts::{DRAWS, Drawn, SEED, draw};
use latchstroke_scenario::stated::tolerance::inputs;

/// The doubts about each size of an answer, at the pace it is told for. Nothing is drawn where there is no verdict to be sure of.
///
/// # Errors
/// The faults of the statement.
pub(super) fn of<'a>(scenario: &'a Scenario, job: &Job, answer: &Answer) -> Result<Doubts<'a>, Vec<Fault>> {
    let told = || answer.sizes.iter().filter_map(Size::told);
    if told().all(|told| told.verdict == Verdict::NotKnown) {
        return Ok(Doubts { scenario, inputs: inputs(scenario), odds: None });
    }
    let casts: Vec<Cast> = told().map(|told| told.cast).collect();
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
    let Drawn { inputs, answers: odds } = draw(scenario, stated, asked, (DRAWS, SEED), watch)?;
    Ok(Doubts { scenario, inputs, odds })
}
