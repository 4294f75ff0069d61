//! Which length to make: the middle of the window in which every cast keeps all limits.

use super::super::judge::{Cast, bounded_log, stand};
use super::{Question, Step, Window, as_stated, at_length, prepared};
use crate::limits::{Does, Freezings, Limit, Margin, Standing};
use crate::parallel::prelude::*;
use crate::roots::{common, stretches};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use std::cell::RefCell;
use std::collections::HashMap;

/// At how many lengths, evenly spread over those that trip and hold, a cast is looked at.
pub(super) const LOOKS: u32 = 24;
/// Into how many parts the way about the best of them is divided, where none of them does.
const CLOSER: u32 = 16;
/// How closely the ends of a window are found, m.
const CLOSENESS: f64 = 5e-6;

/// With which sleeves a cast does.
#[derive(Debug, Clone, PartialEq)]
pub struct Served {
    /// The cast.
    pub cast: Cast,
    /// Whether it wants the latch: with it aside a limit is missed. One that does not is served by any sleeve.
    pub wants_latch: bool,
    /// The lengths with which the latch set keeps all limits, m, the shortest first.
    pub lengths: Vec<(f64, f64)>,
    /// The limit that decides at the length where the cast comes nearest to doing, where it does with none.
    pub hindered_by: Option<Limit>,
}

/// The sleeve to make.
#[derive(Debug, Clone, PartialEq)]
pub struct Recommendation {
    /// What it does; its sleeve and extension are the lengths to make, or those now fitted where they are to be kept.
    pub step: Step,
    /// The shortest and the longest length with which every cast keeps all limits, m.
    pub window: (f64, f64),
    /// The limit that is missed first, shorter and longer.
    pub ended_by: [Option<Limit>; 2],
    /// How far the sleeve may be made longer or shorter, m: what the tolerances leave of the way to the nearer end.
    pub room: f64,
    /// Whether the sleeve now fitted lies inside that window by the tolerance, with an extension to match: keep it.
    pub keep: bool,
}

/// Sizes that one length serves.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The casts, the smallest first.
    pub casts: Vec<Cast>,
    /// The lengths that serve all of them, m.
    pub window: (f64, f64),
}

/// Why no length is recommended.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// The prongs travel further than the cross block lifts: no sleeve works.
    NoWindow,
    /// Every cast keeps all limits between these lengths, m, but they lie nearer to each other than the tolerances at both ends.
    TooNarrow(f64, f64),
    /// No one length serves all: these serve some each, the smallest sizes first, and these casts none.
    NoOneLength(Vec<Group>, Vec<Cast>),
}

/// With which sleeves each cast does, on all cores.
pub fn served(question: &Question<'_>, window: &Window) -> Vec<Served> {
    question.casts.par_iter().map(|&cast| serve(question, window, cast)).collect()
}

/// How a cast stands with sleeves of any length, each solved once.
pub(super) struct Tried<'a> {
    question: &'a Question<'a>,
    freezings: &'a Freezings<'a>,
    cast: Cast,
    seen: RefCell<HashMap<u64, f64>>,
}

impl<'a> Tried<'a> {
    pub(super) fn new(question: &'a Question<'a>, freezings: &'a Freezings<'a>, cast: Cast) -> Self {
        Self { question, freezings, cast, seen: RefCell::default() }
    }

    fn standing(&self, length: f64, setting: LatchSetting) -> Option<Standing> {
        standing(self.question, self.freezings, self.cast, length, setting)
    }

    /// The greatest lift of the cam, m; none where there is no such machine.
    pub(super) fn cam_lift(&self) -> Option<f64> {
        Some(prepared(self.question.stated, self.cast, LatchSetting::Aside).ok()?.cam.lift())
    }

    /// Whether the cast wants the latch. Aside, a sleeve with an extension to match changes nothing, so any length tells.
    pub(super) fn wants_latch(&self, length: f64) -> bool {
        self.standing(length, LatchSetting::Aside).is_none_or(|standing| standing.does() != Does::Yes)
    }

