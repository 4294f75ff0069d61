//! At which paces can a size be cast, and with the latch aside or set?
//!
//! Two things bound the pace. The mould must fill in time, which with the latch aside takes a fast cam; and the type must be
//! solid through its middle before the mould opens, which takes a slow turn ([`super::cooling`]). Whether a setting does at a
//! pace is told by the one list of limits, as the judge has it.

mod fill;
mod map;
mod window;

pub use fill::{FillTimes, Point, Side, fill_times};
pub use map::{Fineness, ROWS, SizeMap, size_map};
pub use window::Window;

use super::cooling::{Cooling, fastest_solid};
use super::judge::{BODIES, Cast, PACES, Terms, Why, bounded_log, smallest_size_lost, stand};
use super::real_pace::CastAt;
use super::watch::Watch;
use crate::limits::{Freezings, Limit, Standing, State, Unknown};
use crate::parallel::prelude::*;
use crate::roots::{Onset, onset};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};
use window::{CLOSENESS, Found, search, within, without};

/// The paces for one size, within [`PACES`]; windows slowest first.
#[derive(Debug, Clone, PartialEq)]
pub struct SizePaces {
    /// The size.
    pub sort: Sort,
    /// When its middle is solid, and the fastest pace for that; none when even the slowest pace is too fast.
    pub cooling: Option<Cooling>,
    /// Where the latch aside keeps all limits but that the type be solid in time.
    pub fills_aside: Vec<Window>,
    /// Where the latch set does.
    pub fills_set: Vec<Window>,
    /// Where the latch may stand aside: all limits are kept.
    pub aside: Vec<Window>,
    /// Where the latch must be set: aside a limit is missed, set all are kept.
    pub set: Vec<Window>,
    /// Where the type would be solid but with neither setting all other limits are kept.
    pub gaps: Vec<Window>,
    /// Where it would be solid but there is no verdict: a turn on which it hangs could not be solved so that it can be trusted.
    pub not_known: Vec<Window>,
    /// What ends the stretches in which either setting keeps all limits but that the type be solid in time: aside, then set.
    pub ends: [Vec<End>; 2],
    /// Where a setting does so at no pace: the limit that decides at the fastest pace that cools the size, at which the cam drives
    /// hardest; aside, then set.
    pub hindered_by: [Option<Limit>; 2],
    /// From which pace on nothing is known, and why: the fastest that could be looked at.
    pub unknown_beyond: Option<(f64, Why)>,
}

/// One end of a stretch of paces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// The pace, turns/s.
    pub pace: f64,
    /// Whether the stretch ends there towards faster paces; else towards slower ones.
    pub is_fast_end: bool,
    /// The limit that is not kept beyond.
    pub limit: Limit,
}

impl SizePaces {
    /// Whether some pace does.
    pub fn can_be_cast(&self) -> bool {
        !(self.aside.is_empty() && self.set.is_empty())
    }

    /// Where the type is not solid as the mould opens.
    pub fn too_fast(&self) -> Option<Window> {
        let from = self.cooling.map_or(PACES.0, |cooling| cooling.pace);
        (from < PACES.1).then_some(Window { from, to: PACES.1 })
    }
}

/// The slowest pace at which all limits are kept with the latch aside.
///
/// # Errors
/// The faults of the statement.
pub fn slowest_aside(stated: &MachineStatement, sort: Sort, terms: &Terms) -> Result<Onset, Vec<Fault>> {
    let unknown_beyond = known_up_to(stated, sort);
    let known = unknown_beyond.as_ref().map_or(PACES.1, |(pace, _)| *pace);
    let to = fastest_solid(stated, sort, terms.shut)?.map_or(PACES.0, |cooling| cooling.pace.min(known));
    let all = Window { from: PACES.0, to: to.max(PACES.0 * (1.0 + CLOSENESS)) };
    let freezings = Freezings::on(terms);
    let found = search(|pace| slack(stated, sort, LatchSetting::Aside, pace, &freezings), all);
    let untrusted = found.not_known.first().map(|window| Onset::UnknownBeyond(window.from, Why::Untrusted));
    Ok(match (found.kept.first(), untrusted, unknown_beyond) {
        (Some(window), ..) if window.from <= PACES.0 => Onset::Always,
        (Some(window), None, _) => Onset::From(window.from),
        (Some(window), Some(Onset::UnknownBeyond(pace, _)), _) if window.from <= pace => {
            Onset::From(window.from)
        }
        (_, Some(untrusted), _) => untrusted,
        (None, None, Some((pace, why))) if to >= known => Onset::UnknownBeyond(pace, why),
        (None, None, _) => Onset::Never,
    })
}

