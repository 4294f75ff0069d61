//! What a turn is doing at a time, in a few words.

use super::now::Now;
use latchstroke_core::turn::{EventKind, Turn};
use latchstroke_models::latch::LatchSetting;

/// A cross block lifted less than this is at rest, m.
const AT_REST: f64 = 0.05e-3;
/// A cross block that falls faster than this is on its way back, m for each radian of the shaft.
const FALLING: f64 = -1e-3;

/// The stage of a turn at a time (s), until its mould opens.
pub(super) fn stage(turn: &Turn, time: f64) -> &'static str {
    let past = |kind: EventKind| turn.first(kind).is_some_and(|event| time >= event.time);
    if time < 0.0 {
        return "at rest";
    }
    let now = Now::of(&turn.trace, time);
    let set = turn.setting == LatchSetting::Set;
    let half = 0.5 * std::f64::consts::TAU / turn.shaft_speed;
    let lifted = now.block_lift > AT_REST;
    if time > half {
        if !lifted {
            return "at rest again";
        }
        if past(EventKind::LatchCatches) {
            return "the latch has caught the rod again";
        }
        if now.block_speed < FALLING * turn.shaft_speed {
            return "return: cross block and piston draw back";
        }
    }
    if past(EventKind::Sealed) {
        return if past(EventKind::Full) {
            "entry frozen: the type cools"
        } else {
            "frozen before it was full"
        };
    }
    if past(EventKind::Full) {
        return "full: the metal freezes under pressure";
    }
    let thrown = turn.throw.filter(|throw| time >= throw.time);
    let caught_up = thrown.and_then(|throw| throw.caught_up).is_some_and(|caught| time >= caught);
    if past(EventKind::EntryReached) {
        return match (thrown.is_some(), caught_up) {
            (true, false) => "thrown: the mould fills",
            (true, true) => "rod has caught up: the cam fills the rest",
            (false, _) => "the mould fills at the cam’s pace",
        };
    }
    if thrown.is_some() {
        return "the latch lets go: the spring throws the rod";
    }
    if set && past(EventKind::ShoulderParts) {
        return "the latch holds: the spring closes";
    }
    if past(EventKind::InletCloses) {
        return "inlet closed: metal on its way to the mould";
    }
    if lifted { "the rod rides with the cross block" } else { "at rest" }
}
