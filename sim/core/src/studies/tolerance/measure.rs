//! What is kept of each machine drawn.

use crate::limits::{Limit, Standing};
use crate::studies::judge::{Judgement, Verdict};
use crate::studies::remedy::Pacing;
use crate::turn::Turn;
use latchstroke_models::latch::LatchSetting;

/// What is kept of one turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// Fill time, s, of a sound cast.
    pub fill_time: Option<f64>,
    /// Greatest piston speed, m/s.
    pub piston_speed: f64,
    /// How many times over the limit that decides is kept with its reserve used up: below one the setting does not do. None
    /// where it is not known.
    pub factor: Option<f64>,
    /// The same of the limit that comes next, where the one that decides is the cooling by which the machine's pace is chosen.
    pub kept: Option<f64>,
    /// The limits that stand in the way, the worst first.
    pub in_the_way: Vec<Limit>,
}

impl Played {
    fn of(turn: &Turn, standing: &Standing, pacing: Pacing) -> Self {
        let factor = standing.factor();
        let told = standing.told().last().map(|margin| margin.factor);
        Self {
            fill_time: turn.sound_fill_time(),
            piston_speed: turn.peaks.piston_speed,
            // The pace that each machine is given keeps its cooling the same number of times over: what comes next tells them apart.
            kept: if pacing == Pacing::Fixed { factor } else { factor.and(told) },
            factor,
            in_the_way: standing.in_the_way().map(|margin| margin.limit).collect(),
        }
    }

    /// Whether this limit stands in the way.
    pub fn misses(&self, limit: Limit) -> bool {
        self.in_the_way.contains(&limit)
    }
}

/// What is kept of one judged machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The verdict.
    pub verdict: Verdict,
    /// The limit that decides.
    pub deciding: Option<Limit>,
    /// How long the fill may take, s.
    pub allowed: f64,
    /// y_trip, m.
    pub trip_lift: f64,
    /// Springs' force at rest, N.
    pub preload: f64,
    /// The turn with the latch aside.
    pub aside: Played,
    /// The turn with the latch set.
    pub set: Played,
}

impl Outcome {
    /// What is kept of a judgement of a machine with this trip lift (m), whose pace was found so.
    pub fn of(judgement: &Judgement, trip_lift: f64, pacing: Pacing) -> Self {
        Self {
            verdict: judgement.verdict,
            deciding: judgement.deciding().map(|margin| margin.limit),
            allowed: judgement.clocks.allowed,
            trip_lift,
            preload: judgement.set.preload,
            aside: Played::of(&judgement.aside, judgement.standing(LatchSetting::Aside), pacing),
            set: Played::of(&judgement.set, judgement.standing(LatchSetting::Set), pacing),
        }
    }

    /// The turn with the latch so.
    pub fn played(&self, setting: LatchSetting) -> &Played {
        match setting {
            LatchSetting::Aside => &self.aside,
            LatchSetting::Set => &self.set,
        }
    }
}

/// A figure of a judged machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Fill time, s.
    FillTime(LatchSetting),
    /// How long the fill may take, s.
    Allowed,
    /// How many times over the limit that decides is kept, or the next where the pace is chosen by that one: below one the setting
    /// does not do.
    Kept(LatchSetting),
    /// y_trip, m.
    TripLift,
    /// Springs' force at rest, N.
    Preload,
    /// Greatest piston speed, m/s.
    PistonSpeed(LatchSetting),
}

impl Measure {
    /// The figure, where the machine has it.
    pub fn of(self, outcome: &Outcome) -> Option<f64> {
        match self {
            Self::FillTime(setting) => outcome.played(setting).fill_time,
            Self::Allowed => Some(outcome.allowed),
            Self::Kept(setting) => outcome.played(setting).kept.filter(|factor| factor.is_finite()),
            Self::TripLift => Some(outcome.trip_lift),
            Self::Preload => Some(outcome.preload),
            Self::PistonSpeed(setting) => Some(outcome.played(setting).piston_speed),
        }
    }
}
