//! A job at a glance: each size at the pace it is cast at and at others, the sizes between, and what would change the verdicts.

use super::job::{self, Depth, Job};
use super::judge::{Cast, Judgement, Terms, judge_all, judge_traced};
use super::pace::{Reach, reach};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};

/// How many sizes the curve of fill times runs through.
const CURVE: u32 = 32;
/// How far it goes on below the smallest size and above the largest, as ratios.
const BEYOND: (f64, f64) = (0.8, 1.2);

/// What is asked of a job.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The machine.
    pub stated: &'a MachineStatement,
    /// What is asked of every cast.
    pub terms: &'a Terms,
    /// The fastest pace at which the machine is run.
    pub fastest: Pace,
    /// The sizes.
    pub sorts: &'a [Sort],
    /// The size that is looked at most closely; one of `sorts`.
    pub own: Sort,
    /// The pace at which every size is cast; where it is none, each is cast at its real pace.
    pub pace: Option<Pace>,
    /// The paces that are compared.
    pub paces: &'a [Pace],
}

/// A job at a glance.
#[derive(Debug, Clone, PartialEq)]
pub struct Overview {
    /// The one pace of all sizes; none where each is cast at its real pace.
    pub pace: Option<Pace>,
    /// The size looked at most closely, at its pace, solved instant by instant.
    pub own: Judgement,
    /// The answer to the job.
    pub answer: job::Answer,
    /// From which size on the latch may not stand aside, each size at its pace, and why.
    pub aside: Reach,
    /// Each size at each of the paces compared, size by size.
    pub grid: Vec<Judgement>,
    /// Sizes from below the smallest to above the largest, each at its pace.
    pub curve: Vec<Judgement>,
    /// Which of the sizes is told of: the smallest that cannot be cast, or the one looked at most closely.
    pub told: Option<usize>,
}

/// Looks at a job.
///
/// # Errors
/// The faults of the statement.
pub fn overview(question: &Question) -> Result<Overview, Vec<Fault>> {
    let Question { stated, terms, sorts, own, paces, .. } = *question;
    let asked: Option<[Pace; 1]> = question.pace.map(|pace| [pace]);
    let job = question.job(asked.as_ref().map(<[Pace; 1]>::as_slice));
    let answer = job.answer(Depth::Whole)?;
    let smallest_failing = answer
        .sizes
        .iter()
        .enumerate()
        .filter(|(_, size)| !size.can_be_cast())
        .min_by(|(_, a), (_, b)| a.sort.body.0.total_cmp(&b.sort.body.0))
        .map(|(place, _)| place);
    let told = smallest_failing.or_else(|| answer.sizes.iter().position(|size| size.sort == own));
    let compared: Vec<Cast> =
        sorts.iter().flat_map(|&sort| paces.iter().map(move |&pace| Cast { sort, pace })).collect();
    let at = job.cast_at();
    let own = Cast { sort: own, pace: at.pace(stated, own)? };
    Ok(Overview {
        pace: question.pace,
        own: judge_traced(stated, own, terms)?,
        aside: reach(stated, LatchSetting::Aside, job.proportion, &at, terms),
        grid: judge_all(stated, &compared, terms)?,
        curve: judge_all(stated, &at.casts(stated, &question.curve(job.proportion))?, terms)?,
        answer,
        told,
    })
}

impl Question<'_> {
    fn job<'b>(&'b self, paces: Option<&'b [Pace]>) -> Job<'b> {
        Job {
            stated: self.stated,
            terms: self.terms,
            fastest: self.fastest,
            sorts: self.sorts,
            proportion: self.own.set.0 / self.own.body.0,
            paces,
        }
    }

    /// Sizes evenly from below the smallest to above the largest.
    fn curve(&self, proportion: f64) -> Vec<Sort> {
        let bodies = self.sorts.iter().map(|sort| sort.body.0);
        let low = BEYOND.0 * bodies.clone().fold(f64::INFINITY, f64::min);
        let high = BEYOND.1 * bodies.fold(0.0, f64::max);
        (0..CURVE)
            .map(|n| {
                let body = low + (high - low) * f64::from(n) / f64::from(CURVE - 1);
                Sort { body: Length(body), set: Length(body * proportion) }
            })
            .collect()
    }
}