    /// How many times over all limits are kept with the latch set, as a logarithm.
    pub(super) fn kept(&self, length: f64) -> f64 {
        if let Some(&known) = self.seen.borrow().get(&length.to_bits()) {
            return known;
        }
        let factor = self.standing(length, LatchSetting::Set).and_then(|all| all.factor());
        let kept = factor.map_or(-std::f64::consts::LN_10, bounded_log);
        self.seen.borrow_mut().insert(length.to_bits(), kept);
        kept
    }

    /// The stretches of lengths with which all limits are kept, each end closed in on to within `closeness` (m), looked for at so many
    /// lengths evenly spread and at the one now fitted, which is never overlooked; and the best of the lengths looked at.
    pub(super) fn stretches(
        &self,
        (low, high): (f64, f64),
        parts: u32,
        closeness: f64,
    ) -> (Vec<(f64, f64)>, Option<f64>) {
        let kept = |length: f64| self.kept(length);
        let mut looks = evenly(low, high, parts);
        let fitted = self.question.stated.abutment.sleeve.0;
        looks.extend((low..=high).contains(&fitted).then_some(fitted));
        looks.sort_by(f64::total_cmp);
        let best = |looks: &[f64]| looks.iter().copied().max_by(|&a, &b| kept(a).total_cmp(&kept(b)));
        let mut lengths = stretches(kept, &looks, closeness);
        // A window narrower than the way between two looks lies about the best of them.
        if let Some(best) = best(&looks).filter(|_| lengths.is_empty()) {
            let way = (high - low) / f64::from(parts);
            looks.extend(evenly((best - way).max(low), (best + way).min(high), CLOSER));
            looks.sort_by(f64::total_cmp);
            lengths = stretches(kept, &looks, closeness);
        }
        let best = best(&looks);
        (lengths, best)
    }
}

fn serve(question: &Question<'_>, window: &Window, cast: Cast) -> Served {
    let freezings = Freezings::on(&question.terms);
    let tried = Tried::new(question, &freezings, cast);
    let wants_latch = tried.wants_latch(window.longest);
    if window.is_empty() {
        return Served { cast, wants_latch, lengths: Vec::new(), hindered_by: Some(Limit::LatchTrips) };
    }
    let (lengths, best) = tried.stretches((window.shortest, window.longest), LOOKS, CLOSENESS);
    let hindered_by = best
        .filter(|_| lengths.is_empty())
        .and_then(|length| tried.standing(length, LatchSetting::Set))
        .and_then(|standing| standing.deciding().map(|margin| margin.limit));
    Served { cast, wants_latch, lengths, hindered_by }
}

fn evenly(low: f64, high: f64, parts: u32) -> Vec<f64> {
    (0..=parts).map(|n| low + (high - low) * f64::from(n) / f64::from(parts)).collect()
}

/// How a cast stands with a sleeve of `length` (m), the rod lengthened by as much; none where there can be no such machine.
fn standing(
    question: &Question<'_>,
    freezings: &Freezings<'_>,
    cast: Cast,
    length: f64,
    setting: LatchSetting,
) -> Option<Standing> {
    let machine = prepared(&question.with_sleeve(length), cast, setting).ok()?;
    Some(stand(&machine, cast, freezings))
}

/// The casts that want the latch; all of them where none does. The sleeve is made for these.
pub fn made_for(served: &[Served]) -> Vec<&Served> {
    let wanting: Vec<&Served> = served.iter().filter(|served| served.wants_latch).collect();
    if wanting.is_empty() { served.iter().collect() } else { wanting }
}

