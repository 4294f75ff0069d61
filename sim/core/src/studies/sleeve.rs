//! How long must the sleeve be? The window of lengths that work, what each does, and the one to make.
//!
//! The trip lift is y_trip = c_0 − S + t (clearance c_0 from the plain abutment to the prongs, sleeve S, prong travel t). The
//! rod is lengthened by as much as the sleeve, E = S, so that the springs stay as they are without either.

mod middle;
mod recommend;
mod sweep;
mod window;

pub use middle::About;
pub use recommend::{Group, Recommendation, Refusal, Served, made_for, recommend, served};
pub use sweep::{Step, Thrown, as_stated, at_length, sweep};
pub use window::{Unknown, Window, window};

use super::judge::{Cast, Judgement, Terms, judge_all};
use crate::limits::Margin;
use crate::roots::common;
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
}

fn prepared(stated: &MachineStatement, cast: Cast, setting: LatchSetting) -> Result<Machine, Vec<Fault>> {
    Machine::prepare(stated, cast.sort, cast.pace, setting)
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

impl Answer {
    /// The limit that decides with a length: of the casts that the sleeve is made for, the one kept the fewest times over.
    pub fn deciding<'a>(&self, step: &'a Step) -> Option<(&'a Thrown, &'a Margin)> {
        let for_these = made_for(&self.served);
        let asked = step.casts.iter().filter(|thrown| for_these.iter().any(|s| s.cast == thrown.cast));
        let all = asked.filter_map(|thrown| Some((thrown, thrown.standing.deciding()?)));
        all.reduce(|a, b| if b.1.factor < a.1.factor { b } else { a })
    }

    /// Whether a length does for every cast: all limits are kept with the latch set where it is wanted.
    pub fn serves_all(&self, step: &Step) -> bool {
        step.casts.iter().zip(&self.served).all(|(thrown, served)| !served.wants_latch || thrown.will_do())
    }
}

/// Lengths closer than this are one, m.
const SAME: f64 = 1e-7;

/// Solves everything for sleeves of `lengths` (m), and for the two ends of the window in which all limits are kept.
///
/// # Errors
/// The faults of the statement.
pub fn study(question: &Question<'_>, window: Window, lengths: &[f64]) -> Result<Answer, Vec<Fault>> {
    let present = as_stated(question)?;
    let served = served(question, &window);
    let recommendation = recommend(question, &window, &served)?;
    let mut lengths = lengths.to_vec();
    if let Ok(Recommendation { window: (low, high), .. }) = &recommendation {
        lengths.extend([*low, *high]);
        lengths.sort_by(f64::total_cmp);
        lengths.dedup_by(|a, b| (*a - *b).abs() < SAME);
    }
    Ok(Answer {
        window,
        tolerance: question.tolerance,
        judged: judge_all(question.stated, question.casts, &question.terms)?,
        steps: sweep(question, &lengths)?,
        preload: present.preload,
        recommendation,
        present,
        served,
    })
}

/// How far the sleeve now fitted may be longer or shorter until a limit is missed with the latch set, m, with an extension to
/// match: the way to the nearer end of the window in which all limits are kept. None where it lies in no such window.
pub fn room_about(question: &Question<'_>, window: &Window) -> Option<f64> {
    let fitted = question.stated.abutment.sleeve.0;
    let all = served(question, window).into_iter().map(|served| served.lengths);
    let kept = all.reduce(|a, b| common(&a, &b))?;
    let (low, high) = kept.into_iter().find(|&(low, high)| (low..=high).contains(&fitted))?;
    Some((fitted - low).min(high - fitted))
}
