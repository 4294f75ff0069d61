//! What would change the answer: one thing changed at a time, by as little as it takes, in either direction.
//!
//! For a cast that some setting of the latch does: the next values at which the verdict is another. For casts of which one or more
//! cannot be made: the next values at which all of them can. Every value tried is judged as [`judge`](super::judge::judge) would
//! judge the changed machine, each size at the pace at which it is then really cast unless one pace is asked for, and a value is
//! told only when the judgement beyond it is another.

mod change;

pub use change::Change;

use super::judge::{Cast, Judgement, Terms, Verdict, bounded_log, stand};
use super::real_pace::real_pace;
use crate::limits::{Clocks, Freezings, Limit, Reading, Standing};
use crate::parallel::prelude::*;
use crate::roots::crossing_between;
use crate::turn::Turn;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::Pace;

/// At which pace a changed machine casts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pacing {
    /// At that of the cast, whatever is changed.
    Fixed,
    /// At the pace at which the size is then really cast, on a machine run no faster than this.
    Real {
        /// The fastest pace.
        fastest: Pace,
    },
}

impl Pacing {
    /// A cast of a machine, which need not be the one it was first asked of, at the pace at which that machine casts it.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn cast(
        self,
        stated: &MachineStatement,
        cast: Cast,
        freezings: &Freezings<'_>,
    ) -> Result<Cast, Vec<Fault>> {
        let Self::Real { fastest } = self else { return Ok(cast) };
        let pace = real_pace(freezings.fastest_solid(stated, cast.sort)?, fastest).pace;
        Ok(Cast { pace, ..cast })
    }
}

/// Where the answer changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flip {
    /// The first value beyond, SI.
    pub value: f64,
    /// The verdict there: for several casts the least favourable.
    pub verdict: Verdict,
    /// The limit that stands in the way there, where the verdict is that neither setting does.
    pub lost: Option<Limit>,
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
const LOOKS: [f64; 4] = [0.1, 0.25, 0.5, 1.0];
/// How much further than the value found the answer is looked at, as shares of the way, until it has changed: a root that is met
/// exactly lies on neither side, and cooling is solved in steps.
const BEYOND: [f64; 4] = [1e-4, 1e-3, 5e-3, 2e-2];

/// Tries every change for the casts judged, together: what changes the verdict of the one there is, or what makes all of them
/// possible.
///
/// # Errors
/// The faults of the statement.
pub fn remedies(
    stated: &MachineStatement,
    judged: &[&Judgement],
    terms: &Terms,
    pacing: Pacing,
) -> Result<Vec<Remedy>, Vec<Fault>> {
    let Some(first) = judged.first() else { return Ok(Vec::new()) };
    let machine = Machine::prepare(stated, first.cast.sort, first.cast.pace, LatchSetting::Set)?;
    let freezings = Freezings::on(terms);
    let question = Question { stated, judged, freezings, machine, pacing };
    Ok(Change::ALL.par_iter().filter_map(|&change| question.remedy(change)).collect())
}

struct Question<'a> {
    stated: &'a MachineStatement,
    judged: &'a [&'a Judgement],
    /// On the terms as they are.
    freezings: Freezings<'a>,
    machine: Machine,
    pacing: Pacing,
}

/// How both settings of a cast stand; none where there is no such machine.
type Both = Option<[Standing; 2]>;

