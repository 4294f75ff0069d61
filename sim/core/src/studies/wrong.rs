//! From what is seen or heard to what may have changed: which single value of the machine, moved how far, brings it about.
//!
//! Each suspected value is moved away from where it stands, either way, until the turn solved of the machine so changed shows what was
//! seen ([`Sight`]); the least such change is told, the one first that lies least far out in what is known of its value. How far out is
//! the chance that the value is off by as much or more, two-sided, in the widest of its distributions.

use super::distribution::Distribution;
use super::judge::{Solid, bounded_log};
use super::tolerance::{Case, Vary};
use crate::limits::{Freezings, Limit, Margin, Reading, Standing, Unknown};
use crate::parallel::prelude::*;
use crate::roots::crossing_between;
use crate::turn::{EventKind, Finding, Turn, solve, solve_for_limits};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::mould::WallStatement;
use std::cell::Cell;
use strum::VariantArray;

/// How many times slower a stroke must be to sound slow.
pub const SLOW: f64 = 1.5;
/// How hard the shoulder must strike to be heard, m/s: twice the speed at which it comes home on the return. Our judgement.
pub const HARD: f64 = 0.1;
/// At which shares of the way to the end of a range the search looks. What begins and ends between two looks is not seen.
const LOOKS: [f64; 6] = [0.03, 0.1, 0.25, 0.45, 0.7, 1.0];
/// How closely a value is found, as a share of the way.
const CLOSENESS: f64 = 1e-3;
/// What counts for no sign of it at all.
const FAR: f64 = -std::f64::consts::LN_10;

/// What an owner sees or hears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Sight {
    /// The piston is at its fastest [`SLOW`] times slower than on the machine as stated.
    SlowStroke,
    /// The latch does not catch the rod.
    NoCatch,
    /// The latch does not let go.
    NoRelease,
    /// A second blow after that of the latch letting go: the thrown rod is not stopped by its metal and strikes its shoulder on the
    /// lifted cross block, at [`HARD`] or more.
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
    pub const ALL: &'static [Self] = Self::VARIANTS;

    /// Whether it can be seen only with the latch set, or is asked of that setting unless told otherwise.
    pub fn is_of_latch(self) -> bool {
        matches!(self, Self::SlowStroke | Self::NoCatch | Self::NoRelease | Self::TwoBlows)
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
    /// What it would be with the piece left out, or another in its place, SI; empty where it is no loose piece.
    pub pieces: Vec<f64>,
}

impl Suspect {
    /// The chance that it is as far off as `value` or further.
    pub fn chance(&self, value: f64) -> f64 {
        self.spreads.iter().map(|spread| spread.tails(value)).fold(0.0, f64::max)
    }

    /// The value nearest to what stands, on the way from there to `end`, for which a measure is nought or above, and a little
    /// further, as far as the search can tell, so that it is so. The measure `now` is below nought; where there is no machine, or
    /// nothing is known of it, there is none, which is no sign of it at all.
    pub(super) fn least_change(
        &self,
        end: f64,
        now: f64,
        measure: impl Fn(f64) -> Option<f64>,
    ) -> Option<f64> {
        // By ratio where the range allows it.
        let by_ratio = self.now > 0.0 && end > 0.0;
        let scale = |value: f64| if by_ratio { libm::log(value) } else { value };
        let back = |at: f64| if by_ratio { libm::exp(at) } else { at };
        let (from, way) = (scale(self.now), scale(end) - scale(self.now));
        let at = |share: f64| measure(back(from + share * way));
        let mut before = (0.0, now);
        for share in LOOKS {
            let Some(here) = at(share) else { continue };
            if here >= 0.0 {
                let seen = |share: f64| at(share).unwrap_or(now.min(FAR));
                let crossing = crossing_between(seen, before, (share, here), CLOSENESS);
                return Some(back(from + (crossing + CLOSENESS).min(share) * way));
            }
            before = (share, here);
        }
        None
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
    /// The chance that the value is so far off or further; none where a piece is left out or another is in its place, which is no
    /// matter of how far off, and is seen by looking.
    pub chance: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// Nothing can be told, and why not.
    NotKnown(Unknown),
    /// The machine as stated does it, with nothing changed; the limit that it misses, where there is one.
    AsStated(Option<Margin>),
    /// The single changes that bring it about, and those of which nothing is known.
    Causes(Found),
}

/// What came of every single change.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Those that bring it about: pieces left out or mistaken, then the others, the likeliest first.
    pub causes: Vec<Cause>,
    /// Those that gave a machine whose turn could not be solved, in the order of the suspects.
    pub unsolved: Vec<Unsolved>,
}

/// A change with which the turn could not be solved so that it can be trusted: whether it brings it about is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unsolved {
    /// Which of the suspects.
    pub suspect: usize,
    /// The value, SI: of those looked at, the one nearest to what stands.
    pub value: f64,
    /// What came of the turn.
    pub finding: Finding,
}

