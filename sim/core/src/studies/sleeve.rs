//! How long must the sleeve be? The window of lengths that work, what each does, and the one to make.
//!
//! The trip lift is y_trip = c_0 − S + t (clearance c_0 from the plain abutment to the prongs, sleeve S, prong travel t). The
//! rod is lengthened by as much as the sleeve, E = S, so that the springs stay as they are without either.

mod recommend;
mod sweep;
mod window;

pub use recommend::{Ground, Hindrance, Recommendation, Refusal, recommend};
pub use sweep::{Cast, Step, as_stated, at_length, sweep};
pub use window::{Unknown, Window, window};

use super::judge::{Acceptance, Limits};
use crate::parallel::prelude::*;
use crate::turn::{Accuracy, Turn, solve};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The machine, its stack measured.
    pub stated: &'a MachineStatement,
    /// The sizes to be cast; at least one.
    pub sorts: &'a [Sort],
    /// The pace.
    pub pace: Pace,
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// How the turns are solved.
    pub accuracy: Accuracy,
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
        sort: Sort,
        setting: LatchSetting,
    ) -> Result<Machine, Vec<Fault>> {
        Machine::prepare(stated, sort, self.pace, setting)
    }

    /// The size with the largest mould, of those asked for.
    fn largest(&self) -> Option<Sort> {
        self.sorts.iter().copied().max_by(|a, b| (a.body.0 * a.set.0).total_cmp(&(b.body.0 * b.set.0)))
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The window.
    pub window: Window,
    /// The lift kept in hand at either end of the window, m.
    pub reserve: f64,
    /// Each size with its turn, latch aside, which no sleeve changes, and how long its fill may take.
    pub aside: Vec<(Sort, Turn, Limits)>,
    /// What each length does, the shortest first.
    pub steps: Vec<Step>,
    /// What the machine does with the sleeve and extension it has.
    pub present: Step,
    /// Force of the springs at rest in the machine as it is, N.
    pub preload: f64,
    /// The length to make.
    pub recommendation: Result<Recommendation, Refusal>,
}

/// Solves everything for sleeves of `lengths` (m), keeping `reserve` (m) of lift in hand.
///
/// # Errors
/// The faults of the statement.
pub fn study(
    question: &Question<'_>,
    window: Window,
    lengths: &[f64],
    reserve: f64,
) -> Result<Answer, Vec<Fault>> {
    let aside = question
        .sorts
        .par_iter()
        .map(|&sort| {
            let machine = question.machine(&question.with_sleeve(0.0), sort, LatchSetting::Aside)?;
            let limits = Limits::of(&machine, question.acceptance);
            Ok((sort, solve(&machine, question.accuracy), limits))
        })
        .collect::<Result<Vec<_>, Vec<Fault>>>()?;
    let present = as_stated(question)?;
    let preload = present.preload;
    Ok(Answer {
        window,
        reserve,
        aside,
        steps: sweep(question, lengths)?,
        present,
        preload,
        recommendation: recommend(question, window, reserve)?,
    })
}
