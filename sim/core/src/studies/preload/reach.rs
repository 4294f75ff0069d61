//! The range of preloads over which a cast comes out sound and in time, and what ends it on either side.

use super::super::judge::bounded_log;
use super::{Nut, Question, Setting, at_advance};
use crate::limits::Limit;
use crate::roots::crossing_between;
use latchstroke_models::latch::LatchSetting;

/// How closely an end is found, m of the nut's way.
const CLOSENESS: f64 = 1e-5;

/// What ends the range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// A limit that is not kept beyond.
    Limit(Limit),
    /// Nothing is known beyond: the turn could not be solved so that it can be trusted, or there is no such machine.
    Unknown,
}

/// One end of the range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// How much further down than now the nut stands there, m.
    pub advance: f64,
    /// Force of the springs at rest there, N.
    pub preload: f64,
    /// What ends the range; none where nothing does as far as was tried.
    pub bound: Option<Bound>,
}

/// A range of settings that will do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// The end with the least preload.
    pub low: End,
    /// The end with the greatest preload.
    pub high: End,
}

/// The range about the present setting (or about the nearest one solved that will do) with the latch as given; none where no
/// setting of those solved will do. `settings` rise with the advance.
pub fn reach(question: &Question<'_>, nut: &Nut, settings: &[Setting], latch: LatchSetting) -> Option<Reach> {
    let will_do = |setting: &Setting| worst(setting, latch).1 >= 0.0;
    let start = settings
        .iter()
        .enumerate()
        .filter(|(_, setting)| will_do(setting))
        .min_by(|(_, a), (_, b)| a.advance.abs().total_cmp(&b.advance.abs()))?
        .0;
    let end = |from: &Setting, beyond: Option<&Setting>, open: Option<Bound>| {
        beyond.map_or(End { advance: from.advance, preload: from.preload, bound: open }, |beyond| {
            between(question, nut, from, beyond, latch)
        })
    };
    let last_below = settings[..start].iter().rev().take_while(|s| will_do(s)).count();
    let last_above = settings[start + 1..].iter().take_while(|s| will_do(s)).count();
    let (low, high) = (start - last_below, start + last_above);
    let under = low.checked_sub(1).and_then(|n| settings.get(n));
    // The sweep begins where the springs go loose.
    let loose =
        (settings[low].advance <= nut.loose() + CLOSENESS).then_some(Bound::Limit(Limit::SpringsTight));
    Some(Reach {
        low: end(&settings[low], under, loose),
        high: end(&settings[high], settings.get(high + 1), None),
    })
}

/// The end of the range between a setting that will do and one that will not.
fn between(question: &Question<'_>, nut: &Nut, good: &Setting, bad: &Setting, latch: LatchSetting) -> End {
    let mut bound = worst(bad, latch).0;
    let mut at = |advance: f64| match at_advance(question, nut, advance) {
        Ok(setting) => {
            let (why, value) = worst(&setting, latch);
            if value < 0.0 {
                bound = why;
            }
            value
        }
        // A nut that cannot stand there does not do.
        Err(_) => -1.0,
    };
    let beyond = crossing_between(
        &mut at,
        (good.advance, worst(good, latch).1.max(f64::MIN_POSITIVE)),
        (bad.advance, worst(bad, latch).1),
        CLOSENESS,
    );
    // The search answers the first advance past the end; ask there what ends the range.
    at(beyond);
    End { advance: beyond, preload: nut.preload(beyond), bound: Some(bound) }
}

/// The limit that decides with the latch as given, and how far it is kept, as a logarithm: below zero the setting does not do.
fn worst(setting: &Setting, latch: LatchSetting) -> (Bound, f64) {
    let standing = setting.judgement.standing(latch);
    let bound = standing.deciding().map_or(Bound::Unknown, |margin| Bound::Limit(margin.limit));
    match standing.factor() {
        Some(factor) => (bound, bounded_log(factor)),
        None => (Bound::Unknown, -1.0),
    }
}
