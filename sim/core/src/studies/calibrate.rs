//! How thick a skin the owner accepts and how fast the mould takes the heat, inferred from casts whose outcome is known.
//!
//! Neither number can be measured: the accepted skin (job.accepted_skin) is a judgement, and the interface coefficient
//! (mould.heat_transfer) shows only in castings. Each cast in the scenario's `[[experience]]` bears on both through the clocks
//! of its turn; [`Posterior`] weighs them by Bayes' rule.
//!
//! What an entry says of the clocks: *sound*: lapping, skin and bulk limit were kept. *Cold laps*: lapping or skin was not. *Hollow
//! or short*: the bulk limit was not. *Failed* with no fault named: one of the three was not. *Not solid*: the cooling limit was
//! not. Lapping, bulk and cooling depend on the coefficient alone. A sound cast says nothing of cooling, because the cooling limit
//! is on the slow side and sound casts past it would put the coefficient too high. *Lifted matrix*: neither number has a part in it.
//!
//! Which of lapping and skin rules is for the casts to tell as well, as far as they do ([`Rule`]): lapping grows with the body, the
//! skin hardly does.
//!
//! Priors, a judgement: each number lies within a factor of two of the scenario's value with a chance of two in three, unless the
//! value carries a tolerance of its own. The job's margin is left out on both sides.

mod clocks;
mod doubts;
mod further;
mod posterior;
mod rule;

pub use clocks::{Ruling, TURNS};
pub use doubts::Contradiction;
pub use further::{Further, Outlook, outlooks, proposals, turns};
pub use posterior::{Estimate, Evidence, Posterior, Prior, SHARPNESS, kept};
pub use rule::{Rule, Speaks};

use super::judge::{Cast, Terms, Verdict};
use super::watch::{Unwatched, Watch};
use crate::parallel::prelude::*;
use clocks::{Clocks, Cooled, clocks, least};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::MachineStatement;
use strum::{EnumString, IntoStaticStr, VariantNames};

/// What was wrong with a failed cast.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, EnumString, IntoStaticStr, VariantNames)]
pub enum Flaw {
    /// Laps and rounded edges: the first metal was too cold to knit, or the skin too thick.
    #[default]
    #[strum(serialize = "cold laps")]
    ColdLaps,
    /// The metal no longer flowed before the mould was full.
    #[strum(serialize = "hollow or short")]
    HollowOrShort,
    /// The middle was still liquid as the mould opened.
    #[strum(serialize = "not solid")]
    NotSolid,
    /// The pressure lifted the matrix.
    #[strum(serialize = "lifted matrix")]
    LiftedMatrix,
}

/// How a cast came out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, EnumString, IntoStaticStr, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum Outcome {
    /// Sound.
    #[default]
    Sound,
    /// Not; by what, where the owner says.
    Failed(Option<Flaw>),
}

/// A cast whose outcome is known.
#[derive(Debug, Clone, Default, PartialEq)]
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
    /// Which of the filling clocks the casts speak for.
    pub rule: Rule,
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
    terms: &Terms,
    experiences: &[Experience],
    watch: &impl Watch,
) -> Result<Option<Calibration>, Vec<Fault>> {
    let prior = Posterior::from_priors(skin, film);
    let said: Vec<Option<Said>> = experiences
        .par_iter()
        .map(|experience| said(stated, experience, terms, &prior, watch))
        .collect::<Result<_, _>>()?;
    let read = |ruling: Ruling| -> Vec<Option<Evidence>> {
        let pairs = experiences.iter().zip(&said);
        pairs.map(|(experience, said)| Some(said.as_ref()?.evidence(experience, ruling))).collect()
    };
    let evidence = read(Ruling::Least);
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
    let marginal = |ruling: Ruling| prior.marginal(read(ruling).iter().flatten());
    Ok(Some(Calibration {
        rule: Rule {
            lapping: marginal(Ruling::Lapping),
            skin: marginal(Ruling::Skin),
            least: marginal(Ruling::Least),
        },
        contradictions: doubts::contradictions(&casts, &posterior),
        prior,
        posterior,
        casts,
    }))
}

/// What bears on an experience, over the grid of a posterior.
enum Said {
    /// The clocks of its filling.
    Filling(Clocks),
    /// Slack of its cooling.
    Cooling(Vec<f64>),
}

impl Said {
    /// As evidence, with the clocks read so.
    fn evidence(&self, experience: &Experience, ruling: Ruling) -> Evidence {
        let slack = match (self, experience.outcome) {
            (Self::Cooling(slack), _) => slack.clone(),
            (Self::Filling(clocks), Outcome::Failed(Some(Flaw::ColdLaps))) => clocks.face(ruling),
            (Self::Filling(clocks), Outcome::Failed(Some(Flaw::HollowOrShort))) => clocks.bulk.clone(),
            (Self::Filling(clocks), _) => clocks.filling(ruling),
        };
        Evidence { slack, kept: experience.outcome == Outcome::Sound, sure: experience.sure }
    }
}

/// What one cast bears on; none where that is neither of the two numbers, no turn of it can be trusted, or the work is called off.
fn said(
    stated: &MachineStatement,
    experience: &Experience,
    terms: &Terms,
    grid: &Posterior,
    watch: &impl Watch,
) -> Result<Option<Said>, Vec<Fault>> {
    let Experience { cast, setting, pot, .. } = *experience;
    Ok(match experience.outcome {
        Outcome::Failed(Some(Flaw::LiftedMatrix)) => None,
        Outcome::Failed(Some(Flaw::NotSolid)) => {
            let cooled = Cooled::of(stated, (cast.sort, pot), terms.shut, grid)?;
            Some(Said::Cooling(cooled.slack(cast.pace, grid)))
        }
        Outcome::Sound | Outcome::Failed(_) => clocks(stated, (cast, setting, pot), grid, terms, watch)?
            .filter(|clocks| clocks.trusted)
            .map(Said::Filling),
    })
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

/// The chance that a cast keeps every limit: nought where one that does not hang on the coefficient is missed.
fn sound(posterior: &Posterior, clocks: &Clocks, cooling: &[f64]) -> f64 {
    if clocks.works { posterior.chance_kept(&least(&clocks.filling(Ruling::Least), cooling)) } else { 0.0 }
}

impl Posterior {
    /// The chance that a cast keeps every limit of the list, the job's margin left out: over what is believed for those that hang on
    /// the skin or the coefficient, filling and cooling; nought where another is missed.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn chance_sound(
        &self,
        stated: &MachineStatement,
        cast: Cast,
        setting: LatchSetting,
        terms: &Terms,
    ) -> Result<f64, Vec<Fault>> {
        let cooled = Cooled::of(stated, (cast.sort, None), terms.shut, self)?;
        let clocks = clocks(stated, (cast, setting, None), self, terms, &Unwatched)?;
        Ok(clocks.map_or(0.0, |clocks| sound(self, &clocks, &cooled.slack(cast.pace, self))))
    }

    /// The chances of many casts, latch aside and set, on all cores; they stand in the order of the casts.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn confidence(
        &self,
        stated: &MachineStatement,
        casts: &[Cast],
        terms: &Terms,
    ) -> Result<Vec<Chances>, Vec<Fault>> {
        casts
            .par_iter()
            .map(|&cast| {
                let chance = |setting| self.chance_sound(stated, cast, setting, terms);
                Ok(Chances { aside: chance(LatchSetting::Aside)?, set: chance(LatchSetting::Set)? })
            })
            .collect()
    }
}
