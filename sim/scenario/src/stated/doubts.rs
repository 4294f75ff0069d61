//! From a scenario to what of it is not known: the values at play, what remembered casts tell of two of them, and machines drawn.

use super::experience::{experiences, priors};
use super::tolerance;
use crate::{Scenario, key};
use latchstroke_core::limits::Freezings;
use latchstroke_core::studies::calibrate::{Posterior, calibrate};
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::judge::{Acceptance, Cast};
use latchstroke_core::studies::odds::{Believed, Draw, Odds, Question};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::sleeve::{self, About, Unknown};
use latchstroke_core::studies::tolerance::{Case, Input};
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
pub struct Drawn<T> {
    /// The values at play.
    pub inputs: Vec<Input>,
    /// The machines drawn and what each answers; none where every value counts as exact, or once the work is called off.
    pub answers: Option<T>,
}

impl<T> Drawn<T> {
    /// The same with what is made of the answers.
    pub fn map<U>(self, make: impl FnOnce(T) -> U) -> Drawn<U> {
        Drawn { inputs: self.inputs, answers: self.answers.map(make) }
    }
}

/// Draws machines of all that a scenario does not know, each judged for every cast. Of one sequence (the seed) the first machines are the
/// same however many are drawn.
///
/// # Errors
/// The faults of the statement.
pub fn draw(
    scenario: &Scenario,
    stated: &MachineStatement,
    asked: (&[Cast], Pacing),
    (draws, seed): (usize, u32),
    watch: &impl Watch,
) -> Result<Drawn<Odds>, Vec<Fault>> {
    drawn(scenario, stated, asked, |question| question.draw(draws, seed, watch))
}

/// The same machines, each with the length of the sleeve that would be made for it.
///
/// # Errors
/// The faults of the statement, or that nothing says how its trip lift hangs on the sleeve.
pub fn draw_lengths(
    scenario: &Scenario,
    stated: &MachineStatement,
    (casts, pacing): (&[Cast], Pacing),
    draws: (usize, u32),
    watch: &impl Watch,
) -> Result<Drawn<Vec<Draw<Option<f64>>>>, Unknown> {
    let terms = super::terms(scenario);
    let freezings = Freezings::on(&terms);
    let paced = casts.iter().map(|cast| pacing.cast(stated, *cast, &freezings));
    let paced = paced.collect::<Result<Vec<Cast>, _>>().map_err(Unknown::Faults)?;
    let about = About::new(&sleeve::Question { stated, casts: &paced, terms, tolerance: 0.0 })?;
    drawn(scenario, stated, (casts, pacing), |question| question.lengths(&about, draws, watch))
        .map_err(Unknown::Faults)
}

/// The scenario with other SI values for some full keys.
type Varied<'a> = &'a (dyn Fn(&[(&str, f64)]) -> Result<Case, Vec<Fault>> + Sync);

fn drawn<T>(
    scenario: &Scenario,
    stated: &MachineStatement,
    (casts, pacing): (&[Cast], Pacing),
    ask: impl FnOnce(Question<'_, Varied<'_>>) -> Option<T>,
) -> Result<Drawn<T>, Vec<Fault>> {
    let mut inputs = tolerance::inputs(scenario);
    let posterior = believed(scenario, stated)?;
    let believed = posterior.as_ref().map(|posterior| Believed {
        posterior,
        film: place(scenario, &mut inputs, key!(MouldStatement, heat_transfer)),
        skin: place(scenario, &mut inputs, key!(Acceptance, skin)),
    });
    if inputs.is_empty() {
        return Ok(Drawn { inputs, answers: None });
    }
    let vary: Varied = &|values| tolerance::varied(scenario, values, Pacing::Fixed);
    let question = Question { vary: &vary, inputs: &inputs, believed, casts, pacing };
    let answers = ask(question);
    Ok(Drawn { inputs, answers })
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
