//! The watch over a leg: which guards may rise, and which of them rose first.

use super::events::EventKind;
use super::{EVENT_TIME, GUARD_NOISE};
use crate::roots::crossing_between;

/// An event that may happen in the leg.
#[derive(Clone, Copy)]
struct Live {
    kind: EventKind,
    /// Whether its guard has been clearly below zero and so may rise.
    armed: bool,
}

impl Live {
    /// What the guard must reach for the event to happen; none where it has passed already and only a new rise would count.
    fn level(self) -> Option<f64> {
        match self.kind {
            _ if self.armed => Some(0.0),
            // Coils that touch stay touching; only the moment of touch is an event.
            EventKind::CoilsTouch => None,
            _ => Some(GUARD_NOISE),
        }
    }
}

/// The events that may happen in a leg, in tie order, and where the watch last saw their guards.
///
/// A guard that begins a leg within the noise about zero (a follower that rests without force, a mould entry with no metal at
/// it) would cross zero over and over by rounding alone. It must leave the noise: downwards, and then it waits for zero as any
/// other, or upwards, and then its event happens as it does.
pub(super) struct Watch {
    /// Those that may happen stand first.
    live: [Live; EventKind::ALL.len()],
    count: usize,
    before: f64,
    hit: Option<f64>,
}

impl Watch {
    /// A watch from `start` (s) on; `guard` answers the guard of each event then, none for one that cannot happen in the leg.
    pub fn from(start: f64, guard: impl Fn(EventKind) -> Option<f64>) -> Self {
        let live = |kind| guard(kind).map(|g| Live { kind, armed: g < -GUARD_NOISE });
        let mut watch = Self {
            live: [Live { kind: EventKind::Full, armed: false }; EventKind::ALL.len()],
            count: 0,
            before: start,
            hit: None,
        };
        for (place, live) in watch.live.iter_mut().zip(EventKind::ALL.iter().copied().filter_map(live)) {
            *place = live;
            watch.count += 1;
        }
        watch
    }

    /// Looks at the guards at a later time `t` (s): true once one has risen.
    pub fn look(&mut self, t: f64, guard: impl Fn(EventKind) -> Option<f64>) -> bool {
        for live in self.live.get_mut(..self.count).unwrap_or_default() {
            let Some(g) = guard(live.kind) else { continue };
            if live.level().is_some_and(|level| g >= level) {
                self.hit = Some(t);
                return true;
            }
            live.armed |= g < -GUARD_NOISE;
        }
        self.before = t;
        false
    }

    /// The first guard that rose between the last two looks, with the time at which it reached its level; `state` gives the state
    /// anywhere between, and `guard` the value of a guard there.
    pub fn first_event<S>(
        &self,
        state: impl Fn(f64) -> S,
        guard: impl Fn(EventKind, f64, &S) -> Option<f64>,
    ) -> Option<(EventKind, f64)> {
        let hit = self.hit?;
        let (at_before, at_hit) = (state(self.before), state(hit));
        let mut first: Option<(EventKind, f64)> = None;
        for live in self.live.get(..self.count).unwrap_or_default() {
            let Some(level) = live.level() else { continue };
            let over = |t: f64, state: &S| guard(live.kind, t, state).map_or(-1.0, |g| g - level);
            let end = over(hit, &at_hit);
            // The interpolant may differ from the step's end in the last digit; the watch has the say.
            if end > -0.1 * GUARD_NOISE {
                let low = (self.before, over(self.before, &at_before).min(-f64::MIN_POSITIVE));
                let high = (hit, end.max(0.0));
                // A tenth of the event's time, and never early.
                let time = crossing_between(|t| over(t, &state(t)), low, high, 0.1 * EVENT_TIME);
                // Kinds come in tie order, so a later kind must be earlier by more than a tie to come first.
                if first.is_none_or(|(_, t)| time < t - EVENT_TIME) {
                    first = Some((live.kind, time));
                }
            }
        }
        first
    }
}

/// The first event in tie order whose guard is already past as a leg begins.
pub(super) fn due(guard: impl Fn(EventKind) -> Option<f64>) -> Option<EventKind> {
    EventKind::ALL.iter().copied().find(|&kind| match (kind, guard(kind)) {
        // Coils that touch stay touching; only the moment of touch is an event.
        (EventKind::CoilsTouch, _) | (_, None) => false,
        // A time that has come needs no threshold.
        (EventKind::LatchLetsGo | EventKind::RungOut, Some(g)) => g >= 0.0,
        (_, Some(g)) => g > GUARD_NOISE,
    })
}
