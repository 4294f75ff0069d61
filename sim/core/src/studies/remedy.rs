//! What would change the answer for a cast: one thing changed at a time, by as little as it takes, in either direction.
//!
//! For a cast that works: the next values at which another setting is wanted, the type is no longer solid, or a limit that is
//! kept now is lost. For one that does not: the next values at which it works. The search goes outwards from the present value
//! by whole turns; only the accepted skin and the hold-down, which do not touch the turn, need none.

mod change;

pub use change::Change;

use super::cooling::{Cooling, fastest_solid};
use super::judge::{Appraisal, Bounds, Limit, PACES, Solid, Standing, Terms, Verdict};
use crate::parallel::prelude::*;
use crate::roots::crossing_between;
use crate::turn::solve;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};

/// What becomes of a cast beyond a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Then {
    /// The latch may stand aside.
    LeaveAside,
    /// The latch must be set.
    Set,
    /// Neither setting fills the mould in time.
    Neither,
    /// The type is not solid before the mould opens.
    NotSolid,
    /// The same setting does, but loses this limit.
    Loses(Limit),
    /// The same setting does, and keeps this limit at last.
    Keeps(Limit),
}

/// Where the answer changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flip {
    /// The first value beyond, SI.
    pub value: f64,
    /// What becomes of the cast there.
    pub then: Then,
}

/// What changing one thing does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remedy {
    /// What is changed.
    pub change: Change,
    /// The value now, SI.
    pub now: f64,
    /// The values tried, least and greatest, SI.
    pub tried: (f64, f64),
    /// Where the answer first changes below the present value.
    pub below: Option<Flip>,
    /// Where it first changes above.
    pub above: Option<Flip>,
}

/// At which shares of the way to the end of a range the search looks. A window that falls between two looks is not seen.
const LOOKS: [f64; 3] = [0.25, 0.5, 1.0];
/// How much further than the value found the answer is looked at, as shares of the way, until it has changed: a root that is met
/// exactly lies on neither side, and cooling is solved in steps.
const BEYOND: [f64; 3] = [1e-4, 1e-3, 1e-2];
/// A limit kept or missed more than ten times over counts as ten, so that a search still knows which way to go.
const MOST: f64 = std::f64::consts::LN_10;

/// Tries every change for a cast.
///
/// # Errors
/// The faults of the statement.
pub fn remedies(
    stated: &MachineStatement,
    appraisal: &Appraisal,
    terms: &Terms,
) -> Result<Vec<Remedy>, Vec<Fault>> {
    let cast = appraisal.judgement.cast;
    let machine = Machine::prepare(stated, cast.sort, cast.pace, LatchSetting::Set)?;
    let setting = appraisal.advised();
    let question = Question { stated, appraisal, terms, machine, setting };
    Ok(Change::ALL.par_iter().filter_map(|&change| question.remedy(change)).collect())
}

/// How both settings stand; none where it was not asked.
type Both = (Option<Standing>, Option<Standing>);

/// Which settings are to be solved.
#[derive(Debug, Clone, Copy)]
struct Ways {
    aside: bool,
    set: bool,
}

/// For either setting, from nought on it has changed the answer; below, how far it is from that, as a logarithm.
#[derive(Debug, Clone, Copy)]
struct Signs {
    aside: f64,
    set: f64,
}

impl Signs {
    fn any(&self) -> bool {
        self.aside >= 0.0 || self.set >= 0.0
    }

    fn greater(&self) -> f64 {
        self.aside.max(self.set)
    }

    /// The settings that need be followed to where the answer first changes, and the sign to follow: only those that have
    /// changed it here.
    fn first(&self, of: Ways) -> (Ways, fn(&Self) -> f64) {
        match (self.aside >= 0.0, self.set >= 0.0) {
            (true, false) => (Ways { aside: true, set: false }, |signs| signs.aside),
            (false, true) => (Ways { aside: false, set: true }, |signs| signs.set),
            _ => (of, Self::greater),
        }
    }
}

struct Question<'a> {
    stated: &'a MachineStatement,
    appraisal: &'a Appraisal,
    terms: &'a Terms,
    machine: Machine,
    setting: LatchSetting,
}

