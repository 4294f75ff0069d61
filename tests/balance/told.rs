//! What is told of a turn, worked out again by hand from its events and its trace.

use crate::support::working_set::{machine, square, statement};
use approx::assert_relative_eq;
use latchstroke_core::turn::{
    Accuracy, Event, EventKind, Stop, Turn, solve, solve_traced, solve_unless_late,
};
use latchstroke_models::latch::Latch;
use latchstroke_models::latch::LatchSetting::{Aside, Set};
use latchstroke_models::machine::Machine;
use latchstroke_models::units::{Length, Pace, Time, Volume};
use std::f64::consts::TAU;

/// Sizes at paces, with the latch aside and set, and their turns.
fn turns() -> impl Iterator<Item = (Machine, Turn)> {
    let machines = [(8.0, 120.0), (12.0, 60.0), (24.0, 40.0), (36.0, 15.0)]
        .into_iter()
        .flat_map(|(points, pace)| [Aside, Set].map(|setting| machine(points, pace, setting)));
    machines.map(|machine| {
        let turn = solve_traced(&machine, Accuracy::default());
        (machine, turn)
    })
}

fn first(turn: &Turn, kind: EventKind) -> Event {
    *turn.first(kind).unwrap_or_else(|| panic!("{kind:?}"))
}

/// The springs' force and energy by Hooke's law: the working set's springs neither part nor bind.
fn hooke(machine: &Machine, closing: f64) -> (f64, f64) {
    machine.springs.iter().fold((0.0, 0.0), |(force, energy), spring| {
        let squeeze = spring.rest_squeeze + closing;
        (force + spring.rate * squeeze, energy + 0.5 * spring.rate * squeeze * squeeze)
    })
}

#[test]
fn closed_form_a_throw_is_that_of_its_springs_and_its_strike() {
    let mut seen = 0;
    for (machine, turn) in turns() {
        let Some(throw) = turn.throw else { continue };
        let released = first(&turn, EventKind::LatchLetsGo);
        let closing = released.before.block_lift - released.before.rod_lift;
        let ((force, energy), (_, at_rest)) = (hooke(&machine, closing), hooke(&machine, 0.0));
        assert_relative_eq!(throw.time, released.time);
        assert_relative_eq!(throw.latch_load, force, max_relative = 1e-12);
        assert_relative_eq!(throw.stored_energy, energy - at_rest, max_relative = 1e-12);
        let mut strikes = turn.events.iter().filter(|event| event.kind == EventKind::ShoulderStrikes);
        let strike = strikes.find(|event| event.time > released.time).expect("a strike");
        let speed = strike.before.rod_speed - strike.before.block_speed;
        assert_relative_eq!(throw.caught_up.expect("a strike"), strike.time);
        assert_relative_eq!(throw.strike_speed, speed, max_relative = 1e-12);
        assert_relative_eq!(
            throw.strike_energy,
            machine.rod.mass * speed * speed / 2.0,
            max_relative = 1e-12
        );
        seen += 1;
    }
    assert!(seen > 2, "{seen}");
}

#[test]
fn closed_form_a_fill_is_what_moved_from_entry_to_full() {
    for (machine, turn) in turns() {
        let (entry, full) = (first(&turn, EventKind::EntryReached), first(&turn, EventKind::Full));
        let fill = turn.fill.expect("a full mould");
        let time = full.time - entry.time;
        let piston = machine.rod.ratio * (full.before.rod_lift - entry.before.rod_lift);
        let metal = full.before.past_nozzle - entry.before.past_nozzle;
        assert_relative_eq!(fill.time(), time);
        assert_relative_eq!(fill.mean_piston_speed, piston / time, max_relative = 1e-12);
        assert_relative_eq!(fill.mean_jet_speed, metal / machine.nozzle.area / time, max_relative = 1e-12);
        // Full is 98 %; what packs fills the rest and a little more.
        assert_relative_eq!(metal, 0.98 * machine.mould.volume, max_relative = 1e-6);
        assert_relative_eq!(turn.trapped_air, (1.0 - turn.filled).max(0.0));
        let all = machine.mould.priming_volume + machine.mould.volume;
        let springs_drive = machine.rod.ratio * machine.piston.area * machine.latch.trip_lift;
        assert_relative_eq!(turn.snap_share, springs_drive / all, max_relative = 1e-12);
        // What went out by the vents is what there is less of.
        let left = turn.trace.last().expect("a trace").state.air_mass;
        assert_relative_eq!(turn.sums.vented, machine.mould.air_mass - left, max_relative = 1e-9);
        // What drives the lifting force lifts the face.
        let face = machine.mould.body * machine.mould.set;
        assert_relative_eq!(turn.hold_lifting_force, turn.hold_pressure * face, max_relative = 1e-12);
        assert_relative_eq!(
            turn.peaks.lifting_force,
            turn.peaks.cavity_pressure * face,
            max_relative = 1e-12
        );
    }
}

