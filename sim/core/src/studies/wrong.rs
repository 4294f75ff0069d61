//! From what is seen or heard to what may have changed: which single value of the machine, moved how far, brings it about.
//!
//! Each suspected value is moved away from where it stands, either way, until the turn solved of the machine so changed shows what was
//! seen ([`Sight`]); the least such change is told, the one first that lies least far out in what is known of its value. How far out is
//! the chance that the value is off by as much or more, two-sided, in the widest of its distributions.

use super::cooling::cooling;
use super::distribution::Distribution;
use super::judge::{Solid, bounded_log};
use super::tolerance::{Case, Vary};
use crate::limits::{Clocks, Limit, Margin, Reading, Standing};
use crate::parallel::prelude::*;
use crate::roots::crossing_between;
use crate::turn::{EventKind, Finding, Turn, solve};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::mould::WallStatement;

/// How many times slower a stroke must be to sound slow.
pub const SLOW: f64 = 1.5;
/// The share of the strongest blow's energy from which another is heard as a blow of its own. An estimate, no source: 6 dB.
pub const HEARD: f64 = 0.25;
/// At which shares of the way to the end of a range the search looks. What begins and ends between two looks is not seen.
const LOOKS: [f64; 6] = [0.03, 0.1, 0.25, 0.45, 0.7, 1.0];
/// How closely a value is found, as a share of the way.
const CLOSENESS: f64 = 1e-3;
/// What counts for no sign of it at all.
const FAR: f64 = -std::f64::consts::LN_10;

/// What an owner sees or hears.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sight {
    /// The piston is at its fastest [`SLOW`] times slower than on the machine as stated.
    SlowStroke,
    /// The latch does not catch the rod.
    NoCatch,
    /// The latch does not let go.
    NoRelease,
    /// A second blow, no weaker than [`HEARD`] of the first.
    TwoBlows,
    /// The pressure that lasts lifts the matrix: metal squirts out.
    Squirts,
    /// The mould does not become full, or its metal stops flowing, or too much air stays in it.
    Hollow,
    /// The first metal is too cold to knit.
    Lapped,
    /// The skin on the face is too thick.
    Rounded,
    /// The peak of the pressure lifts the matrix.
    Flashed,
    /// The type is not solid as the mould opens.
    Soft,
    /// It is solid in the mould that the first casts find, and no longer in the one that has warmed up.
    LaterBad,
}

impl Sight {
    /// Every sight, in the order in which they are listed.
    pub const ALL: [Self; 11] = [
        Self::SlowStroke,
        Self::NoCatch,
        Self::NoRelease,
        Self::TwoBlows,
        Self::Squirts,
        Self::Hollow,
        Self::Lapped,
        Self::Rounded,
        Self::Flashed,
        Self::Soft,
        Self::LaterBad,
    ];

    /// Whether it can be seen only with the latch set, or is asked of that setting unless told otherwise.
    pub fn is_of_latch(self) -> bool {
        matches!(self, Self::SlowStroke | Self::NoCatch | Self::NoRelease)
    }

    /// The limits that are missed where it is seen; none where it shows in the turn alone.
    pub fn limits(self) -> &'static [Limit] {
        match self {
            Self::SlowStroke | Self::TwoBlows | Self::Squirts => &[],
            Self::NoCatch => &[Limit::LatchHolds],
            Self::NoRelease => &[Limit::LatchTrips],
            Self::Hollow => &[Limit::Filled, Limit::Bulk, Limit::TrappedAir],
            Self::Lapped => &[Limit::Lapping],
            Self::Rounded => &[Limit::Skin],
            Self::Flashed => &[Limit::MatrixHeld],
            Self::Soft | Self::LaterBad => &[Limit::Solid],
        }
    }
}

/// A value that may be another than the one that stands for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// The name by which it is varied.
    pub path: String,
    /// What stands for it, SI.
    pub now: f64,
    /// The least and the greatest it may be, SI.
    pub range: (f64, f64),
    /// How it may lie, SI: as measured or assumed, and as it may have changed since.
    pub spreads: Vec<Distribution>,
}

impl Suspect {
    /// The chance that it is as far off as `value` or further.
    pub fn chance(&self, value: f64) -> f64 {
        self.spreads.iter().map(|spread| spread.tails(value)).fold(0.0, f64::max)
    }
}