/// The paces for each size, on all cores; the answers stand in the order of the sizes.
///
/// # Errors
/// The faults of the statement.
pub fn size_paces(
    stated: &MachineStatement,
    sorts: &[Sort],
    terms: Terms,
) -> Result<Vec<SizePaces>, Vec<Fault>> {
    sorts.par_iter().map(|&sort| paces_of(stated, sort, terms)).collect()
}

/// As [`size_paces`], with someone who follows it size by size; none when it was called off.
///
/// # Errors
/// The faults of the statement.
pub fn size_paces_watched(
    stated: &MachineStatement,
    sorts: &[Sort],
    terms: Terms,
    watch: &dyn Watch,
) -> Result<Option<Vec<SizePaces>>, Vec<Fault>> {
    sorts
        .par_iter()
        .map(|&sort| {
            if watch.called_off() {
                return Ok(None);
            }
            let paces = paces_of(stated, sort, terms)?;
            watch.advance(1);
            Ok(Some(paces))
        })
        .collect()
}

fn paces_of(stated: &MachineStatement, sort: Sort, terms: Terms) -> Result<SizePaces, Vec<Fault>> {
    let cooling = fastest_solid(stated, sort, terms.shut)?;
    let unknown_beyond = known_up_to(stated, sort);
    let all = Window { from: PACES.0, to: unknown_beyond.as_ref().map_or(PACES.1, |(pace, _)| *pace) };
    let freezings = Freezings::on(&terms);
    let fills = |setting| search(|pace| slack(stated, sort, setting, pace, &freezings), all);
    let Found { kept: fills_aside, not_known: unknown_aside } = fills(LatchSetting::Aside);
    let Found { kept: fills_set, not_known: unknown_set } = fills(LatchSetting::Set);
    let solid = cooling.map(|cooling| Window { to: cooling.pace.min(all.to), ..all });
    let up_to_solid = |windows: &[Window]| solid.map_or(Vec::new(), |range| within(windows, range));
    let aside = up_to_solid(&fills_aside);
    // As the verdict's rule has it: with the latch aside not known nothing is; with it set not known only where aside will not do.
    let set = without(&without(&up_to_solid(&fills_set), &fills_aside), &unknown_aside);
    let else_unknown = without(&without(&unknown_set, &unknown_aside), &fills_aside);
    let mut not_known = up_to_solid(&[unknown_aside.clone(), else_unknown].concat());
    not_known.sort_by(|a, b| a.from.total_cmp(&b.from));
    let gaps = without(&without(&without(&up_to_solid(&[all]), &fills_aside), &fills_set), &not_known);
    let both = [(LatchSetting::Aside, &fills_aside), (LatchSetting::Set, &fills_set)];
    let lost = |setting, pace| lost(stated, sort, setting, pace, &freezings);
    let ends = both.map(|(setting, windows)| ends(windows, all, |pace| lost(setting, pace)));
    let hardest = solid.map_or(all.from, |solid| solid.to);
    let hindered_by =
        both.map(|(setting, windows)| if windows.is_empty() { lost(setting, hardest) } else { None });
    Ok(SizePaces {
        sort,
        cooling,
        fills_aside,
        fills_set,
        aside,
        set,
        gaps,
        not_known,
        ends,
        hindered_by,
        unknown_beyond,
    })
}

/// What ends each of `windows` short of `range`, where it is known just beyond.
fn ends(windows: &[Window], range: Window, lost: impl Fn(f64) -> Option<Limit>) -> Vec<End> {
    let beyond = 1.0 + 2.0 * CLOSENESS;
    let end = |pace: f64, is_fast_end: bool| {
        let open = if is_fast_end { pace < range.to } else { pace > range.from };
        let limit = open.then(|| lost(if is_fast_end { pace * beyond } else { pace / beyond })).flatten()?;
        Some(End { pace, is_fast_end, limit })
    };
    windows.iter().flat_map(|window| [end(window.from, false), end(window.to, true)]).flatten().collect()
}

