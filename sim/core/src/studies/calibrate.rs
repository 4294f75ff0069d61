//! How thick a skin the owner accepts and how fast the mould takes the heat, inferred from casts whose outcome is known.
//!
//! Neither number can be measured: the accepted skin (job.accepted_skin) is a judgement, and the interface coefficient
//! (mould.heat_transfer) shows only in castings. Each cast in the scenario's `[[experience]]` bears on both through the clocks
//! of its turn; [`Posterior`] weighs them by Bayes' rule.
//!
//! What an entry says of the clocks: *sound*: skin and bulk limit were kept. *Cold laps*: the skin limit was not. *Hollow or
//! short*: the bulk limit was not. *Failed* with no fault named: one of the two was not. *Not solid*: the cooling limit was not;
//! it depends on the coefficient alone. A sound cast says nothing of cooling, because the cooling limit is on the slow side and
//! sound casts past it would put the coefficient too high. *Lifted matrix*: neither number has a part in it.
//!
//! Priors, a judgement: each number lies within a factor of two of the scenario's value with a chance of two in three, unless the
//! value carries a tolerance of its own. The job's margin is left out on both sides.

mod clocks;
mod doubts;
mod further;
mod posterior;

pub use clocks::TURNS;
pub use doubts::Contradiction;
pub use further::{Further, Outlook, outlooks, proposals, turns};
pub use posterior::{Estimate, Evidence, Posterior, Prior, SHARPNESS, kept};

use super::judge::{Cast, Verdict};
use super::watch::{Unwatched, Watch};
use crate::parallel::prelude::*;
use crate::turn::Accuracy;
use clocks::{Clocks, clocks, cooling_slack};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::units::Angle;

/// What was wrong with a failed cast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flaw {
    /// The owner did not say.
    Unnamed,
    /// Laps and rounded edges: the skin was too thick.
    ColdLaps,
    /// The metal no longer flowed before the mould was full.
    HollowOrShort,
    /// The middle was still liquid as the mould opened.
    NotSolid,
    /// The pressure lifted the matrix.
    LiftedMatrix,
}

/// How a cast came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Sound.
    Sound,
    /// Not.
    Failed(Flaw),
}

/// A cast whose outcome is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Experience {
    /// Which entry of the scenario it is, from 1.
    pub number: usize,
    /// The line of the file it stands on, where it stands in one.
    pub line: Option<usize>,
    /// What was cast, and how fast.
    pub cast: Cast,
    /// Whether the latch was set.
    pub setting: LatchSetting,
    /// Pot temperature, K, where it was not the machine's.
    pub pot: Option<f64>,
    /// How it came out.
    pub outcome: Outcome,
    /// How sure the owner is of that, 0.5 to less than 1.
    pub sure: f64,
}

/// An experience with what the machine makes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// The cast.
    pub experience: Experience,
    /// What it says of the two numbers; none where it says nothing.
    pub evidence: Option<Evidence>,
    /// The chance of what happened as the other casts have it, slips of memory apart.
    pub foreseen: Option<f64>,
}

/// What the casts say.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Believed before the casts.
    pub prior: Posterior,
    /// Believed after them.
    pub posterior: Posterior,
    /// The casts, in the order of the file.
    pub casts: Vec<Weighed>,
    /// Pairs that no skin and no coefficient can explain, the worst first.
    pub contradictions: Vec<Contradiction>,
}

