//! The moments of a turn that are worth a picture of their own, where they come at all.

use super::Film;
use super::now::Now;
use super::pace::{done, entry};
use latchstroke_core::turn::EventKind;

/// A moment worth a picture of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// A short name for a file: "let-go".
    pub name: &'static str,
    /// When, s from the moment the metal comes in.
    pub time: f64,
}

/// Share of the way to the half-filled mould at which a rod is shown that has been let go.
const LET_GO: f64 = 0.33;

impl Film<'_> {
    /// The moments in their order: only what the turns show is among them, and what has come out is the last.
    pub fn moments(&self) -> Vec<Moment> {
        let (start, end) = self.pace.span();
        let mut moments = vec![Moment { name: "at-rest", time: start }];
        let mut add = |name, time: f64| moments.push(Moment { name, time: time.clamp(start, end) });
        let [_, set] = &self.sides;
        if let Some(throw) = set.turn.throw {
            // Just before the latch lets go, and a part of the way from there to where the piston fills or has gone furthest.
            let go = throw.time - set.zero;
            add("spring-squeezed", go - 1e-6 * throw.time);
            let later = entry(set.turn).or(throw.caught_up).unwrap_or(throw.time);
            let part = LET_GO * Now::of(&set.turn.trace, later).rod_lift;
            let thrown = set.turn.trace.iter().find(|i| i.time > throw.time && i.state.rod_lift >= part);
            add("let-go", thrown.map_or(go, |instant| instant.time.min(later) - set.zero));
        }
        let fills: Vec<f64> =
            self.sides.iter().filter_map(|side| Some(done(side.turn)? - entry(side.turn)?)).collect();
        let first = fills.iter().copied().reduce(f64::min);
        let last = fills.iter().copied().reduce(f64::max);
        if let (Some(first), Some(last)) = (first, last) {
            let full =
                |at: f64| self.sides.iter().filter(|s| s.turn.fill.is_some_and(|f| f.time() <= at)).count();
            add("mould-filling", 0.5 * first);
            add(if full(first) > 0 { "first-full" } else { "first-stops" }, first);
            if last > first {
                add(if full(last) > 1 { "both-full" } else { "both-done" }, last);
            }
            let sealed = self
                .sides
                .iter()
                .filter_map(|side| Some(side.turn.first(EventKind::Sealed)?.time - side.zero))
                .fold(last, f64::max);
            if sealed > last {
                add("freezing", f64::midpoint(last, sealed));
            }
        }
        add("result", end);
        moments.sort_by(|a, b| a.time.total_cmp(&b.time));
        moments
    }
}
