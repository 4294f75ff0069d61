//! Is the pump latch needed? For a size and a pace: a turn with the latch aside and one with it set, held against how long the
//! metal stays fit to fill the mould.

mod appraisal;
mod standing;

pub use appraisal::{Appraisal, Solid, Terms, appraise, appraise_all};
pub use standing::{Bounds, Kept, Limit, Standing, air_left};

use crate::parallel::prelude::*;
use crate::roots::crossing;
use crate::turn::{Accuracy, Finding, Turn, solve, solve_traced};
use latchstroke_models::fault::Fault;
use latchstroke_models::freezing::bulk_limit;
use latchstroke_models::freezing::skin::SkinGrowth;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};

/// What the caster accepts. Both are judgements of the owner's, not constants of nature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Acceptance {
    /// The thickest skin on the face at the end of the fill, m.
    pub skin: f64,
    /// How many times the fill must fit into the time there is.
    pub margin: f64,
}

/// What is to be cast, and how fast the machine turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cast {
    /// The sort.
    pub sort: Sort,
    /// The pace.
    pub pace: Pace,
}

/// Which clock ends first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// The skin on the face becomes thicker than the owner accepts.
    Skin,
    /// The metal in the middle stops flowing.
    Bulk,
}

/// How long the fill may take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Skin limit, s.
    pub skin: f64,
    /// Bulk limit, s.
    pub bulk: f64,
    /// The lesser of both over the margin, s.
    pub allowed: f64,
}

impl Limits {
    /// The limits for a machine's mould and metal.
    pub fn of(machine: &Machine, acceptance: Acceptance) -> Self {
        // A skin thicker than half the body, or one that takes longer than any turn, never comes.
        let growth = SkinGrowth::solve(&machine.metal, &machine.mould, acceptance.skin, 0.0);
        let skin = growth.time(acceptance.skin).unwrap_or(f64::INFINITY);
        let bulk = bulk_limit(&machine.metal, &machine.mould);
        Self { skin, bulk, allowed: skin.min(bulk) / acceptance.margin }
    }

    /// The clock that ends first.
    pub fn deciding(&self) -> Clock {
        if self.skin <= self.bulk { Clock::Skin } else { Clock::Bulk }
    }
}

/// What to do with the latch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The cam alone fills the mould in time.
    LeaveAside,
    /// Only the thrown piston fills it in time.
    Set,
    /// Neither does.
    Neither,
}

/// The verdict for one cast, with the turns and limits behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// What was judged.
    pub cast: Cast,
    /// The turn with the latch aside.
    pub aside: Turn,
    /// The turn with the latch set.
    pub set: Turn,
    /// How long the fill may take.
    pub limits: Limits,
    /// Skin as the time allowed is up, m.
    pub skin_allowed: f64,
    /// The verdict.
    pub verdict: Verdict,
}

/// Whether a turn casts sound within `allowed` (s), with a setting that works.
pub fn will_do(turn: &Turn, allowed: f64) -> bool {
    !turn.findings.iter().any(Finding::faults_setting) && turn.sound_fill_time().is_some_and(|t| t <= allowed)
}

/// Judges one cast.
///
/// # Errors
/// The faults of the statement.
pub fn judge(
    stated: &MachineStatement,
    cast: Cast,
    acceptance: Acceptance,
    accuracy: Accuracy,
) -> Result<Judgement, Vec<Fault>> {
    judge_by(stated, cast, acceptance, |machine| solve(machine, accuracy))
}

/// Judges one cast and keeps both turns instant by instant.
///
/// # Errors
/// The faults of the statement.
pub fn judge_traced(
    stated: &MachineStatement,
    cast: Cast,
    acceptance: Acceptance,
    accuracy: Accuracy,
) -> Result<Judgement, Vec<Fault>> {
    judge_by(stated, cast, acceptance, |machine| solve_traced(machine, accuracy))
}

