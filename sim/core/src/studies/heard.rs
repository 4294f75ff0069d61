//! What is heard of a turn: the clicks that a machine makes, how far apart they may be by what is not known of it, and which single
//! changes would set them as far apart as they were heard.

use super::sensitivity::coordinate;
use super::tolerance::{Input, Vary};
use super::wrong::Suspect;
use crate::parallel::prelude::*;
use crate::turn::{EventKind, Finding, solve};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::units::Pace;

/// The events that can be heard from beside the machine: iron on iron.
const AUDIBLE: [EventKind; 4] =
    [EventKind::LatchLetsGo, EventKind::ShoulderStrikes, EventKind::FollowerReturns, EventKind::LatchCatches];
/// What is asked: a machine at the pace that was heard.
pub struct Question<'a, V> {
    /// The machine with other values.
    pub vary: &'a V,
    /// Turns a second.
    pub pace: f64,
}

/// A single change that would set the clicks as far apart as they were heard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Which of the suspects.
    pub suspect: usize,
    /// The value that does it, SI.
    pub value: f64,
    /// The chance that the value is so far off or further.
    pub chance: f64,
}

impl<V: Vary> Question<'_, V> {
    /// The clicks of a turn, each kind the first time it comes after the latch has let go, s from the start of the turn, in order; none where the turn
    /// cannot be solved so that it can be trusted.
    pub fn clicks(&self, values: &[(&str, f64)], setting: LatchSetting) -> Option<Vec<(EventKind, f64)>> {
        let case = (self.vary)(values).ok()?;
        let machine = Machine::prepare(&case.machine, case.cast.sort, Pace(self.pace), setting).ok()?;
        let turn = solve(&machine, case.terms.accuracy);
        if turn.findings.iter().any(Finding::makes_unreliable) {
            return None;
        }
        let let_go = turn.first(EventKind::LatchLetsGo).map_or(0.0, |event| event.time);
        let first = |kind: &EventKind| {
            let event = turn.events.iter().find(|event| event.kind == *kind && event.time >= let_go)?;
            Some((*kind, event.time))
        };
        let mut clicks: Vec<(EventKind, f64)> = AUDIBLE.iter().filter_map(first).collect();
        clicks.sort_by(|a, b| a.1.total_cmp(&b.1));
        Some(clicks)
    }

    /// The time from the latch letting go to the shoulder's strike, s; none where the one or the other does not come.
    pub fn gap(&self, values: &[(&str, f64)]) -> Option<f64> {
        let clicks = self.clicks(values, LatchSetting::Set)?;
        let of = |kind| clicks.iter().find(|click| click.0 == kind).map(|click| click.1);
        Some(of(EventKind::ShoulderStrikes)? - of(EventKind::LatchLetsGo)?)
    }

    /// That time of machines drawn of all that is not known, in growing order; those that make no such clicks are left out.
    pub fn spread(&self, inputs: &[Input], draws: usize, seed: u32) -> Vec<f64> {
        let gap = |n: usize| {
            let values: Vec<(&str, f64)> = inputs
                .iter()
                .enumerate()
                .map(|(i, input)| (input.path.as_str(), input.at(coordinate(n, i, seed))))
                .collect();
            self.gap(&values)
        };
        let found: Vec<Option<f64>> = (0..draws).into_par_iter().map(gap).collect();
        let mut gaps: Vec<f64> = found.into_iter().flatten().collect();
        gaps.sort_by(f64::total_cmp);
        gaps
    }

    /// The single changes that would make that time another (s), the likeliest first.
    pub fn changes(&self, suspects: &[Suspect], wanted: f64) -> Vec<Change> {
        let Some(now) = self.gap(&[]).map(|gap| gap - wanted) else { return Vec::new() };
        let ways: Vec<(usize, bool)> = (0..suspects.len()).flat_map(|n| [(n, false), (n, true)]).collect();
        let found: Vec<Option<Change>> =
            ways.par_iter().map(|&(n, up)| self.change(suspects.get(n)?, n, up, now, wanted)).collect();
        let mut changes: Vec<Change> = found.into_iter().flatten().collect();
        changes.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        changes
    }

    /// The least change of one value one way.
    fn change(&self, suspect: &Suspect, place: usize, up: bool, now: f64, wanted: f64) -> Option<Change> {
        let end = if up { suspect.range.1 } else { suspect.range.0 };
        if (end > suspect.now) != up || end.to_bits() == suspect.now.to_bits() {
            return None;
        }
        // Below nought while the time is on the side where it stands.
        let side = if now >= 0.0 { -1.0 } else { 1.0 };
        let off = |value: f64| Some(side * (self.gap(&[(suspect.path.as_str(), value)])? - wanted));
        let value = suspect.least_change(end, side * now, off)?;
        Some(Change { suspect: place, value, chance: suspect.chance(value) })
    }
}
