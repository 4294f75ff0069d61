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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::demo;
    use crate::turn::{Accuracy, Event, solve};

    /// The demo at 12 pt, whose matrix nothing lifts, and its turn.
    fn turned(setting: LatchSetting) -> (Machine, Turn) {
        let mut machine = demo(12.0, 1.0, setting);
        machine.mould.hold_down = None;
        let turn = solve(&machine, Accuracy::default());
        (machine, turn)
    }

    #[test]
    fn what_is_told_is_what_the_turn_ended_with() {
        let (mut machine, turn) = turned(LatchSetting::Aside);
        let mut discrete = Discrete::at_rest(&machine);
        let home = machine.rest_state();
        assert_eq!(of(&machine, &turn, &home, &discrete, 0.7), []);
        for (share, is_open) in [(9e-4, false), (-9e-4, false), (1.1e-3, true), (-1.1e-3, true)] {
            let turn = Turn { energy_residual: share, ..turn.clone() };
            let open = if is_open { vec![Finding::EnergyOpen { residual: share }] } else { Vec::new() };
            assert_eq!(of(&machine, &turn, &home, &discrete, 0.7), open);
        }
        for (off, is_home) in [(45e-6, true), (-45e-6, true), (55e-6, false), (-55e-6, false)] {
            let end = State { rod_lift: home.rod_lift + off, ..home };
            let told = of(&machine, &turn, &end, &discrete, 0.7);
            let is_told = matches!(told.as_slice(), [Finding::NotHome { distance }] if (distance - 55e-6).abs() < 1e-12);
            assert!(if is_home { told.is_empty() } else { is_told }, "{told:?}");
            let answered = Turn { stop: Stop::Answered, ..turn.clone() };
            assert_eq!(of(&machine, &answered, &end, &discrete, 0.7), []);
        }
        let stop = Stop::Chatter(EventKind::Full);
        let broken = Turn { stop, energy_residual: 1.0, fill: None, ..turn.clone() };
        let angle = 0.7 * machine.shaft_speed;
        assert_eq!(of(&machine, &broken, &home, &discrete, 0.7), [Finding::Unsolved { stop, angle }]);
        // A latch that is too near to hold is told of where it is set, and one that holds all turn is.
        machine.latch.clearance = Some(-1e-3);
        assert_eq!(of(&machine, &turn, &home, &discrete, 0.7), []);
        machine.setting = LatchSetting::Set;
        assert_eq!(of(&machine, &turn, &home, &discrete, 0.7), [Finding::NeverHolds { clearance: -1e-3 }]);
        machine.latch.clearance = None;
        discrete.latch = LatchProgress::Holding;
        let told = of(&machine, &Turn { fill: None, ..turn }, &home, &discrete, 0.7);
        assert!(matches!(told.as_slice(), [Finding::NeverTrips { .. }]), "{told:?}");
    }

    #[test]
    fn a_mould_that_is_not_full_froze_early_or_ran_short() {
        let (machine, turn) = turned(LatchSetting::Aside);
        let mut discrete = Discrete::at_rest(&machine);
        let home = machine.rest_state();
        let event = |kind, time| Event { kind, time, angle: 0.0, before: home, after: home };
        let (entry, sealed) = (event(EventKind::EntryReached, 1.0), event(EventKind::Sealed, 2.0));
        let reopens = |time| event(EventKind::InletReopens, time);
        for (mould, events, is_early) in [
            (MouldMode::Sealed, vec![entry, sealed], true),
            // Open before the metal came says nothing; open before it froze, the metal ran back; open after, it could not.
            (MouldMode::Sealed, vec![reopens(0.5), entry, sealed], true),
            (MouldMode::Sealed, vec![entry, reopens(1.5), sealed], false),
            (MouldMode::Sealed, vec![entry, sealed, reopens(2.5)], true),
            (MouldMode::Filling, vec![entry, sealed], false),
            (MouldMode::Filling, vec![entry], false),
        ] {
            discrete.mode.mould = mould;
            let turn = Turn { fill: None, filled: 0.4, events, ..turn.clone() };
            let early = Finding::SealedEarly { filled: 0.4, after: 1.0 };
            let told = if is_early { early } else { Finding::ShortCast { filled: 0.4 } };
            assert_eq!(of(&machine, &turn, &home, &discrete, 0.7), [told], "{:?}", turn.events);
        }
    }

    #[test]
    fn a_turn_is_closed_that_came_to_its_end_and_balances() {
        let (_, turn) = turned(LatchSetting::Aside);
        for (energy_residual, stop, is_closed) in [
            (9e-4, Stop::FullTurn, true),
            (-9e-4, Stop::Answered, true),
            (1.1e-3, Stop::FullTurn, false),
            (-1.1e-3, Stop::FullTurn, false),
            (0.0, Stop::TooManyEvents, false),
        ] {
            let turn = Turn { energy_residual, stop, ..turn.clone() };
            assert_eq!(turn.is_closed(), is_closed, "{energy_residual} {stop:?}");
            let openness = if stop == Stop::TooManyEvents { f64::INFINITY } else { energy_residual.abs() };
            assert_eq!(turn.openness().to_bits(), openness.to_bits());
        }
    }

    #[test]
    fn what_a_finding_means_for_cast_figures_and_setting() {
        let unsolved = Finding::Unsolved { stop: Stop::TooManyEvents, angle: 0.0 };
        let [open, short] = [Finding::EnergyOpen { residual: 1.0 }, Finding::ShortCast { filled: 0.5 }];
        let trips = Finding::NeverTrips { lift: 0.0, needed: 1.0 };
        let bound = Finding::CoilBound { angle: 0.0, room: 0.0, closing: 1.0 };
        let home = Finding::NotHome { distance: 1.0 };
        for (finding, spoils, unreliable, faults) in [
            (unsolved, true, true, false),
            (open, true, true, false),
            (short, true, false, false),
            (trips, true, false, true),
            (bound, false, false, true),
            (home, false, false, false),
        ] {
            let told = (finding.spoils_cast(), finding.makes_unreliable(), finding.faults_setting());
            assert_eq!(told, (spoils, unreliable, faults), "{finding:?}");
        }
    }
}
