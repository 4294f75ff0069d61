//! What is kept of each machine drawn.

use crate::studies::judge::{Judgement, Verdict};
use crate::turn::{Finding, Turn};
use latchstroke_models::latch::LatchSetting;

/// What is wrong with a turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// The latch never lets go.
    NeverTrips,
    /// The latch never holds.
    NeverHolds,
    /// The coils of a spring touch.
    CoilBound,
    /// The follower leaves the cam.
    FollowerFloats,
    /// The mould is not filled, or freezes first.
    NotFilled,
    /// The pressure lifts the matrix.
    MatrixLifts,
    /// The figures of the turn cannot be trusted.
    Unreliable,
}

/// What is kept of one turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// Fill time, s, of a sound cast.
    pub fill_time: Option<f64>,
    /// Greatest piston speed, m/s.
    pub piston_speed: f64,
    /// What is wrong with it.
    pub troubles: Vec<Trouble>,
}

impl Played {
    fn of(turn: &Turn) -> Self {
        let mut troubles: Vec<Trouble> = turn
            .findings
            .iter()
            .filter_map(|finding| match finding {
                Finding::NeverTrips { .. } => Some(Trouble::NeverTrips),
                Finding::NeverHolds { .. } => Some(Trouble::NeverHolds),
                Finding::CoilBound { .. } => Some(Trouble::CoilBound),
                Finding::FollowerFloats { .. } => Some(Trouble::FollowerFloats),
                Finding::MatrixLifts { .. } => Some(Trouble::MatrixLifts),
                Finding::EnergyOpen { .. } | Finding::Unsolved { .. } => Some(Trouble::Unreliable),
                Finding::EntryNeverReached { .. }
                | Finding::ShortCast { .. }
                | Finding::SealedEarly { .. }
                | Finding::NotHome { .. } => None,
            })
            .collect();
        let fill_time = turn.sound_fill_time();
        if fill_time.is_none() {
            troubles.push(Trouble::NotFilled);
        }
        Self { fill_time, piston_speed: turn.peaks.piston_speed, troubles }
    }

    /// Whether this is wrong with it.
    pub fn has(&self, trouble: Trouble) -> bool {
        self.troubles.contains(&trouble)
    }
}

/// What is kept of one judged machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The verdict.
    pub verdict: Verdict,
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
    /// What is kept of a judgement of a machine with this trip lift (m).
    pub fn of(judgement: &Judgement, trip_lift: f64) -> Self {
        Self {
            verdict: judgement.verdict,
            allowed: judgement.limits.allowed,
            trip_lift,
            preload: judgement.set.preload,
            aside: Played::of(&judgement.aside),
            set: Played::of(&judgement.set),
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
    /// Fill time over the time allowed: above one the fill is too slow.
    TimeTaken(LatchSetting),
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
            Self::TimeTaken(setting) => Some(outcome.played(setting).fill_time? / outcome.allowed),
            Self::TripLift => Some(outcome.trip_lift),
            Self::Preload => Some(outcome.preload),
            Self::PistonSpeed(setting) => Some(outcome.played(setting).piston_speed),
        }
    }
}