/// Why nothing can be seen of a machine.
enum Unseen {
    /// There can be no such machine.
    NoMachine(Vec<Fault>),
    /// Its springs do not go into less room than they take solid.
    NoRoom,
    /// Its turn could not be solved so that it can be trusted.
    Unsolved(Finding),
    /// A value that it takes is not stated.
    NotStated,
}

/// What a machine shows.
struct Shown {
    /// From nought on it is seen; below, how far it is from that, as a logarithm.
    measure: f64,
    limit: Option<Margin>,
    /// The piston at its fastest, m/s.
    stroke: f64,
}

impl<V: Vary> Question<'_, V> {
    /// Solves the machine as stated and changed.
    ///
    /// # Errors
    /// The faults of the machine as stated. A change that gives a machine that cannot be is left out: such a machine shows nothing.
    pub fn answer(&self) -> Result<Answer, Vec<Fault>> {
        let mut search = Search { asked: self, freezings: Freezings::on(&self.case.terms), stroke: None };
        let shown = match search.shown(self.case) {
            Ok(shown) => shown,
            Err(Unseen::NoMachine(faults)) => return Err(faults),
            Err(Unseen::Unsolved(_)) => return Ok(Answer::NotKnown(Unknown::Untrusted)),
            Err(Unseen::NoRoom) => return Ok(Answer::NotKnown(Unknown::NoRoom)),
            Err(Unseen::NotStated) => return Ok(Answer::NotKnown(Unknown::NotStated)),
        };
        if shown.measure >= 0.0 {
            return Ok(Answer::AsStated(shown.limit));
        }
        search.stroke = Some(shown.stroke);
        let ways: Vec<(usize, Way)> = (0..self.suspects.len())
            .flat_map(|suspect| [Way::Piece, Way::Down, Way::Up].map(|way| (suspect, way)))
            .collect();
        let found = |&(suspect, way): &(usize, Way)| search.least(suspect, way, shown.measure);
        let found: Vec<(Option<Cause>, Option<Unsolved>)> = ways.par_iter().map(found).collect();
        let unsolved = found.iter().filter_map(|(_, unsolved)| *unsolved).collect();
        let mut causes: Vec<Cause> = found.into_iter().filter_map(|(cause, _)| cause).collect();
        let rank = |cause: &Cause| cause.chance.unwrap_or(f64::INFINITY);
        causes.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
        Ok(Answer::Causes(Found { causes, unsolved }))
    }
}

/// How a value may be another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Piece,
    Down,
    Up,
}

/// A question under way.
struct Search<'a, V> {
    asked: &'a Question<'a, V>,
    freezings: Freezings<'a>,
    /// The piston at its fastest on the machine as stated, m/s; none while that one is being solved.
    stroke: Option<f64>,
}

