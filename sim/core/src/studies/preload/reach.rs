//! The range of preloads over which a cast comes out sound and in time, and what ends it on either side.

use super::{Nut, Question, Setting, at_advance};
use crate::roots::crossing_between;
use latchstroke_models::latch::LatchSetting;

/// How closely an end is found, m of the nut's way.
const CLOSENESS: f64 = 1e-5;

/// Springs that press with less than this at rest lie loose, N.
const TIGHT: f64 = 1e-6;

/// What ends the range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// A spring that is tight now lies loose at rest.
    Loose,
    /// The latch, the springs or the follower no longer do their work.
    Fault,
    /// No sound cast comes of it.
    Unsound,
    /// The fill takes longer than it may.
    FillTime,
    /// The customary margin to coil binding is used up.
    CoilBinding,
    /// The pressure lifts the matrix.
    MatrixLifts,
    /// A wire bears more than it may.
    Stress,
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
    let loose = (settings[low].advance <= nut.loose() + CLOSENESS).then_some(Bound::Loose);
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

/// What a setting violates most, and by how much: at least zero where nothing is violated. Each margin is in parts of what is
/// allowed, so that one number serves a search.
fn worst(setting: &Setting, latch: LatchSetting) -> (Bound, f64) {
    let turn = setting.turn(latch);
    let side = usize::from(latch == LatchSetting::Set);
    if turn.findings.iter().any(crate::turn::Finding::faults_setting) {
        return (Bound::Fault, -1.0);
    }
    if setting.preload < TIGHT {
        return (Bound::Loose, -1.0);
    }
    let Some(time) = turn.sound_fill_time() else { return (Bound::Unsound, -1.0) };
    let fill = (Bound::FillTime, 1.0 - time / setting.judgement.limits.allowed);
    let lift = turn.peaks.block_lift.max(1e-3);
    let coils = setting.coil_margins[side].map(|margin| (Bound::CoilBinding, margin / lift));
    let matrix = setting.hold_down_margins[side]
        .map(|margin| (Bound::MatrixLifts, margin / (margin + turn.peaks.lifting_force).max(1.0)));
    let stress = setting.stress_share().map(|share| (Bound::Stress, 1.0 - share));
    [Some(fill), coils, matrix, stress]
        .into_iter()
        .flatten()
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or(fill)
}
