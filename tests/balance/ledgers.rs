//! Metal, air and heat over whole turns of the working set, and the state across every event.

use super::{imbalance, lifts_go_on, nothing_jumps, within};
use crate::support::working_set::machine;
use latchstroke_core::turn::{Accuracy, EventKind, Turn, solve_traced};
use latchstroke_models::latch::LatchSetting::{Aside, Set};
use latchstroke_models::machine::Machine;
use latchstroke_models::ringing::FOLLOWED_PERIODS;
use latchstroke_models::state::State;
use latchstroke_models::well::Suction;

/// Tight, the return of the machine included.
const TIGHT: Accuracy = Accuracy { tolerance: 2e-8, method: None, ringing: FOLLOWED_PERIODS };

fn over_sizes_and_paces(accuracy: Accuracy, mut see: impl FnMut(&str, &Machine, &Turn)) {
    for points in [6.0, 12.0, 24.0, 36.0, 60.0] {
        for pace in [5.0, 15.0, 40.0, 75.0, 140.0] {
            for setting in [Aside, Set] {
                let machine = machine(points, pace, setting);
                let turn = solve_traced(&machine, accuracy);
                see(&format!("{points} pt at {pace}, {setting:?}"), &machine, &turn);
            }
        }
    }
}

/// Conservation of volume and heat. The state is the integrator's and the sums are taken at two points of each of its steps, which
/// may be long.
#[test]
fn balance_metal_and_heat_close() {
    over_sizes_and_paces(Accuracy::default(), |name, machine, turn| {
        let open = imbalance(machine, turn);
        assert!(within(open, [1e-3, f64::INFINITY, 6e-3]), "{name}: metal, air, heat {open:?}");
    });
}

/// The same and the air at a tight tolerance: the imbalance shrinks with the steps, so it is the sums' and no leak of the
/// model's.
#[test]
fn balance_metal_air_and_heat_close_the_better_the_tighter() {
    over_sizes_and_paces(TIGHT, |name, machine, turn| {
        let open = imbalance(machine, turn);
        // Vents that open and shut as the full mould rings turn the air about within a step of the trace.
        assert!(within(open, [1e-6, 5e-4, 1e-5]), "{name}: metal, air, heat {open:?}");
    });
}

/// Until the inlet reopens nothing is let go: what was swept and did not slip is past the nozzle or pressed into the well.
#[test]
fn balance_metal_until_the_inlet_reopens() {
    // The pressure written down is the metal's own, and the damping of the ringing drives some past the piston too.
    over_sizes_and_paces(Accuracy { ringing: f64::INFINITY, ..TIGHT }, |name, machine, turn| {
        let Some(closes) = turn.first(EventKind::InletCloses) else { return };
        let upto = turn.first(EventKind::InletReopens).map_or(f64::INFINITY, |e| e.time);
        let closed = |t: f64| t > closes.time && t < upto;
        let stroke: Vec<_> = turn.trace.iter().filter(|i| closed(i.time)).collect();
        let (first, last) = (stroke.first().expect("a stroke"), stroke.last().expect("a stroke"));
        let swept = machine.piston.area * (last.piston_travel - first.piston_travel);
        let slipped: f64 = stroke
            .windows(2)
            .map(|p| 0.5 * (p[0].well_pressure + p[1].well_pressure) * (p[1].time - p[0].time))
            .sum::<f64>()
            * machine.piston.leakage;
        let gained = |of: fn(&State) -> f64| of(&last.state) - of(&first.state);
        let kept = gained(|s| s.past_nozzle) + gained(|s| s.pressed);
        // Travel, not speed, and the trapezoidal rule on the pressure: a count of its own.
        let open = (swept - slipped - kept) / machine.mould.volume;
        assert!(open.abs() < 1e-4, "{name}: {open:e} of the cavity unaccounted for");
    });
}

#[test]
fn balance_only_what_must_jumps_at_an_event() {
    over_sizes_and_paces(Accuracy::default(), |_, _, turn| {
        turn.events.iter().for_each(nothing_jumps);
        lifts_go_on(turn);
    });
}

/// A short cast in a mould that takes no heat, in a machine whose metal bears any pull, neither slips nor is let in: as the piston
/// draws back it takes the metal out of the mould again.
#[test]
fn balance_metal_drawn_back_out_of_the_mould() {
    let mut machine = machine(60.0, 60.0, Aside);
    machine.well.suction = Suction::Holds;
    machine.piston.port_travel = 0.0;
    machine.piston.leakage = 0.0;
    machine.mould.effective_heat_transfer = 0.0;
    machine.mould.packed_effective_heat_transfer = 0.0;
    let turn = solve_traced(&machine, TIGHT);
    assert!(turn.first(EventKind::EntryLeft).is_some(), "{:?}", turn.events);
    turn.events.iter().for_each(nothing_jumps);
    let open = imbalance(&machine, &turn);
    assert!(within(open, [1e-6, 1e-4, 1e-5]), "metal, air, heat {open:?}");
}