fn judge_by(
    stated: &MachineStatement,
    cast: Cast,
    acceptance: Acceptance,
    solve: impl Fn(&Machine) -> Turn,
) -> Result<Judgement, Vec<Fault>> {
    let machine = Machine::prepare(stated, cast.sort, cast.pace, LatchSetting::Aside)?;
    let limits = Limits::of(&machine, acceptance);
    let skin_allowed =
        SkinGrowth::solve(&machine.metal, &machine.mould, 0.0, limits.allowed).depth(limits.allowed);
    let aside = solve(&machine);
    let set = solve(&Machine { setting: LatchSetting::Set, ..machine });
    let verdict = if will_do(&aside, limits.allowed) {
        Verdict::LeaveAside
    } else if will_do(&set, limits.allowed) {
        Verdict::Set
    } else {
        Verdict::Neither
    };
    Ok(Judgement { cast, aside, set, limits, skin_allowed, verdict })
}

/// Judges many casts on all cores; the answers stand in the order of the casts.
///
/// # Errors
/// The faults of the statement.
pub fn judge_all(
    stated: &MachineStatement,
    casts: &[Cast],
    acceptance: Acceptance,
    accuracy: Accuracy,
) -> Result<Vec<Judgement>, Vec<Fault>> {
    casts.par_iter().map(|&cast| judge(stated, cast, acceptance, accuracy)).collect()
}

/// The paces searched for a slowest one, turns/s.
pub const PACES: (f64, f64) = (1.0 / 60.0, 400.0 / 60.0);
/// The bodies searched for a threshold, m: 3 to 100 points.
const BODIES: (f64, f64) = (3.0 * latchstroke_models::units::POINT, 100.0 * latchstroke_models::units::POINT);
/// How closely paces and sizes are found, as a share.
const CLOSENESS: f64 = 5e-4;

/// Where something begins, as a search over a range answers it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Onset {
    /// Already at the low end of the range.
    Always,
    /// From this value on, SI.
    From(f64),
    /// Not up to the high end of the range.
    Never,
}

/// How far a turn is from filling in time, as a logarithm: below zero it does.
fn lateness(turn: &Turn, allowed: f64) -> f64 {
    // A cast that never fills counts as ten times too late, so that a search still knows which way to go.
    turn.sound_fill_time().map_or(10.0_f64.ln(), |t| (t / allowed).ln().clamp(-5.0, 10.0_f64.ln()))
}

/// The slowest pace at which a sort still casts with the latch aside.
///
/// # Errors
/// The faults of the statement.
pub fn slowest_pace_aside(
    stated: &MachineStatement,
    sort: Sort,
    acceptance: Acceptance,
    accuracy: Accuracy,
) -> Result<Onset, Vec<Fault>> {
    let at = |pace: f64| -> Result<f64, Vec<Fault>> {
        let machine = Machine::prepare(stated, sort, Pace(pace), LatchSetting::Aside)?;
        Ok(lateness(&solve(&machine, accuracy), Limits::of(&machine, acceptance).allowed))
    };
    onset(at, PACES, false)
}

/// The smallest sort that needs more than the cam: from there on the latch is wanted. Sizes have the set width `proportion` ×
/// body, and each is cast at the pace that `pace` gives it.
///
/// # Errors
/// The faults of the statement.
pub fn smallest_size_wanting_latch(
    stated: &MachineStatement,
    proportion: f64,
    pace: impl Fn(Sort) -> Result<Pace, Vec<Fault>>,
    acceptance: Acceptance,
    accuracy: Accuracy,
) -> Result<Onset, Vec<Fault>> {
    let at = |body: f64| -> Result<f64, Vec<Fault>> {
        let sort = Sort { body: Length(body), set: Length(body * proportion) };
        let machine = Machine::prepare(stated, sort, pace(sort)?, LatchSetting::Aside)?;
        Ok(lateness(&solve(&machine, accuracy), Limits::of(&machine, acceptance).allowed))
    };
    onset(at, BODIES, true)
}

/// Where along `range` lateness crosses zero: upwards when `late` is asked for, else downwards.
fn onset(
    at: impl Fn(f64) -> Result<f64, Vec<Fault>>,
    range: (f64, f64),
    late: bool,
) -> Result<Onset, Vec<Fault>> {
    let sign = if late { 1.0 } else { -1.0 };
    if sign * at(range.0)? > 0.0 {
        return Ok(Onset::Always);
    }
    // The statement has just been prepared at one end; a fault further on would show as a gap in the search.
    let value = |log: f64| at(log.exp()).map_or(f64::NAN, |lateness| sign * lateness);
    Ok(crossing(value, range.0.ln(), range.1.ln(), CLOSENESS)
        .map_or(Onset::Never, |log| Onset::From(log.exp())))
}