impl Question<'_> {
    fn remedy(&self, change: Change) -> Option<Remedy> {
        // Where the latch stands aside its trip lift does nothing.
        if change == Change::TripLift && self.appraisal.judgement.verdict == Verdict::LeaveAside {
            return None;
        }
        let now = change.now(self.stated, &self.machine, self.appraisal.judgement.cast, self.terms)?;
        let solid = self.appraisal.solid.cooling.map(|cooling| cooling.pace);
        // A hair less, so that at the end of the range the type counts as solid.
        let tried = change.range(&self.machine, now, solid.map(|pace| pace * (1.0 - 1e-9)));
        let (below, above) = if change == Change::HoldDown {
            self.hold_down(now)?
        } else {
            let mut above = self.search(change, now, tried, true);
            if above.is_none() && change == Change::Pace && self.appraisal.can_be_cast() {
                // Up to the fastest solid pace nothing else changes; beyond it the type is not solid.
                above =
                    solid.filter(|&pace| pace < PACES.1).map(|value| Flip { value, then: Then::NotSolid });
            }
            (self.search(change, now, tried, false), above)
        };
        Some(Remedy { change, now, tried, below, above })
    }

    /// The hold-down that just holds, below or above the present one; none where the mould does not become full.
    fn hold_down(&self, now: f64) -> Option<(Option<Flip>, Option<Flip>)> {
        let limit = Limit::MatrixLift;
        let kept = self.appraisal.deciding(|of| of == limit)?;
        let value = now / kept.times;
        Some(if kept.is_kept() {
            (Some(Flip { value, then: Then::Loses(limit) }), None)
        } else {
            (None, Some(Flip { value, then: Then::Keeps(limit) }))
        })
    }

    /// The first flip on the way from `now` to an end of the range `tried`: the upper one if `upwards`, else the lower.
    fn search(&self, change: Change, now: f64, tried: (f64, f64), upwards: bool) -> Option<Flip> {
        let (least, most) = tried;
        if (upwards && now >= most) || (!upwards && now <= least) {
            return None;
        }
        let end = if upwards { most } else { least };
        // A value now out of the range, such as a trip lift beyond the cam's reach, is first brought to the nearer end.
        let start = now.clamp(least, most);
        let scale = |value: f64| if change.by_ratio() { value.ln() } else { value };
        let back = |at: f64| if change.by_ratio() { at.exp() } else { at };
        let ways = self.ways();
        let look = |at: f64| (at, self.signs(&self.standings(change, back(at), ways)));
        let mut before = (scale(start), self.signs(&self.present()));
        if !(least..=most).contains(&now) {
            before = look(before.0);
            if before.1.any() {
                return Some(self.flip(change, start));
            }
        }
        let (from, way) = (before.0, scale(end) - before.0);
        for share in LOOKS {
            let here = look(from + share * way);
            if here.1.any() {
                let (ways, sign) = here.1.first(ways);
                let value = |at: f64| sign(&self.signs(&self.standings(change, back(at), ways)));
                let (a, b) = ((before.0, sign(&before.1)), (here.0, sign(&here.1)));
                let found = crossing_between(value, a, b, change.closeness() * way.abs());
                return Some(self.flip_beyond(change, |share| back(found + share * way)));
            }
            before = here;
        }
        None
    }

    fn present(&self) -> Both {
        (Some(self.appraisal.aside.clone()), Some(self.appraisal.set.clone()))
    }

    /// Which settings can change the answer: where the latch may stand aside, only that one; else either.
    fn ways(&self) -> Ways {
        Ways { aside: true, set: self.appraisal.judgement.verdict != Verdict::LeaveAside }
    }

    /// How far either setting is from changing the answer, or beyond it.
    fn signs(&self, both: &Both) -> Signs {
        let slack = |standing: Option<&Standing>, of: &dyn Fn(Limit) -> bool| {
            standing.map_or(-MOST, |standing| standing.times(of).ln().clamp(-MOST, MOST))
        };
        let (aside, set) = (both.0.as_ref(), both.1.as_ref());
        let kept = |limit: Limit| self.is_kept_now(limit);
        if !self.appraisal.can_be_cast() {
            return Signs { aside: slack(aside, &Limit::is_vital), set: slack(set, &Limit::is_vital) };
        }
        match self.appraisal.judgement.verdict {
            Verdict::LeaveAside => Signs { aside: -slack(aside, &kept), set: -MOST },
            Verdict::Set | Verdict::Neither => {
                Signs { aside: slack(aside, &Limit::is_of_fill), set: -slack(set, &kept) }
            }
        }
    }

    fn of_setting<'b>(&self, both: &'b Both) -> Option<&'b Standing> {
        match self.setting {
            LatchSetting::Aside => both.0.as_ref(),
            LatchSetting::Set => both.1.as_ref(),
        }
    }

    /// Whether a limit is to be kept on: it is vital, or it is kept now.
    fn is_kept_now(&self, limit: Limit) -> bool {
        limit.is_vital() || self.appraisal.deciding(|of| of == limit).is_some_and(|kept| kept.is_kept())
    }

    /// How the cast stands with `value` in place, by the settings asked for. Nothing where there is no such machine.
    fn standings(&self, change: Change, value: f64, ways: Ways) -> Both {
        let judgement = &self.appraisal.judgement;
        let (stated, cast, terms) =
            change.apply(self.stated, &self.machine, judgement.cast, self.terms, value);
        let Ok(machine) = Machine::prepare(&stated, cast.sort, cast.pace, LatchSetting::Aside) else {
            return (None, None);
        };
        let cooling: Option<Cooling> = if change.changes_cooling() {
            fastest_solid(&stated, cast.sort, terms.shut).unwrap_or(None)
        } else {
            self.appraisal.solid.cooling
        };
        let bounds = Bounds::of(&machine, &terms, Solid::at(cooling, cast.pace).times);
        let standing = |asked: bool, setting: LatchSetting| {
            asked.then(|| match (change, setting) {
                // The accepted skin touches no turn, and the trip lift none with the latch aside.
                (Change::AcceptedSkin | Change::TripLift, LatchSetting::Aside) => {
                    Standing::of(&judgement.aside, &bounds)
                }
                (Change::AcceptedSkin, LatchSetting::Set) => Standing::of(&judgement.set, &bounds),
                _ => Standing::of(&solve(&Machine { setting, ..machine.clone() }, terms.accuracy), &bounds),
            })
        };
        (standing(ways.aside, LatchSetting::Aside), standing(ways.set, LatchSetting::Set))
    }

    fn flip_beyond(&self, change: Change, value: impl Fn(f64) -> f64) -> Flip {
        let [first, further @ ..] = BEYOND;
        let mut flip = self.flip(change, value(first));
        for share in further {
            let unchanged = self.appraisal.can_be_cast()
                && match self.appraisal.judgement.verdict {
                    Verdict::LeaveAside => flip.then == Then::LeaveAside,
                    Verdict::Set => flip.then == Then::Set,
                    Verdict::Neither => false,
                };
            if !unchanged {
                break;
            }
            flip = self.flip(change, value(share));
        }
        flip
    }

    fn flip(&self, change: Change, value: f64) -> Flip {
        let both = self.standings(change, value, Ways { aside: true, set: true });
        Flip { value, then: self.then(&both) }
    }

    fn then(&self, both: &Both) -> Then {
        let fills = |standing: &Option<Standing>| standing.as_ref().is_some_and(Standing::fills);
        let advised = self.of_setting(both);
        if !advised.is_some_and(Standing::is_solid) {
            return Then::NotSolid;
        }
        let (verdict, then) = if fills(&both.0) {
            (Verdict::LeaveAside, Then::LeaveAside)
        } else if fills(&both.1) {
            (Verdict::Set, Then::Set)
        } else {
            (Verdict::Neither, Then::Neither)
        };
        let lost = advised.and_then(|standing| standing.deciding(|limit| self.is_kept_now(limit)));
        match lost {
            Some(lost) if then == Then::Neither && lost.limit == Limit::Setting => Then::Loses(lost.limit),
            Some(lost) if verdict == self.appraisal.judgement.verdict && !lost.is_kept() => {
                Then::Loses(lost.limit)
            }
            _ => then,
        }
    }
}