/// The limit, but for that of cooling, that stands most in the way of a setting at a pace (turns/s).
fn lost(
    stated: &MachineStatement,
    sort: Sort,
    setting: LatchSetting,
    pace: f64,
    freezings: &Freezings<'_>,
) -> Option<Limit> {
    let machine = Machine::prepare(stated, sort, Pace(pace), setting).ok()?;
    let standing = stand(&machine, Cast { sort, pace: Pace(pace) }, freezings);
    lost_of(&standing)
}

/// The same of a list: a limit of the machine before all, since the others come of it.
fn lost_of(standing: &Standing) -> Option<Limit> {
    let lost = |of_machine: bool| {
        let mut all = standing.in_the_way().map(|margin| margin.limit);
        all.find(|limit| *limit != Limit::Solid && (limit.is_of_machine() || !of_machine))
    };
    lost(true).or_else(|| lost(false))
}

/// The fastest pace at which there is such a machine, and why there is none faster; none where there is one at any pace. Water that
/// can no longer cool the mould is the one thing that hangs on the pace.
fn known_up_to(stated: &MachineStatement, sort: Sort) -> Option<(f64, Why)> {
    let at = |pace: f64| match Machine::prepare(stated, sort, Pace(pace), LatchSetting::Aside) {
        Ok(_) => Ok(-1.0),
        Err(faults) => Err(Why::of(faults)),
    };
    match onset(at, PACES, CLOSENESS) {
        Onset::UnknownBeyond(pace, why) => Some((pace, why)),
        Onset::Always | Onset::From(_) | Onset::Never => None,
    }
}

/// How far a setting keeps all limits but that of cooling at a pace (turns/s), as a logarithm; below zero it does not do.
fn slack(
    stated: &MachineStatement,
    sort: Sort,
    setting: LatchSetting,
    pace: f64,
    freezings: &Freezings<'_>,
) -> Result<f64, Why> {
    let machine = Machine::prepare(stated, sort, Pace(pace), setting).map_err(Why::of)?;
    let standing = stand(&machine, Cast { sort, pace: Pace(pace) }, freezings);
    let factor = standing.factor_of(|limit| limit != Limit::Solid);
    // One that is missed is missed, whatever is not known of the others.
    let is_unknown = standing.margins.iter().any(|m| m.state == State::NotKnown(Unknown::Untrusted));
    if factor >= 1.0 && is_unknown {
        return Err(Why::Untrusted);
    }
    Ok(bounded_log(factor))
}

/// How far a setting of the latch reaches over the sizes.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The body from which it no longer casts, m.
    pub from: Onset,
    /// The limit that is not kept there.
    pub lost: Option<Limit>,
}

/// From which size on a setting of the latch no longer keeps all limits, each size at its pace, as [`smallest_size_lost`] finds it,
/// and the limit that is missed there.
pub fn reach(
    stated: &MachineStatement,
    setting: LatchSetting,
    proportion: f64,
    at: &CastAt,
    terms: &Terms,
) -> Reach {
    let from = smallest_size_lost(stated, setting, proportion, |sort| at.pace(stated, sort), terms);
    let lost = beyond(&from).and_then(|body| {
        let sort = Sort { body: Length(body), set: Length(body * proportion) };
        let cast = Cast { sort, pace: at.pace(stated, sort).ok()? };
        let machine = Machine::prepare(stated, sort, cast.pace, setting).ok()?;
        stand(&machine, cast, &Freezings::on(terms)).cause().map(|margin| margin.limit)
    });
    Reach { from, lost }
}

/// A body just past where a setting no longer casts, where that is known.
fn beyond(from: &Onset) -> Option<f64> {
    match from {
        Onset::Always => Some(BODIES.0),
        Onset::From(body) => Some(body * (1.0 + 2.0 * CLOSENESS)),
        Onset::Never | Onset::UnknownBeyond(..) => None,
    }
}