impl Question<'_> {
    fn remedy(&self, change: Change) -> Option<Remedy> {
        let only = |verdict: Verdict| self.judged.iter().all(|judgement| judgement.verdict == verdict);
        // Where the latch stands aside sleeve and trip do nothing.
        if change.is_of_latch() && only(Verdict::LeaveAside) {
            return None;
        }
        // A pace that follows from the cooling is not the owner's to choose.
        if change == Change::Pace && self.pacing != Pacing::Fixed {
            return None;
        }
        let cast = self.judged.first()?.cast;
        let now = change.now(self.stated, &self.machine, cast, self.freezings.terms)?;
        let tried = change.range(&self.machine, now);
        let (below, above) = (self.search(change, now, tried, false), self.search(change, now, tried, true));
        Some(Remedy { change, now, tried, below, above })
    }

    /// The first flip on the way from `now` to an end of the range `tried`: the upper one if `upwards`, else the lower.
    fn search(&self, change: Change, now: f64, tried: (f64, f64), upwards: bool) -> Option<Flip> {
        let (least, most) = tried;
        if (upwards && now >= most) || (!upwards && now <= least) {
            return None;
        }
        let scale = |value: f64| if change.by_ratio() { libm::log(value) } else { value };
        let back = |at: f64| if change.by_ratio() { libm::exp(at) } else { at };
        let (from, end) = (scale(now.clamp(least, most)), scale(if upwards { most } else { least }));
        let way = end - from;
        // Where the latch may stand aside in every cast, the turn with it set has no say in when that ends.
        let with_set = self.judged.iter().any(|judgement| judgement.verdict != Verdict::LeaveAside);
        let value = |at: f64| self.changed(&self.standings(change, back(at), with_set));
        let inside = (least..=most).contains(&now);
        let mut before = (from, if inside { self.changed_now() } else { value(from) });
        if before.1 >= 0.0 {
            return self.flip(change, back(from));
        }
        for share in LOOKS {
            let here = (from + share * way, value(from + share * way));
            if here.1 >= 0.0 {
                let found = crossing_between(value, before, here, change.closeness() * way.abs());
                return BEYOND.iter().find_map(|share| {
                    let at = found + share * way;
                    let at = if way > 0.0 { at.min(end) } else { at.max(end) };
                    self.flip(change, back(at))
                });
            }
            before = here;
        }
        None
    }

    fn changed_now(&self) -> f64 {
        let standings: Vec<Both> =
            self.judged.iter().map(|judgement| Some(judgement.standings.clone())).collect();
        self.changed(&standings)
    }

    /// From nought on the answer is another one; below, how far it is from that, as a logarithm.
    fn changed(&self, standings: &[Both]) -> f64 {
        let log = |standing: &Standing| standing.factor().map_or(-1.0, bounded_log);
        let of = |(judgement, both): (&&Judgement, &Both)| {
            let Some([aside, set]) = both else {
                return if judgement.can_be_cast() { 1.0 } else { -std::f64::consts::LN_10 };
            };
            match judgement.verdict {
                Verdict::LeaveAside => -log(aside),
                Verdict::Set => log(aside).max(-log(set)),
                Verdict::Neither | Verdict::NotKnown => log(aside).max(log(set)),
            }
        };
        let together = |of: &dyn Fn((&&Judgement, &Both)) -> f64| {
            self.judged.iter().zip(standings).map(of).fold(f64::INFINITY, f64::min)
        };
        if self.all_cast() {
            return together(&of);
        }
        // All of them must be possible, those too that are now.
        let possible = |(_, both): (&&Judgement, &Both)| match both {
            Some([aside, set]) => log(aside).max(log(set)),
            None => -std::f64::consts::LN_10,
        };
        together(&possible)
    }

    fn all_cast(&self) -> bool {
        self.judged.iter().all(|judgement| judgement.can_be_cast())
    }

    /// How each cast stands with `value` in place, as the judge has it.
    fn standings(&self, change: Change, value: f64, with_set: bool) -> Vec<Both> {
        self.judged.iter().map(|judgement| self.standing(change, value, judgement, with_set)).collect()
    }

    /// `with_set`: whether the turn with the latch set is solved too; else it stands as now.
    fn standing(&self, change: Change, value: f64, judgement: &Judgement, with_set: bool) -> Both {
        let (stated, mut cast, terms) =
            change.apply(self.stated, &self.machine, judgement.cast, self.freezings.terms, value);
        if change.changes_cooling() {
            cast = self.pacing.cast(&stated, cast, &self.freezings).ok()?;
        }
        let machine = Machine::prepare(&stated, cast.sort, cast.pace, LatchSetting::Aside).ok()?;
        let set = Machine { setting: LatchSetting::Set, ..machine.clone() };
        if change.touches_no_turn() {
            let clocks = Clocks::of(&machine, terms.acceptance);
            let of = |machine: &Machine, turn: &Turn| {
                Standing::of((machine, turn), &clocks, &judgement.solid, &terms, Reading::Still)
            };
            return Some([of(&machine, &judgement.aside), of(&set, &judgement.set)]);
        }
        let aside = stand(&machine, cast, &self.freezings);
        if !with_set {
            return Some([aside, judgement.standing(LatchSetting::Set).clone()]);
        }
        Some([aside, stand(&set, cast, &self.freezings)])
    }

    /// What becomes of the casts with `value` in place; none where the answer is the same as now.
    fn flip(&self, change: Change, value: f64) -> Option<Flip> {
        let standings = self.standings(change, value, true);
        let verdicts: Vec<Verdict> = standings
            .iter()
            .map(|both| both.as_ref().map_or(Verdict::Neither, |[aside, set]| Verdict::of(aside, set)))
            .collect();
        let other = if self.all_cast() {
            self.judged.iter().zip(&verdicts).all(|(judgement, verdict)| judgement.verdict != *verdict)
        } else {
            verdicts.iter().all(|verdict| verdict.setting().is_some())
        };
        let severity = |verdict: &Verdict| match verdict {
            Verdict::LeaveAside => 0,
            Verdict::Set => 1,
            Verdict::Neither => 2,
            Verdict::NotKnown => 3,
        };
        let (both, verdict) =
            standings.iter().zip(&verdicts).max_by_key(|(_, verdict)| severity(verdict)).filter(|_| other)?;
        let lost = both.as_ref().and_then(|standings| {
            let nearer = standings.iter().max_by(|a, b| {
                let factor = |standing: &Standing| standing.factor().unwrap_or(0.0);
                factor(a).total_cmp(&factor(b))
            })?;
            nearer.in_the_way().next().map(|margin| margin.limit)
        });
        let lost = lost.filter(|_| *verdict == Verdict::Neither);
        (*verdict != Verdict::NotKnown).then_some(Flip { value, verdict: *verdict, lost })
    }
}