impl<V: Vary> Search<'_, V> {
    /// The least change of a value, one way, that brings it about; and the nearest that was looked at on that way and not solved.
    fn least(&self, place: usize, way: Way, shown: f64) -> (Option<Cause>, Option<Unsolved>) {
        let Some(suspect) = self.asked.suspects.get(place) else { return (None, None) };
        let unsolved: Cell<Option<Unsolved>> = Cell::new(None);
        let measured = |value: f64| {
            let case = (self.asked.vary)(&[(&suspect.path, value)]).ok()?;
            match self.shown(&case) {
                Ok(shown) => Some(shown.measure),
                Err(Unseen::Unsolved(finding)) => {
                    let off = |value: f64| (value - suspect.now).abs();
                    if unsolved.get().is_none_or(|nearest| off(value) < off(nearest.value)) {
                        unsolved.set(Some(Unsolved { suspect: place, value, finding }));
                    }
                    None
                }
                Err(Unseen::NoMachine(_) | Unseen::NoRoom | Unseen::NotStated) => None,
            }
        };
        let cause = Self::nearest((place, suspect), way, shown, measured);
        (cause, unsolved.get())
    }

    fn nearest(
        (place, suspect): (usize, &Suspect),
        way: Way,
        shown: f64,
        measured: impl Fn(f64) -> Option<f64>,
    ) -> Option<Cause> {
        let (now, (low, high)) = (suspect.now, suspect.range);
        let end = match way {
            Way::Piece => {
                let does = |value: &&f64| measured(**value).is_some_and(|measure| measure >= 0.0);
                let value = *suspect.pieces.iter().find(does)?;
                return Some(Cause { suspect: place, value, chance: None });
            }
            Way::Down if low < now => low,
            Way::Up if high > now => high,
            Way::Down | Way::Up => return None,
        };
        let value = suspect.least_change(end, shown, measured)?;
        Some(Cause { suspect: place, value, chance: Some(suspect.chance(value)) })
    }

    fn shown(&self, case: &Case) -> Result<Shown, Unseen> {
        let (sight, pace) = (self.asked.sight, case.cast.pace);
        let machine = Machine::prepare(&case.machine, case.cast.sort, pace, self.asked.setting)
            .map_err(Unseen::NoMachine)?;
        if machine.coil_room().is_some_and(|room| room < 0.0) {
            return Err(Unseen::NoRoom);
        }
        // Of other terms nothing met so far holds.
        let own = Freezings::on(&case.terms);
        let freezings = if case.terms == *self.freezings.terms { &self.freezings } else { &own };
        let (clocks, solid) = freezings.of(&machine, pace);
        if sight == Sight::LaterBad {
            let measure = warmed(self.asked.case, (case, &machine), &solid, freezings)?;
            return Ok(Shown { measure, limit: Some(solid.margin()), stroke: 0.0 });
        }
        // Whether the latch catches the rod hangs on how the turn ends, all else on what the limits take.
        let solve = if sight == Sight::NoCatch { solve } else { solve_for_limits };
        let turn = solve(&machine, case.terms.accuracy);
        if let Some(finding) = turn.findings.iter().find(|finding| finding.makes_unreliable()) {
            return Err(Unseen::Unsolved(*finding));
        }
        let standing = Standing::of((&machine, &turn), &clocks, &solid, &case.terms, Reading::Still);
        let missed = sight.limits().iter().filter_map(|limit| standing.margin(*limit));
        // What happens, not what is too near: without the reserve.
        let factor = |margin: &Margin| margin.factor * margin.reserve;
        let limit =
            missed.filter(|margin| margin.is_known()).min_by(|a, b| factor(a).total_cmp(&factor(b))).copied();
        // Nothing can be seen of a cast that there is not, or of a latch that stands aside.
        let by_limit = limit.map_or(FAR, |margin| missed_by(factor(&margin)));
        let reached = turn.first(EventKind::EntryReached).is_some();
        let hold_down = machine.mould.hold_down.ok_or(Unseen::NotStated);
        let measure = match sight {
            Sight::SlowStroke => self.slower(&turn),
            Sight::Squirts => missed_by(hold_down? / turn.hold_lifting_force.max(f64::MIN_POSITIVE)),
            Sight::TwoBlows => second_blow(&turn).map_or(FAR, |speed| bounded_log(speed / HARD)),
            Sight::NoCatch if never_caught(&turn) => 1.0,
            Sight::Flashed => hold_down.map(|_| by_limit)?,
            Sight::Hollow if !reached => FAR,
            Sight::Hollow
            | Sight::NoCatch
            | Sight::NoRelease
            | Sight::Lapped
            | Sight::Rounded
            | Sight::Soft
            | Sight::LaterBad => by_limit,
        };
        Ok(Shown { measure, limit, stroke: turn.peaks.piston_speed })
    }

    /// How much slower the piston is than on the machine as stated.
    fn slower(&self, turn: &Turn) -> f64 {
        // A rod that the latch holds throughout makes no stroke that could be heard.
        if turn.findings.iter().any(|finding| matches!(finding, Finding::NeverTrips { .. })) {
            return FAR;
        }
        let stroke = turn.peaks.piston_speed;
        bounded_log(self.stroke.unwrap_or(stroke) / stroke / SLOW)
    }
}

/// How far the type is from being solid in the mould of the first casts and not in the one that has warmed up.
fn warmed(
    stated: &Case,
    (case, machine): (&Case, &Machine),
    warm: &Solid,
    freezings: &Freezings<'_>,
) -> Result<f64, Unseen> {
    let cold = match (&machine.mould.balance, &stated.machine.mould.wall) {
        (Some(balance), _) => balance.water.idle(),
        // Without a balance the wall as stated is that of the first casts, and a warmer one that of later casts.
        (None, WallStatement::Temperature(wall)) => wall.0,
        (None, WallStatement::Cooled(_)) => return Err(Unseen::NotStated),
    };
    if cold >= machine.mould.wall_temperature {
        return Ok(FAR);
    }
    let mut first = machine.clone();
    first.mould.wall_temperature = cold;
    let (_, first) = freezings.of(&first, case.cast.pace);
    Ok((-missed_by(first.margin().factor)).min(missed_by(warm.margin().factor)))
}

/// From nought on a limit kept `factor` times over is missed.
fn missed_by(factor: f64) -> f64 {
    let log = -bounded_log(factor);
    // A limit met exactly is kept.
    if log == 0.0 { -f64::MIN_POSITIVE } else { log }
}

/// How hard the thrown rod's shoulder strikes the cross block, m/s; none where it does not. The way home, on which it always comes down
/// on it, is left out of what the limits take.
fn second_blow(turn: &Turn) -> Option<f64> {
    turn.throw.filter(|throw| throw.caught_up.is_some()).map(|throw| throw.strike_speed)
}

/// Whether the latch let go and did not catch the rod again.
fn never_caught(turn: &Turn) -> bool {
    turn.first(EventKind::LatchLetsGo).is_some() && turn.first(EventKind::LatchCatches).is_none()
}
