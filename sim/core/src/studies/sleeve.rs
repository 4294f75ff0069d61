//! How long must the sleeve be? The window of lengths that work, what each does, and the one to make.
//!
//! The trip lift is y_trip = c_0 − S + t (clearance c_0 from the plain abutment to the prongs, sleeve S, prong travel t). The
//! rod is lengthened by as much as the sleeve, E = S, so that the springs stay as they are without either.

mod recommend;
mod sweep;
mod window;

pub use recommend::{Group, Recommendation, Refusal, Served, recommend, served};
pub use sweep::{Step, Thrown, as_stated, at_length, sweep};
pub use window::{Unknown, Window, window};

use super::judge::{Cast, Judgement, Terms, judge_all};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::Length;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The machine, its stack measured.
    pub stated: &'a MachineStatement,
    /// The casts, each size at the pace at which it is cast; at least one.
    pub casts: &'a [Cast],
    /// What is asked of every cast.
    pub terms: Terms,
    /// How far the trip lift may be off, m: the stated tolerances of all that sets it, used up.
    pub tolerance: f64,
}

impl Question<'_> {
    /// The machine with a sleeve of `length` (m) and the rod lengthened by as much.
    pub fn with_sleeve(&self, length: f64) -> MachineStatement {
        let mut stated = self.stated.clone();
        stated.abutment.sleeve = Length(length);
        stated.abutment.extension = Length(length);
        stated
    }

    fn machine(
        &self,
        stated: &MachineStatement,
        cast: Cast,
        setting: LatchSetting,
    ) -> Result<Machine, Vec<Fault>> {
        Machine::prepare(stated, cast.sort, cast.pace, setting)
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The window.
    pub window: Window,
    /// How far the trip lift may be off, m.
    pub tolerance: f64,
    /// Each cast judged with the sleeve and the extension that the machine has.
    pub judged: Vec<Judgement>,
    /// What each length does, the shortest first.
    pub steps: Vec<Step>,
    /// What the machine does with the sleeve and extension it has.
    pub present: Step,
    /// Force of the springs at rest in the machine as it is, N.
    pub preload: f64,
    /// With which lengths each cast keeps all limits.
    pub served: Vec<Served>,
    /// The length to make.
    pub recommendation: Result<Recommendation, Refusal>,
}

/// Solves everything for sleeves of `lengths` (m).
///
/// # Errors
/// The faults of the statement.
pub fn study(question: &Question<'_>, window: Window, lengths: &[f64]) -> Result<Answer, Vec<Fault>> {
    let present = as_stated(question)?;
    let served = served(question, &window);
    Ok(Answer {
        window,
        tolerance: question.tolerance,
        judged: judge_all(question.stated, question.casts, &question.terms)?,
        steps: sweep(question, lengths)?,
        preload: present.preload,
        recommendation: recommend(question, &window, &served)?,
        present,
        served,
    })
}
