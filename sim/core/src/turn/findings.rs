//! What an owner must know about a finished turn.

use super::ENERGY_TOLERANCE;
use super::events::{Discrete, EventKind, LatchProgress};
use super::report::{Finding, Stop, Turn};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::mode::MouldMode;
use latchstroke_models::state::State;

/// A rod further than this from its rest at the end of a turn has not come home, m.
const HOME: f64 = 50e-6;

/// The findings of a turn that came to stand at `end` after `time` (s).
pub(super) fn of(
    machine: &Machine,
    turn: &Turn,
    end: &State,
    discrete: &Discrete,
    time: f64,
) -> Vec<Finding> {
    let mut found = Vec::new();
    let set = machine.setting == LatchSetting::Set;
    if !matches!(turn.stop, Stop::FullTurn | Stop::Answered) {
        found.push(Finding::Unsolved { stop: turn.stop, angle: time * machine.shaft_speed });
        return found;
    }
    if turn.energy_residual.abs() > ENERGY_TOLERANCE {
        found.push(Finding::EnergyOpen { residual: turn.energy_residual });
    }
    if set && !machine.latch.can_hold() {
        found.push(Finding::NeverHolds {
            clearance: machine.latch.clearance.unwrap_or(machine.latch.trip_lift),
        });
    }
    if set && discrete.latch == LatchProgress::Holding {
        found.push(Finding::NeverTrips { lift: turn.peaks.block_lift, needed: machine.latch.trip_lift });
    }
    if let (Some(event), Some(room)) = (turn.first(EventKind::CoilsTouch), machine.coil_room()) {
        found.push(Finding::CoilBound { angle: event.angle, room, closing: turn.peaks.spring_closing });
    }
    if let Some(event) = turn.first(EventKind::FollowerLeaves) {
        found.push(Finding::FollowerFloats { angle: event.angle });
    }
    let held_all_turn = discrete.latch == LatchProgress::Holding;
    if turn.fill.is_none() && !held_all_turn {
        found.push(unfilled(machine, turn, end, discrete));
    }
    if let Some(hold_down) = machine.mould.hold_down {
        let lasting = turn.hold_lifting_force > hold_down;
        let force = if lasting { turn.hold_lifting_force } else { turn.peaks.lifting_force };
        if force > hold_down {
            found.push(Finding::MatrixLifts { force, hold_down, lasting });
        }
    }
    let distance = (end.rod_lift - machine.rod_rest).abs();
    if distance > HOME && turn.stop == Stop::FullTurn {
        found.push(Finding::NotHome { distance });
    }
    found
}

fn unfilled(machine: &Machine, turn: &Turn, end: &State, discrete: &Discrete) -> Finding {
    let Some(entry) = turn.first(EventKind::EntryReached) else {
        return Finding::EntryNeverReached { driven: end.past_nozzle, needed: machine.mould.priming_volume };
    };
    let retreated = turn.events.iter().find(|e| e.kind == EventKind::InletReopens && e.time > entry.time);
    let sealed = turn.first(EventKind::Sealed);
    match sealed {
        Some(sealed)
            if retreated.is_none_or(|r| sealed.time < r.time) && discrete.mode.mould == MouldMode::Sealed =>
        {
            Finding::SealedEarly { filled: turn.filled, after: sealed.time - entry.time }
        }
        _ => Finding::ShortCast { filled: turn.filled },
    }
}
