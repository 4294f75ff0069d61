//! A judgement held against everything else that a cast must keep: solid in time, matrix, air.

use super::{Acceptance, Bounds, Cast, Judgement, Kept, Limit, Standing, Verdict, judge};
use crate::parallel::prelude::*;
use crate::studies::cooling::Cooling;
use crate::studies::entry::{Comparison, compare};
use crate::turn::Accuracy;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::{Angle, Pace};

/// What is asked of every cast alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// The greatest share of the mould's air that may stay in it, where the caster has one.
    pub accepted_air: Option<f64>,
    /// Angle of the main shaft for which the mould stays shut after it is full.
    pub shut: Angle,
    /// How closely turns are solved.
    pub accuracy: Accuracy,
}

/// Whether the middle of the type is solid before the mould opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solid {
    /// How the sort cools; none when even the slowest pace is too fast.
    pub cooling: Option<Cooling>,
    /// The fastest pace that leaves it solid over the pace: from one on it is solid in time.
    pub times: f64,
}

impl Solid {
    /// For a sort that cools so, at a pace.
    pub fn at(cooling: Option<Cooling>, pace: Pace) -> Self {
        Self { cooling, times: cooling.map_or(0.0, |cooling| cooling.pace / pace.0) }
    }

    /// Whether it is solid in time.
    pub fn in_time(&self) -> bool {
        self.times >= 1.0
    }
}

/// A cast with its verdict and how both settings of the latch stand against every limit.
///
/// The verdict is on the latch alone: which setting fills the mould in time. Whether the type is then solid is told by
/// [`Solid`], beside the verdict, since it does not depend on the latch.
#[derive(Debug, Clone, PartialEq)]
pub struct Appraisal {
    /// The verdict on the latch, and the turns behind it.
    pub judgement: Judgement,
    /// Whether the type is solid in time.
    pub solid: Solid,
    /// The turn with the latch aside against every limit.
    pub aside: Standing,
    /// The turn with the latch set against every limit.
    pub set: Standing,
    /// Air, lifting and jet of both turns.
    pub entry: Comparison,
}

impl Appraisal {
    /// Whether a usable type is cast: some setting fills the mould in time and the middle is solid before it opens.
    pub fn can_be_cast(&self) -> bool {
        self.judgement.verdict != Verdict::Neither && self.solid.in_time()
    }

    /// The setting the verdict is for; where neither does, the one nearer to it.
    pub fn advised(&self) -> LatchSetting {
        match self.judgement.verdict {
            Verdict::LeaveAside => LatchSetting::Aside,
            Verdict::Set => LatchSetting::Set,
            Verdict::Neither => {
                let nearness = |standing: &Standing| standing.times(Limit::is_of_fill);
                if nearness(&self.set) > nearness(&self.aside) {
                    LatchSetting::Set
                } else {
                    LatchSetting::Aside
                }
            }
        }
    }

    /// How a setting stands.
    pub fn standing(&self, setting: LatchSetting) -> &Standing {
        match setting {
            LatchSetting::Aside => &self.aside,
            LatchSetting::Set => &self.set,
        }
    }

    /// The limit with the least margin, of those asked for, with the latch as advised.
    pub fn deciding(&self, of: impl Fn(Limit) -> bool) -> Option<Kept> {
        self.standing(self.advised()).deciding(of)
    }
}

/// Appraises a cast of a sort that cools as given.
///
/// # Errors
/// The faults of the statement.
pub fn appraise(
    stated: &MachineStatement,
    cast: Cast,
    cooling: Option<Cooling>,
    terms: &Terms,
) -> Result<Appraisal, Vec<Fault>> {
    let judgement = judge(stated, cast, terms.acceptance, terms.accuracy)?;
    let machine = Machine::prepare(stated, cast.sort, cast.pace, LatchSetting::Aside)?;
    let solid = Solid::at(cooling, cast.pace);
    let bounds = Bounds::of(&machine, terms, solid.times);
    Ok(Appraisal {
        aside: Standing::of(&judgement.aside, &bounds),
        set: Standing::of(&judgement.set, &bounds),
        entry: compare(&judgement.aside, &judgement.set, bounds.air_mass, bounds.hold_down),
        solid,
        judgement,
    })
}

/// Appraises many casts on all cores; the answers stand in the order of the casts.
///
/// # Errors
/// The faults of the statement.
pub fn appraise_all(
    stated: &MachineStatement,
    casts: &[(Cast, Option<Cooling>)],
    terms: &Terms,
) -> Result<Vec<Appraisal>, Vec<Fault>> {
    casts.par_iter().map(|&(cast, cooling)| appraise(stated, cast, cooling, terms)).collect()
}