/// Weighs casts on a machine; none when the work is called off.
///
/// # Errors
/// The faults of the statement.
pub fn calibrate(
    stated: &MachineStatement,
    (skin, film): (Prior, Prior),
    shut: Angle,
    experiences: &[Experience],
    watch: &impl Watch,
) -> Result<Option<Calibration>, Vec<Fault>> {
    let prior = Posterior::from_priors(skin, film);
    let evidence: Vec<Option<Evidence>> = experiences
        .par_iter()
        .map(|experience| evidence(stated, experience, shut, &prior, watch))
        .collect::<Result<_, _>>()?;
    if watch.called_off() {
        return Ok(None);
    }
    let posterior = prior.after(evidence.iter().flatten());
    let foreseen: Vec<Option<f64>> = evidence
        .iter()
        .enumerate()
        .map(|(n, report)| {
            let others =
                evidence.iter().enumerate().filter(|(m, _)| *m != n).filter_map(|(_, other)| other.as_ref());
            Some(prior.after(others).foresees(report.as_ref()?))
        })
        .collect();
    let casts: Vec<Weighed> = experiences
        .iter()
        .zip(evidence)
        .zip(foreseen)
        .map(|((experience, evidence), foreseen)| Weighed {
            experience: experience.clone(),
            evidence,
            foreseen,
        })
        .collect();
    Ok(Some(Calibration {
        contradictions: doubts::contradictions(&casts, &posterior),
        prior,
        posterior,
        casts,
    }))
}

/// What one cast says, over the grid of a posterior; none where that is nothing of the two numbers, or the work is called off.
fn evidence(
    stated: &MachineStatement,
    experience: &Experience,
    shut: Angle,
    grid: &Posterior,
    watch: &impl Watch,
) -> Result<Option<Evidence>, Vec<Fault>> {
    let Experience { cast, setting, pot, sure, .. } = *experience;
    let filling = |of: fn(Clocks) -> Vec<f64>| {
        clocks(stated, (cast, setting, pot), grid, Accuracy::default(), watch).map(|clocks| clocks.map(of))
    };
    let slack = match experience.outcome {
        Outcome::Sound | Outcome::Failed(Flaw::Unnamed) => filling(|clocks| clocks.filling())?,
        Outcome::Failed(Flaw::ColdLaps) => filling(|clocks| clocks.skin)?,
        Outcome::Failed(Flaw::HollowOrShort) => filling(|clocks| clocks.bulk)?,
        Outcome::Failed(Flaw::NotSolid) => Some(cooling_slack(stated, (cast, pot), shut, grid)?),
        Outcome::Failed(Flaw::LiftedMatrix) => None,
    };
    Ok(slack.map(|slack| Evidence { slack, kept: experience.outcome == Outcome::Sound, sure }))
}

/// The chances that a cast is sound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chances {
    /// With the latch aside.
    pub aside: f64,
    /// With the latch set.
    pub set: f64,
}

impl Chances {
    /// The chance that a verdict holds: that the cast is sound with the setting it names, or would fail with both.
    pub fn of(self, verdict: Verdict) -> f64 {
        match verdict {
            Verdict::LeaveAside => self.aside,
            Verdict::Set => self.set,
            Verdict::Neither | Verdict::NotKnown => 1.0 - self.aside.max(self.set),
        }
    }
}

impl Posterior {
    /// The chance that a cast fills in time for a sound type; nought where the setting itself cannot work. Cooling is left out,
    /// as it is by the judge.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn chance_sound(
        &self,
        stated: &MachineStatement,
        cast: Cast,
        setting: LatchSetting,
    ) -> Result<f64, Vec<Fault>> {
        let clocks = clocks(stated, (cast, setting, None), self, Accuracy::default(), &Unwatched)?;
        Ok(clocks.filter(|clocks| clocks.works).map_or(0.0, |clocks| self.chance_kept(&clocks.filling())))
    }

    /// The chances of many casts, latch aside and set, on all cores; they stand in the order of the casts.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn confidence(&self, stated: &MachineStatement, casts: &[Cast]) -> Result<Vec<Chances>, Vec<Fault>> {
        casts
            .par_iter()
            .map(|&cast| {
                let chance = |setting| self.chance_sound(stated, cast, setting);
                Ok(Chances { aside: chance(LatchSetting::Aside)?, set: chance(LatchSetting::Set)? })
            })
            .collect()
    }
}