/// Finds the length to make for the casts that want the latch; for all of them where none does.
///
/// # Errors
/// The faults of the statement.
pub fn recommend(
    question: &Question<'_>,
    window: &Window,
    served: &[Served],
) -> Result<Result<Recommendation, Refusal>, Vec<Fault>> {
    if window.is_empty() {
        return Ok(Err(Refusal::NoWindow));
    }
    let mut wanting = made_for(served);
    wanting.sort_by(|a, b| a.cast.sort.body.0.total_cmp(&b.cast.sort.body.0));
    let all = wanting.iter().map(|served| served.lengths.clone());
    let Some((low, high)) = widest_common(all) else {
        let (groups, none) = groups(&wanting);
        return Ok(Err(Refusal::NoOneLength(groups, none)));
    };
    if high - low < 2.0 * question.tolerance {
        return Ok(Err(Refusal::TooNarrow(low, high)));
    }
    let (shortest, longest) = (low + question.tolerance, high - question.tolerance);
    let middle = f64::midpoint(low, high);
    let present = as_stated(question)?;
    // An extension of another length changes the springs' force, and the window with it.
    let matched = (present.sleeve - present.extension).abs() <= EQUAL;
    let does = wanting
        .iter()
        .all(|served| present.casts.iter().any(|thrown| thrown.cast == served.cast && thrown.will_do()));
    let keep = matched && does && (shortest..=longest).contains(&present.sleeve);
    let step = if keep {
        present
    } else {
        // To what it is worth, where that stays inside.
        let rounded = (middle / GRAIN).round() * GRAIN;
        at_length(question, if (shortest..=longest).contains(&rounded) { rounded } else { middle })?
    };
    let room = (step.sleeve - shortest).min(longest - step.sleeve);
    let ended_by = [low - BEYOND, high + BEYOND].map(|length| missed(question, &wanting, length));
    Ok(Ok(Recommendation { step, window: (low, high), ended_by, room, keep }))
}

/// The limit that is missed with a sleeve of `length` (m): one of the machine where there is one, for from it follow the others;
/// else the one kept the fewest times over.
fn missed(question: &Question<'_>, wanting: &[&Served], length: f64) -> Option<Limit> {
    let freezings = Freezings::on(&question.terms);
    let standings = wanting
        .iter()
        .filter_map(|served| standing(question, &freezings, served.cast, length.max(0.0), LatchSetting::Set));
    let missed: Vec<Margin> =
        standings.flat_map(|standing| standing.in_the_way().copied().collect::<Vec<_>>()).collect();
    let worst = missed.into_iter().min_by(|a, b| {
        let rank = |margin: &Margin| !margin.limit.is_of_machine();
        rank(a).cmp(&rank(b)).then(a.factor.total_cmp(&b.factor))
    });
    Some(worst?.limit)
}

/// Sleeve and extension nearer to each other than this are of one length, m.
const EQUAL: f64 = 0.1e-3;
/// To what a length is recommended, m: no closer than a sleeve is turned.
const GRAIN: f64 = 0.05e-3;
/// How far past the end of a window it is asked what ends it, m.
const BEYOND: f64 = 2.0 * CLOSENESS;

/// The widest stretch that all of these lists have in common.
pub(super) fn widest_common(all: impl Iterator<Item = Vec<(f64, f64)>>) -> Option<(f64, f64)> {
    widest(&all.reduce(|a, b| common(&a, &b))?)
}

fn widest(lengths: &[(f64, f64)]) -> Option<(f64, f64)> {
    lengths.iter().copied().max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
}

/// As few groups as there can be of neighbouring sizes that one length serves each, and the casts that none serves.
fn groups(wanting: &[&Served]) -> (Vec<Group>, Vec<Cast>) {
    let (some, none): (Vec<&Served>, Vec<&Served>) =
        wanting.iter().copied().partition(|served| !served.lengths.is_empty());
    let mut groups: Vec<Group> = Vec::new();
    let mut lengths: Vec<(f64, f64)> = Vec::new();
    for served in some {
        let both = common(&lengths, &served.lengths);
        let joins = !both.is_empty();
        lengths = if joins { both } else { served.lengths.clone() };
        let Some(window) = widest(&lengths) else { continue };
        match groups.last_mut().filter(|_| joins) {
            Some(group) => {
                group.casts.push(served.cast);
                group.window = window;
            }
            None => groups.push(Group { casts: vec![served.cast], window }),
        }
    }
    (groups, none.into_iter().map(|served| served.cast).collect())
}
