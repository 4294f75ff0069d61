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

#[cfg(test)]
mod tests {
    use super::*;

    /// A guard that rises by one in a second and is nought at a time (s).
    #[derive(Clone, Copy)]
    struct Rising {
        kind: EventKind,
        at: f64,
    }

    fn guards(all: &[Rising]) -> impl Fn(EventKind, f64) -> Option<f64> {
        move |kind, t| all.iter().find(|guard| guard.kind == kind).map(|guard| t - guard.at)
    }

    /// The first event between two looks, at 0 and at 1 s.
    fn first(all: &[Rising]) -> Option<(EventKind, f64)> {
        let guard = guards(all);
        let mut watch = Watch::from(0.0, |kind| guard(kind, 0.0));
        let hit = watch.look(1.0, |kind| guard(kind, 1.0));
        let found = watch.first_event(|t| t, |kind, _, t| guard(kind, *t));
        assert_eq!(hit, found.is_some());
        found
    }

    #[test]
    fn the_first_guard_that_rises_is_the_event() {
        let (early, late) = (EventKind::ProngsSpread, EventKind::Sealed);
        let one = |kind, at| Rising { kind, at };
        assert_eq!(first(&[]), None);
        assert_eq!(first(&[one(early, 1.5)]), None);
        let is = |all: &[Rising], kind: EventKind, at: f64| {
            let (found, time) = first(all).expect("an event");
            // Never early, and late by a tenth of a nanosecond at most.
            assert!(found == kind && time >= at && time - at <= 0.11 * EVENT_TIME, "{found:?} at {time}");
        };
        is(&[one(early, 0.3)], early, 0.3);
        is(&[one(early, 0.7), one(late, 0.3)], late, 0.3);
        is(&[one(early, 0.3), one(late, 0.7)], early, 0.3);
        // Within a nanosecond they fall together, and the one that stands first in order comes first.
        is(&[one(early, 0.3 + 0.8 * EVENT_TIME), one(late, 0.3)], early, 0.3 + 0.8 * EVENT_TIME);
        is(&[one(early, 0.3 + 1.3 * EVENT_TIME), one(late, 0.3)], late, 0.3);
    }

    #[test]
    fn a_guard_that_is_gone_when_another_rises_is_no_event() {
        let guard = |kind, t: f64| match kind {
            EventKind::ProngsSpread => (t < 0.5).then_some(t - 0.4),
            EventKind::Full => Some(t - 0.8),
            _ => None,
        };
        let mut watch = Watch::from(0.0, |kind| guard(kind, 0.0));
        assert!(!watch.look(0.3, |kind| guard(kind, 0.3)) && watch.look(1.0, |kind| guard(kind, 1.0)));
        let found = watch.first_event(|t| t, |kind, _, t| guard(kind, *t));
        assert!(found.is_some_and(|(kind, _)| kind == EventKind::Full), "{found:?}");
    }

    #[test]
    fn a_guard_that_begins_within_the_noise_must_leave_it() {
        let kind = EventKind::Full;
        let seen = |values: &[f64]| {
            let mut watch = Watch::from(0.0, |of| (of == kind).then_some(values[0]));
            (1..values.len()).find(|&n| watch.look(n as f64, |of| (of == kind).then_some(values[n])))
        };
        // Upwards it happens as it leaves; downwards it waits for zero.
        assert_eq!(seen(&[0.0, 0.9 * GUARD_NOISE, 1.1 * GUARD_NOISE]), Some(2));
        assert_eq!(seen(&[0.0, -0.9 * GUARD_NOISE, 0.5 * GUARD_NOISE]), None);
        assert_eq!(seen(&[0.0, -1.1 * GUARD_NOISE, 0.5 * GUARD_NOISE]), Some(2));
        assert_eq!(seen(&[-1.0, -0.5, -0.9 * GUARD_NOISE, 0.0]), Some(3));
        assert_eq!(seen(&[-1.1 * GUARD_NOISE, 0.0]), Some(1));
        assert_eq!(seen(&[-0.9 * GUARD_NOISE, 0.0]), None);
        // Where it leaves it upwards, it happens at the end of the noise.
        let slow = |of: EventKind, t: f64| (of == kind).then_some(4.0 * GUARD_NOISE * t);
        let mut watch = Watch::from(0.0, |of| slow(of, 0.0));
        assert!(watch.look(1.0, |of| slow(of, 1.0)));
        let (_, left) = watch.first_event(|t| t, |of, _, t| slow(of, *t)).expect("an event");
        assert!((left - 0.25).abs() < 2.0 * EVENT_TIME, "{left}");
        // Past it as the leg begins it is due; coils that touch are not, and a time that has come is.
        let due_at = |of: EventKind, value: f64| due(|kind| (kind == of).then_some(value));
        assert_eq!(due_at(kind, 1.1 * GUARD_NOISE), Some(kind));
        assert_eq!(due_at(kind, 0.9 * GUARD_NOISE), None);
        assert_eq!(due_at(EventKind::LatchLetsGo, 0.0), Some(EventKind::LatchLetsGo));
        assert_eq!(due_at(EventKind::CoilsTouch, 1.0), None);
    }
}
