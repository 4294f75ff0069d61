//! The watch over a leg: which guards may rise, and which of them rose first.

use super::events::EventKind;
use super::{EVENT_TIME, GUARD_NOISE};
use crate::roots::crossing_between;

/// The value of every guard, in the order of [`EventKind::ALL`].
pub(super) type Guards = [f64; EventKind::ALL.len()];

/// Where the watch last saw the guards, and which of them have been clearly below zero and so may rise.
///
/// A guard that begins a leg within the noise about zero (a follower that rests without force, a mould entry with no metal at
/// it) would cross zero over and over by rounding alone. It must leave the noise: downwards, and then it waits for zero as any
/// other, or upwards, and then its event happens as it does.
pub(super) struct Watch {
    armed: [bool; EventKind::ALL.len()],
    before: f64,
    hit: Option<f64>,
}

impl Watch {
    /// A watch from `start` (s) on, where the guards stand at `guards`.
    pub fn from(start: f64, guards: Guards) -> Self {
        Self { armed: guards.map(|g| g < -GUARD_NOISE), before: start, hit: None }
    }

    /// What guard `i` must reach for its event to happen; none where it has passed already and only a new rise would count.
    fn level(&self, i: usize) -> Option<f64> {
        match EventKind::ALL[i] {
            _ if self.armed[i] => Some(0.0),
            // Coils that touch stay touching; only the moment of touch is an event.
            EventKind::CoilsTouch => None,
            _ => Some(GUARD_NOISE),
        }
    }

    /// Looks at the guards at a later time `t` (s): true once one has risen.
    pub fn look(&mut self, t: f64, now: Guards) -> bool {
        if (0..now.len()).any(|i| self.level(i).is_some_and(|level| now[i] >= level)) {
            self.hit = Some(t);
            return true;
        }
        for (armed, g) in self.armed.iter_mut().zip(now) {
            *armed |= g < -GUARD_NOISE;
        }
        self.before = t;
        false
    }

    /// The first guard that rose between the last two looks, with the time at which it reached its level; `guards` gives their
    /// values anywhere between.
    pub fn first_event(&self, guards: impl Fn(f64) -> Guards) -> Option<(EventKind, f64)> {
        let hit = self.hit?;
        let (at_start, at_hit) = (guards(self.before), guards(hit));
        let mut first: Option<(EventKind, f64)> = None;
        for (i, kind) in EventKind::ALL.into_iter().enumerate() {
            let Some(level) = self.level(i) else { continue };
            // The interpolant may differ from the step's end in the last digit; the watch has the say.
            if at_hit[i] - level > -0.1 * GUARD_NOISE {
                let low = (self.before, (at_start[i] - level).min(-f64::MIN_POSITIVE));
                let high = (hit, (at_hit[i] - level).max(0.0));
                // A tenth of the event's time, and never early.
                let time = crossing_between(|t| guards(t)[i] - level, low, high, 0.1 * EVENT_TIME);
                // Kinds come in tie order, so a later kind must be earlier by more than a tie to come first.
                if first.is_none_or(|(_, t)| time < t - EVENT_TIME) {
                    first = Some((kind, time));
                }
            }
        }
        first
    }
}

/// The first event in tie order whose guard is already past as a leg begins.
pub(super) fn due(guards: Guards) -> Option<EventKind> {
    let due = EventKind::ALL.into_iter().zip(guards).find(|&(kind, g)| match kind {
        // A time that has come needs no threshold.
        EventKind::LatchLetsGo | EventKind::RungOut => g >= 0.0,
        // Coils that touch stay touching; only the moment of touch is an event.
        EventKind::CoilsTouch => false,
        _ => g > GUARD_NOISE,
    });
    due.map(|(kind, _)| kind)
}