/// What is asked.
pub struct Question<'a, V> {
    /// The machine with another value.
    pub vary: &'a V,
    /// The machine as stated.
    pub case: &'a Case,
    /// The values that may have changed.
    pub suspects: &'a [Suspect],
    /// What was seen.
    pub sight: Sight,
    /// How the latch stood.
    pub setting: LatchSetting,
}

/// A single change that brings it about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cause {
    /// Which of the suspects.
    pub suspect: usize,
    /// The least change to this value does it, SI.
    pub value: f64,
    /// The chance that the value is so far off or further.
    pub chance: f64,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// Nothing can be told: the turn could not be trusted, or a bound that it takes is not stated.
    NotKnown,
    /// The machine as stated does it, with nothing changed; the limit that it misses, where there is one.
    AsStated(Option<Margin>),
    /// The changes that bring it about, the likeliest first.
    Causes(Vec<Cause>),
}

/// What a machine shows.
struct Shown {
    /// From nought on it is seen; below, how far it is from that, as a logarithm.
    measure: f64,
    limit: Option<Margin>,
}

impl<V: Vary> Question<'_, V> {
    /// Solves the machine as stated and changed.
    pub fn answer(&self) -> Answer {
        let Some(shown) = self.shown(self.case) else { return Answer::NotKnown };
        if shown.measure >= 0.0 {
            return Answer::AsStated(shown.limit);
        }
        let ways: Vec<(usize, bool)> =
            (0..self.suspects.len()).flat_map(|suspect| [(suspect, false), (suspect, true)]).collect();
        let found = |&(suspect, upwards): &(usize, bool)| self.least(suspect, upwards, shown.measure);
        let mut causes: Vec<Cause> = ways.par_iter().filter_map(found).collect();
        causes.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        Answer::Causes(causes)
    }

    /// The least change of a value, up or down, that brings it about.
    fn least(&self, place: usize, upwards: bool, shown: f64) -> Option<Cause> {
        let suspect = self.suspects.get(place)?;
        let (now, (low, high)) = (suspect.now, suspect.range);
        let end = if upwards { high } else { low };
        if (upwards && end <= now) || (!upwards && end >= now) {
            return None;
        }
        // By ratio where the range allows it.
        let by_ratio = now > 0.0 && end > 0.0;
        let scale = |value: f64| if by_ratio { value.ln() } else { value };
        let back = |at: f64| if by_ratio { at.exp() } else { at };
        let (from, way) = (scale(now), scale(end) - scale(now));
        let at = |share: f64| self.measured(&suspect.path, back(from + share * way));
        let mut before = (0.0, shown);
        for share in LOOKS {
            let Some(measure) = at(share) else { continue };
            if measure >= 0.0 {
                let seen = |share: f64| at(share).unwrap_or(FAR);
                let share = crossing_between(seen, before, (share, measure), CLOSENESS);
                let value = back(from + share * way);
                return Some(Cause { suspect: place, value, chance: suspect.chance(value) });
            }
            before = (share, measure);
        }
        None
    }

    /// How far the machine with another value is from showing it; none where there is no such machine, or nothing is known of it.
    pub fn measured(&self, path: &str, value: f64) -> Option<f64> {
        self.shown(&(self.vary)(&[(path, value)]).ok()?).map(|shown| shown.measure)
    }

    fn machine(&self, case: &Case) -> Option<Machine> {
        Machine::prepare(&case.machine, case.cast.sort, case.cast.pace, self.setting).ok()
    }

    fn shown(&self, case: &Case) -> Option<Shown> {
        let machine = self.machine(case)?;
        let solid = Solid::at(cooling(&machine, case.terms.shut), case.terms.shut, case.cast.pace);
        if self.sight == Sight::LaterBad {
            let (measure, limit) = (self.warmed(case, &machine, &solid)?, Some(solid.margin()));
            return Some(Shown { measure, limit });
        }
        let turn = solve(&machine, case.terms.accuracy);
        if turn.findings.iter().any(Finding::makes_unreliable) {
            return None;
        }
        let clocks = Clocks::of(&machine, case.terms.acceptance);
        let standing = Standing::of((&machine, &turn), &clocks, &solid, &case.terms, Reading::Still);
        let missed = self.sight.limits().iter().filter_map(|limit| standing.margin(*limit));
        // What happens, not what is too near: without the reserve.
        let factor = |margin: &Margin| margin.factor * margin.reserve;
        let limit =
            missed.filter(|margin| margin.is_known()).min_by(|a, b| factor(a).total_cmp(&factor(b))).copied();
        let by_limit = limit.map(|margin| missed_by(factor(&margin)));
        let reached = turn.first(EventKind::EntryReached).is_some();
        let measure = match self.sight {
            Sight::SlowStroke => self.slower(&turn)?,
            Sight::TwoBlows => second_blow(&machine, &turn),
            Sight::Squirts => {
                missed_by(machine.mould.hold_down? / turn.hold_lifting_force.max(f64::MIN_POSITIVE))
            }
            Sight::NoCatch if never_caught(&turn) => 1.0,
            Sight::Flashed => by_limit.filter(|_| machine.mould.hold_down.is_some())?,
            // Nothing can be seen of a cast that there is not.
            Sight::Hollow if !reached => FAR,
            Sight::Lapped | Sight::Rounded => by_limit.unwrap_or(FAR),
            Sight::Hollow | Sight::NoCatch | Sight::NoRelease | Sight::Soft => by_limit?,
            Sight::LaterBad => FAR,
        };
        Some(Shown { measure, limit })
    }

    /// How much slower the piston is than on the machine as stated.
    fn slower(&self, turn: &Turn) -> Option<f64> {
        // A rod that the latch holds throughout makes no stroke that could be heard.
        if turn.findings.iter().any(|finding| matches!(finding, Finding::NeverTrips { .. })) {
            return Some(FAR);
        }
        let stated = solve(&self.machine(self.case)?, self.case.terms.accuracy).peaks.piston_speed;
        Some(bounded_log(stated / turn.peaks.piston_speed / SLOW))
    }

    /// How far the type is from being solid in the mould of the first casts and not in the one that has warmed up.
    fn warmed(&self, case: &Case, machine: &Machine, warm: &Solid) -> Option<f64> {
        let cold = match (&machine.mould.balance, &self.case.machine.mould.wall) {
            (Some(balance), _) => balance.water.idle(),
            (None, WallStatement::Temperature(wall)) => wall.0,
            (None, WallStatement::Cooled(_)) => return None,
        };
        if cold >= machine.mould.wall_temperature {
            return Some(FAR);
        }
        let mut first = machine.clone();
        first.mould.wall_temperature = cold;
        let first = Solid::at(cooling(&first, case.terms.shut), case.terms.shut, case.cast.pace);
        Some((-missed_by(first.margin().factor)).min(missed_by(warm.margin().factor)))
    }
}

