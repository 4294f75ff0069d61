//! What is not known exactly does: every value that carries a tolerance, and every one that is assumed, is varied together with all
//! the others, and the machine judged anew each time.
//!
//! Each lies as its [`Distribution`] has it, independently of the others.

mod measure;
mod sleeve;

pub use measure::{Measure, Outcome, Played};
pub use sleeve::{Fit, Sleeve, sleeve};

use super::distribution::Distribution;
use super::judge::{Cast, Terms, Verdict, judge_limits, verdict};
use super::remedy::Pacing;
use super::sensitivity::{Design, Effects, Row, effects};
use super::spread::{Share, Spread};
use super::watch::Watch;
use crate::limits::Freezings;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};

/// A value at play.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// The name by which it is varied: its full key in a scenario.
    pub path: String,
    /// The value as stated or assumed, SI.
    pub stated: f64,
    /// How it may lie, SI.
    pub distribution: Distribution,
}

impl Input {
    /// The value, SI, `share` (0 to 1) of the way through its range.
    pub fn at(&self, share: f64) -> f64 {
        self.distribution.quantile(share)
    }

    /// Half the way between the ends of all of it, or of nine chances in ten where it has none, SI.
    pub fn half_width(&self) -> f64 {
        let (low, high) = match self.distribution {
            Distribution::Uniform { low, high } => (low, high),
            other => other.nine_in_ten(),
        };
        0.5 * (high - low)
    }
}

/// What is judged: a machine, what is cast on it, and what its caster accepts.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The machine as stated.
    pub machine: MachineStatement,
    /// The size and the pace.
    pub cast: Cast,
    /// What is asked of the cast.
    pub terms: Terms,
    /// At which pace a machine with other values casts it.
    pub pacing: Pacing,
}

impl Case {
    /// Judges it.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn outcome(&self) -> Drawn {
        let trip_lift = self.prepared()?.latch.trip_lift;
        let freezings = Freezings::on(&self.terms);
        let cast = self.pacing.cast(&self.machine, self.cast, &freezings)?;
        let judgement = judge_limits(&self.machine, cast, &freezings)?;
        Ok(Outcome::of(&judgement, trip_lift, self.pacing))
    }

    /// Its verdict alone.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn verdict(&self) -> Result<Verdict, Vec<Fault>> {
        verdict(&self.machine, self.cast, &self.terms, self.pacing)
    }

    fn prepared(&self) -> Result<Machine, Vec<Fault>> {
        Machine::prepare(&self.machine, self.cast.sort, self.cast.pace, LatchSetting::Set)
    }
}

/// One machine as drawn: its outcome, or why the values drawn cannot all be right.
pub type Drawn = Result<Outcome, Vec<Fault>>;

/// The case with other SI values under the names of some inputs.
pub trait Vary: Fn(&[(&str, f64)]) -> Result<Case, Vec<Fault>> + Sync {}

impl<F: Fn(&[(&str, f64)]) -> Result<Case, Vec<Fault>> + Sync> Vary for F {}

/// Judges the machine with each input `share` of the way through its range.
///
/// # Errors
/// The faults of the values drawn.
pub fn draw(vary: &impl Vary, inputs: &[Input], shares: &[f64]) -> Drawn {
    drawn(vary, inputs, shares)?.outcome()
}

/// The machine with each input `share` of the way through its range.
fn drawn(vary: &impl Vary, inputs: &[Input], shares: &[f64]) -> Result<Case, Vec<Fault>> {
    let values: Vec<(&str, f64)> =
        inputs.iter().zip(shares).map(|(input, &share)| (input.path.as_str(), input.at(share))).collect();
    vary(&values)
}

/// The machines drawn, and what came of them.
#[derive(Debug, Clone)]
pub struct Study {
    /// The values at play.
    pub inputs: Vec<Input>,
    /// Which machines were to be drawn.
    pub design: Design,
    /// The machine as stated.
    pub stated: Outcome,
    /// The machines drawn, as many rows as were finished.
    pub rows: Vec<Row<Drawn>>,
}

/// Varies everything that carries a tolerance, as often as `design` says; not at all where there is no verdict on the case as it stands, for
/// a turn that cannot be solved is tried by every means again in each machine drawn, and there is nothing that could change.
///
/// # Errors
/// The faults of the case as it stands.
pub fn study(
    case: &Case,
    vary: &impl Vary,
    inputs: Vec<Input>,
    design: Design,
    watch: &impl Watch,
) -> Result<Study, Vec<Fault>> {
    let stated = case.outcome()?;
    let rows = if stated.verdict == Verdict::NotKnown {
        Vec::new()
    } else {
        design.evaluate(|shares| draw(vary, &inputs, shares), watch)
    };
    Ok(Study { inputs, design, stated, rows })
}

impl Study {
    /// The outcomes of all machines that can be.
    pub fn outcomes(&self) -> impl Iterator<Item = &Outcome> {
        self.rows.iter().flat_map(Row::all).filter_map(|drawn| drawn.as_ref().ok())
    }

    /// Every machine drawn: the SI values of its inputs, and what came of it.
    pub fn machines(&self) -> impl Iterator<Item = (Vec<f64>, &Drawn)> {
        self.rows.iter().enumerate().flat_map(move |(row, drawn)| {
            drawn.all().enumerate().map(move |(place, drawn)| {
                let shares = self.design.point(row, place);
                (self.inputs.iter().zip(shares).map(|(input, share)| input.at(share)).collect(), drawn)
            })
        })
    }

    /// How many machines were finished.
    pub fn finished(&self) -> usize {
        self.rows.len() * (self.inputs.len() + 2)
    }

    /// How many machines could not be, and the fault of the first.
    pub fn impossible(&self) -> (usize, Option<&Fault>) {
        let faults = || self.rows.iter().flat_map(Row::all).filter_map(|drawn| drawn.as_ref().err());
        (faults().count(), faults().flatten().next())
    }

    /// How a figure is spread, among the machines that have it.
    pub fn spread(&self, measure: Measure) -> Option<Spread> {
        Spread::of(self.outcomes().filter_map(|outcome| measure.of(outcome)))
    }

    /// How many of the machines are so. Only the two samples that make up each row were drawn independently; the others share
    /// all values but one with them, so the confidence interval counts two a row.
    pub fn share(&self, is_so: impl Fn(&Outcome) -> bool) -> Share {
        let (mut count, mut of) = (0, 0);
        for outcome in self.outcomes() {
            of += 1;
            count += usize::from(is_so(outcome));
        }
        Share::new(count, of, 2 * self.rows.len())
    }

    /// How many machines come out with a verdict.
    pub fn verdict(&self, verdict: Verdict) -> Share {
        self.share(|outcome| outcome.verdict == verdict)
    }

    /// What every input does to the spread of a figure. None when it hardly varies, or when fewer than half of the rows have
    /// it throughout.
    pub fn effects(&self, measure: Measure) -> Option<Effects> {
        let figure =
            |drawn: &Drawn| drawn.as_ref().ok().and_then(|outcome| measure.of(outcome)).unwrap_or(f64::NAN);
        let rows: Vec<Row<f64>> = self.rows.iter().map(|row| row.map(figure)).collect();
        effects(&rows, self.design.seed).filter(|effects| 2 * effects.rows >= rows.len())
    }

    /// The latch setting on which the verdict as stated turns.
    pub fn deciding(&self) -> LatchSetting {
        match self.stated.verdict {
            Verdict::LeaveAside => LatchSetting::Aside,
            Verdict::Set | Verdict::Neither | Verdict::NotKnown => LatchSetting::Set,
        }
    }
}
