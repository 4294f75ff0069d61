//! Which length to make: the middle of the window in which every cast keeps all limits.

use super::super::judge::{Cast, Verdict, bounded_log, judge, stand};
use super::{Question, Step, Window, at_length};
use crate::limits::Limit;
use crate::parallel::prelude::*;
use crate::roots::{common, stretches};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;

/// At how many lengths, evenly spread over those that trip and hold, a cast is looked at.
const LOOKS: u32 = 24;
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
    /// What it does; its sleeve and extension are the lengths to make.
    pub step: Step,
    /// The shortest and the longest length with which every cast keeps all limits, m.
    pub window: (f64, f64),
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

fn serve(question: &Question<'_>, window: &Window, cast: Cast) -> Served {
    let verdict = judge(question.stated, cast, &question.terms).map(|judgement| judgement.verdict);
    let wants_latch = verdict.ok() != Some(Verdict::LeaveAside);
    if window.is_empty() {
        return Served { cast, wants_latch, lengths: Vec::new(), hindered_by: Some(Limit::LatchTrips) };
    }
    let standing = |length: f64| {
        let machine = question.machine(&question.with_sleeve(length), cast, LatchSetting::Set).ok()?;
        Some(stand(&machine, cast, &question.terms))
    };
    let kept = |length: f64| {
        standing(length).and_then(|standing| standing.factor()).map_or(-std::f64::consts::LN_10, bounded_log)
    };
    let (low, high) = (window.shortest, window.longest);
    let looks: Vec<f64> = (0..=LOOKS).map(|n| low + (high - low) * f64::from(n) / f64::from(LOOKS)).collect();
    let lengths = stretches(kept, &looks, CLOSENESS);
    let nearest = looks.iter().copied().max_by(|&a, &b| kept(a).total_cmp(&kept(b)));
    let hindered_by = nearest
        .filter(|_| lengths.is_empty())
        .and_then(standing)
        .and_then(|standing| standing.deciding().map(|margin| margin.limit));
    Served { cast, wants_latch, lengths, hindered_by }
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
    let mut wanting: Vec<&Served> = served.iter().filter(|served| served.wants_latch).collect();
    if wanting.is_empty() {
        wanting = served.iter().collect();
    }
    wanting.sort_by(|a, b| a.cast.sort.body.0.total_cmp(&b.cast.sort.body.0));
    let all = wanting
        .iter()
        .map(|served| served.lengths.clone())
        .reduce(|a, b| common(&a, &b))
        .and_then(|lengths| widest(&lengths));
    let Some((low, high)) = all else {
        let (groups, none) = groups(&wanting);
        return Ok(Err(Refusal::NoOneLength(groups, none)));
    };
    if high - low < 2.0 * question.tolerance {
        return Ok(Err(Refusal::TooNarrow(low, high)));
    }
    let step = at_length(question, f64::midpoint(low, high))?;
    let (sleeve, extension) = (question.stated.abutment.sleeve.0, question.stated.abutment.extension.0);
    let inside = (low + question.tolerance..=high - question.tolerance).contains(&sleeve);
    // An extension of another length changes the springs' force, and the window with it.
    let matched = (sleeve - extension).abs() <= EQUAL;
    Ok(Ok(Recommendation { step, window: (low, high), keep: inside && matched }))
}

/// Sleeve and extension nearer to each other than this are of one length, m.
const EQUAL: f64 = 0.1e-3;

fn widest(lengths: &[(f64, f64)]) -> Option<(f64, f64)> {
    lengths.iter().copied().max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
}

/// As few groups as there can be of neighbouring sizes that one length serves each, and the casts that none serves.
fn groups(wanting: &[&Served]) -> (Vec<Group>, Vec<Cast>) {
    let mut groups: Vec<(Vec<Cast>, Vec<(f64, f64)>)> = Vec::new();
    let mut none = Vec::new();
    for served in wanting {
        if served.lengths.is_empty() {
            none.push(served.cast);
            continue;
        }
        let joined = groups.last().map(|(_, lengths)| common(lengths, &served.lengths));
        match (groups.last_mut(), joined) {
            (Some((casts, lengths)), Some(both)) if !both.is_empty() => {
                casts.push(served.cast);
                *lengths = both;
            }
            _ => groups.push((vec![served.cast], served.lengths.clone())),
        }
    }
    let group = |(casts, lengths): (Vec<Cast>, Vec<(f64, f64)>)| {
        widest(&lengths).map(|window| Group { casts, window })
    };
    (groups.into_iter().filter_map(group).collect(), none)
}
