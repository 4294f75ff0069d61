//! What must balance whatever the machine: energy, metal, air and heat, and the rules that no turn may break.
//!
//! * `energy`: the work of the cam against where it went, counted from the trace with formulae written down here.
//! * `ledgers`: metal, air and heat over whole turns of the working set, and what may jump at an event.
//! * `paces`: the windows of pace against the fill times drawn, and work that is called off.
//! * `window`: the edges of the sleeve's window against turns solved on either side of them.
//! * `any_machine`: the same for random machines, and that every turn is solved, finite, and the same each time.

mod any_machine;
mod energy;
mod ledgers;
mod paces;
mod window;

use latchstroke_core::turn::{Event, EventKind, Turn};
use latchstroke_models::machine::Machine;
use latchstroke_models::state::State;

/// How far metal, air and heat are from balance: metal as a share of what the piston can sweep, air and heat as a share of what
/// the mould holds.
///
/// Swept less slipped is what went past the nozzle and what is still pressed into the well, less what each reopening of the
/// inlet let go; the air at the start is what was vented and what is left; heat to the walls is what the metal gave up, with
/// what left the mould again taken along. The air is counted here from the trace, by
/// the trapezoidal rule.
fn imbalance(machine: &Machine, turn: &Turn) -> [f64; 3] {
    let end = turn.trace.last().expect("a trace").state;
    let lost = |kind: EventKind, of: fn(&Event) -> f64| -> f64 {
        turn.events.iter().filter(|e| e.kind == kind).map(of).sum()
    };
    let let_go = lost(EventKind::InletReopens, |e| e.before.pressed - e.after.pressed);
    let taken = lost(EventKind::EntryLeft, |e| e.before.heat_given - e.after.heat_given);
    let metal = turn.sums.swept - turn.sums.leaked - end.past_nozzle - end.pressed - let_go;
    let air = machine.mould.air_mass - through_vents(machine, turn) - end.air_mass;
    let heat = turn.sums.wall_heat - end.heat_given - taken;
    [
        metal / (machine.rod.ratio * machine.piston.area * machine.cam.lift()),
        air / machine.mould.air_mass,
        heat / (machine.metal.density * machine.mould.volume * machine.metal.pot_heat),
    ]
}

/// Air through the vents, kg, summed over the trace.
fn through_vents(machine: &Machine, turn: &Turn) -> f64 {
    let mould = &machine.mould;
    let last = |kinds: &[EventKind], t: f64| {
        let times = turn.events.iter().filter(|e| kinds.contains(&e.kind) && e.time < t).map(|e| e.time);
        times.fold(f64::NEG_INFINITY, f64::max)
    };
    let flow = |s: &State| mould.vent.flow(mould.air_pressure(s.air_mass, mould.metal_inside(s.past_nozzle)));
    let filling = |t: f64| {
        let shut = [EventKind::EntryLeft, EventKind::Full, EventKind::Sealed];
        // With nothing to prime, the mould is entered before anything happens.
        let from_rest = if mould.priming_volume > 0.0 { f64::NEG_INFINITY } else { 0.0 };
        last(&[EventKind::EntryReached], t).max(from_rest) > last(&shut, t)
    };
    let pairs = turn.trace.windows(2).filter(|pair| filling(0.5 * (pair[0].time + pair[1].time)));
    pairs.map(|p| 0.5 * (p[1].time - p[0].time) * (flow(&p[0].state) + flow(&p[1].state))).sum()
}

/// Whether metal, air and heat are each within their bound.
fn within(open: [f64; 3], bounds: [f64; 3]) -> bool {
    open.iter().zip(bounds).all(|(open, bound)| open.abs() < bound)
}

/// Asserts that nothing jumps at an event but what must: reopening the inlet lets the well go and stops the flow, sealing stops
/// the flow, and metal that leaves the mould takes its heat along.
fn nothing_jumps(event: &Event) {
    let mut after = event.after;
    match event.kind {
        EventKind::InletReopens => {
            assert!(after.pressed == 0.0 && after.flow == 0.0, "{event:?}");
            after.pressed = event.before.pressed;
            after.flow = event.before.flow;
        }
        EventKind::Sealed => {
            assert!(after.flow == 0.0, "{event:?}");
            after.flow = event.before.flow;
        }
        EventKind::EntryLeft => {
            assert!(after.heat_given == 0.0, "{event:?}");
            after.heat_given = event.before.heat_given;
        }
        _ => {}
    }
    assert_eq!(after, event.before, "{:?}", event.kind);
}

/// Asserts that lifts and speeds go on as they were from one leg to the next; they are scaled and scaled back between.
fn lifts_go_on(turn: &Turn) {
    for pair in turn.trace.windows(2).filter(|pair| pair[0].time >= pair[1].time) {
        let (a, b) = (pair[0].state, pair[1].state);
        let same = |a: f64, b: f64| (a - b).abs() <= 1e-12 * a.abs().max(1e-6);
        let lifts = same(a.block_lift, b.block_lift) && same(a.rod_lift, b.rod_lift);
        let speeds = same(a.block_speed, b.block_speed) && same(a.rod_speed, b.rod_speed);
        assert!(lifts && speeds, "at {} s: {a:?} and {b:?}", pair[1].time);
    }
}