/// The greatest of each load is the greatest of it in the trace, which has instants in between, but for what lies between two of them.
#[test]
fn closed_form_peaks_are_the_greatest_of_the_trace() {
    for (machine, turn) in turns() {
        let sealed = turn.first(EventKind::Sealed).map_or(f64::INFINITY, |event| event.time);
        let fill = turn.fill.expect("a full mould");
        let (mut piston, mut well, mut cavity, mut block) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64);
        let (mut flow, mut torque, mut spring) = (0.0_f64, 0.0_f64, 0.0_f64);
        for instant in &turn.trace {
            if instant.time <= sealed {
                piston = piston.max(instant.piston_speed);
            }
            (well, cavity) = (well.max(instant.well_pressure), cavity.max(instant.cavity_pressure));
            block = block.max(instant.state.block_lift);
            if instant.time > fill.entry && instant.time < fill.full {
                flow = flow.max(instant.state.flow);
            }
            torque = torque.max(instant.cam_force * machine.cam.at(instant.angle.min(TAU)).slope);
            spring = spring.max(instant.spring_force);
        }
        let pairs = [
            (turn.peaks.jet_speed, flow / machine.nozzle.area),
            (turn.peaks.reynolds, machine.nozzle.reynolds(flow)),
            (turn.peaks.cam_torque, torque),
            (turn.peaks.spring_force, spring),
            (turn.peaks.piston_speed, piston),
            (turn.peaks.well_pressure, well),
            (turn.peaks.cavity_pressure, cavity),
            (turn.peaks.block_lift, block),
        ];
        for (peak, seen) in pairs {
            let share = peak / seen;
            assert!((1.0 - 1e-3..1.01).contains(&share), "{peak} {seen}, {:?}", machine.setting);
        }
    }
}

/// Closed form: rod and column, one inertance after the other, on the metal of well and mould, one spring after the other.
#[test]
fn closed_form_the_slowest_swing_is_that_of_both_masses_on_both_springs() {
    for (machine, _) in turns() {
        let area = machine.rod.ratio * machine.piston.area;
        let inertance = machine.rod.mass / (area * area) + machine.nozzle.inertance;
        let give = 1.0 / machine.well.stiffness() + 1.0 / machine.mould.packing_stiffness();
        assert_relative_eq!(machine.ringing_period(), TAU * (inertance * give).sqrt(), max_relative = 1e-12);
    }
}

/// Each event is where what it waits for comes about: to a tenth of a micrometre, or of a microsecond, or ten millionths of the mould.
#[test]
fn closed_form_events_are_where_what_they_wait_for_comes_about() {
    let mut stated = statement();
    stated.latch.release_delay = Time(3e-3);
    let mut seen = Vec::new();
    for (points, pace) in [(8.0, 120.0), (12.0, 60.0), (24.0, 40.0), (36.0, 15.0)] {
        for setting in [Aside, Set] {
            let machine =
                Machine::prepare(&stated, square(points), Pace(pace / 60.0), setting).expect("a machine");
            let turn = solve(&machine, Accuracy::default());
            for event in &turn.events {
                let at = event.before;
                let inside = (at.past_nozzle - machine.mould.priming_volume) / machine.mould.volume;
                let off = match event.kind {
                    EventKind::ProngsSpread => at.block_lift - machine.latch.trip_lift,
                    EventKind::LatchLetsGo => event.time - first(&turn, EventKind::ProngsSpread).time - 3e-3,
                    EventKind::InletCloses | EventKind::InletReopens => {
                        machine.rod.ratio * at.rod_lift - machine.piston.port_travel
                    }
                    EventKind::EntryReached | EventKind::EntryLeft => inside,
                    EventKind::Full | EventKind::VentsReopen => inside - 0.98,
                    EventKind::Sealed => {
                        let left = (1.0 - machine.metal.sealing_fraction) * machine.metal.melt_heat;
                        machine.metal_heat(&at) / left - 1.0
                    }
                    EventKind::LatchCatches => {
                        let rod = at.rod_lift - machine.rod_rest - Latch::CATCH_PLAY;
                        rod.max(at.block_lift - machine.latch.trip_lift)
                    }
                    _ => continue,
                };
                assert!(off.abs() < 1e-7, "{:?}: {off:e}, {points} pt at {pace}, {setting:?}", event.kind);
                seen.push(event.kind);
            }
        }
    }
    for kind in [EventKind::ProngsSpread, EventKind::LatchLetsGo, EventKind::Sealed, EventKind::LatchCatches]
    {
        assert!(seen.iter().filter(|&&other| other == kind).count() > 2, "{kind:?}");
    }
}