/// From nought on a limit kept `factor` times over is missed.
fn missed_by(factor: f64) -> f64 {
    let log = -bounded_log(factor);
    // A limit met exactly is kept.
    if log == 0.0 { -f64::MIN_POSITIVE } else { log }
}

/// Whether the latch let go and did not catch the rod again.
fn never_caught(turn: &Turn) -> bool {
    turn.first(EventKind::LatchLetsGo).is_some() && turn.first(EventKind::LatchCatches).is_none()
}

/// How far the second of the turn's two strongest blows is from being heard: the shoulder against the cross block, the follower
/// against its cam, the rod as the full mould stops it.
fn second_blow(machine: &Machine, turn: &Turn) -> f64 {
    let energy = |mass: f64, speed: f64| 0.5 * mass * speed * speed;
    let blows = turn.events.iter().filter_map(|event| {
        let state = &event.before;
        match event.kind {
            EventKind::ShoulderStrikes => Some(energy(machine.rod.mass, state.rod_speed - state.block_speed)),
            EventKind::FollowerReturns => {
                let cam = machine.cam.at(event.angle);
                Some(energy(machine.cross_block.mass, cam.slope * machine.shaft_speed - state.block_speed))
            }
            EventKind::Full => Some(energy(machine.rod.mass, state.rod_speed)),
            _ => None,
        }
    });
    let (strongest, second) = blows
        .fold((0.0_f64, 0.0_f64), |(first, second), blow| (first.max(blow), second.max(blow.min(first))));
    if strongest > 0.0 { bounded_log(second / strongest / HEARD) } else { FAR }
}