/// With nothing to prime the entry is reached as the piston first presses on metal that is shut in: as it closes its inlet, or where it has
/// none to close, as it begins to move.
#[test]
fn closed_form_with_nothing_to_prime_the_entry_is_reached_as_the_piston_presses() {
    let mut stated = statement();
    stated.mould.priming_volume = Volume(0.0);
    for port_travel in [stated.piston.port_travel, Length(0.0)] {
        stated.piston.port_travel = port_travel;
        for setting in [Aside, Set] {
            let machine = Machine::prepare(&stated, square(12.0), Pace(1.0), setting).expect("a machine");
            let turn = solve(&machine, Accuracy::default());
            let entry = first(&turn, EventKind::EntryReached);
            let presses = match (port_travel.0 > 0.0, setting) {
                (true, _) => first(&turn, EventKind::InletCloses).time,
                (false, Set) => first(&turn, EventKind::LatchLetsGo).time,
                // The cam begins to lift.
                (false, Aside) => machine.cam.rise().from / machine.shaft_speed,
            };
            // A rod at rest takes a moment to move, and so does a cam.
            assert!(
                entry.time >= presses && entry.time < presses + 1e-3,
                "{setting:?}: {} {presses}",
                entry.time
            );
            assert!(entry.before.rod_speed > 0.0);
            assert!(turn.fill.is_some_and(|fill| fill.time() > 1e-3));
        }
    }
}

/// A fill that may take no longer than half its time is followed for as long, and is then as far as it was; one that may take a little more
/// than its time is followed until its limits are known.
#[test]
fn closed_form_a_fill_that_is_late_is_followed_until_it_is() {
    for (machine, turn) in turns() {
        let fill = turn.fill.expect("a full mould");
        let late = solve_unless_late(&machine, Accuracy::default(), 0.5 * fill.time());
        assert_eq!(late.stop, Stop::Answered);
        assert!(late.fill.is_none() && late.first(EventKind::Full).is_none());
        let stops = fill.entry + 0.5 * fill.time();
        assert!(late.events.iter().all(|event| event.time <= stops));
        let after = turn.trace.iter().position(|instant| instant.time >= stops).expect("an instant");
        let inside =
            |n: usize| machine.mould.metal_inside(turn.trace[n].state.past_nozzle) / machine.mould.volume;
        let (least, most) = (inside(after - 1) - 1e-3, inside(after) + 1e-3);
        assert!((least..most).contains(&late.filled), "{} is not within {least} to {most}", late.filled);
        // What the piston has swept since it shut its inlet is what it has moved.
        let closed = first(&turn, EventKind::InletCloses).before.rod_lift;
        let swept =
            |n: usize| machine.rod.ratio * machine.piston.area * (turn.trace[n].state.rod_lift - closed);
        let (least, most) = (swept(after - 1).min(swept(after)), swept(after - 1).max(swept(after)));
        let slack = 2e-3 * most.abs();
        assert!(
            (least - slack..most + slack).contains(&late.sums.swept),
            "{} {least} {most}",
            late.sums.swept
        );
        let enough = solve_unless_late(&machine, Accuracy::default(), 1.01 * fill.time());
        assert_eq!(enough.stop, Stop::Answered);
        // Its last step before that may be another.
        assert_relative_eq!(enough.fill.expect("a full mould").full, fill.full, max_relative = 1e-6);
    }
}
