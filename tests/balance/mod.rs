//! What must balance whatever the machine: energy, metal, air and heat, and the rules that no turn may break.
//!
//! * `agreement`: every study says what the judge says, and every limit has its say.
//! * `energy`: the work of the cam against where it went, counted from the trace with formulae written down here.
//! * `findings`: every finding has a machine that brings it forth and one that just does not.
//! * `impossible`: what cannot be is refused just where it begins, at the field at fault, and no draw of it is solved.
//! * `ledgers`: metal, air and heat over whole turns of the working set, and what may jump at an event.
//! * `paces`: the windows of pace against the fill times drawn, and work that is called off.
//! * `told`: what is told of a turn, worked out again from its events and its trace.
//! * `window`: the edges of the sleeve's window against turns solved on either side of them.
//! * `any_machine`: the same for random machines, and that every turn is solved, finite, and the same each time.

mod agreement;
mod any_machine;
mod energy;
mod findings;
mod impossible;
mod ledgers;
mod odds;
mod paces;
mod told;
mod window;

use latchstroke_core::turn::{Event, EventKind, Instant, Turn};
use latchstroke_models::machine::Machine;
use latchstroke_models::state::State;

/// How far metal, air and heat are from balance: metal as a share of what the piston can sweep, air and heat as a share of what
/// the mould holds.
///
/// Swept less slipped is what went past the nozzle and what is still pressed into the well, less what each reopening of the
/// inlet let go; the air at the start is what was vented and what is left; the heat in the mould is what the metal brought in
/// less what it took out again and what the walls took. Air and heat are counted here from the trace, by the trapezoidal rule.
fn imbalance(machine: &Machine, turn: &Turn) -> [f64; 3] {
    let end = turn.trace.last().expect("a trace").state;
    let lost = |kind: EventKind, of: fn(&Event) -> f64| -> f64 {
        turn.events.iter().filter(|e| e.kind == kind).map(of).sum()
    };
    let let_go = lost(EventKind::InletReopens, |e| e.before.pressed - e.after.pressed);
    let metal = turn.sums.swept - turn.sums.leaked - end.past_nozzle - end.pressed - let_go;
    let air = machine.mould.air_mass - through_vents(machine, turn) - end.air_mass;
    let kept = turn.trace.last().map_or(0.0, |last| last.heat);
    let heat = brought_in(machine, turn) - turn.sums.wall_heat - kept;
    [
        metal / (machine.rod.ratio * machine.piston.area * machine.cam.lift()),
        air / machine.mould.air_mass,
        heat / (machine.metal.density * machine.mould.volume * machine.metal.pot_heat),
    ]
}

/// Heat, J, brought in by metal less that taken out, summed over the trace: metal comes into a mould that is not full with the heat
/// of the pot, and goes out, and to and fro at the entry of a full one, with its own.
fn brought_in(machine: &Machine, turn: &Turn) -> f64 {
    let metal = &machine.metal;
    let own = |i: &Instant| metal.pot_heat - i.state.heat_given;
    let pairs = turn.trace.windows(2).map(|p| {
        let middle = 0.5 * (p[0].time + p[1].time);
        let heat = |moved: f64| match (in_mould(turn, middle), vents_open(turn, middle) && moved > 0.0) {
            (false, _) => 0.0,
            (true, true) => metal.pot_heat,
            (true, false) => 0.5 * (own(&p[0]) + own(&p[1])),
        };
        metal.density * to_and_fro(p).into_iter().map(|moved| moved * heat(moved)).sum::<f64>()
    });
    pairs.sum()
}

/// What moved past the nozzle between two instants, m³, before and after the flow turned about, where it did: then it is taken to change
/// evenly.
fn to_and_fro(pair: &[Instant]) -> [f64; 2] {
    let [start, end] = [&pair[0], &pair[1]].map(|instant| instant.state);
    let moved = end.past_nozzle - start.past_nozzle;
    if start.flow * end.flow >= 0.0 {
        return [moved, 0.0];
    }
    let turns = start.flow / (start.flow - end.flow);
    let length = pair[1].time - pair[0].time;
    let halves = [0.5 * start.flow * turns * length, 0.5 * end.flow * (1.0 - turns) * length];
    halves.map(|half| half + 0.5 * (moved - halves[0] - halves[1]))
}

/// When the last of some events before `t` (s) was; before everything where none was.
fn last(turn: &Turn, kinds: &[EventKind], t: f64) -> f64 {
    let times = turn.events.iter().filter(|e| kinds.contains(&e.kind) && e.time < t).map(|e| e.time);
    times.fold(f64::NEG_INFINITY, f64::max)
}

/// Whether the vents are open: once metal has come, whenever the mould is neither full nor sealed.
fn vents_open(turn: &Turn, t: f64) -> bool {
    let open = [EventKind::EntryReached, EventKind::VentsReopen, EventKind::EntryLeft];
    last(turn, &open, t) > last(turn, &[EventKind::Full, EventKind::Sealed], t)
}

/// Whether there is metal in the mould.
fn in_mould(turn: &Turn, t: f64) -> bool {
    last(turn, &[EventKind::EntryReached], t) > last(turn, &[EventKind::EntryLeft], t)
}

/// Air through the vents, kg, summed over the trace.
fn through_vents(machine: &Machine, turn: &Turn) -> f64 {
    let mould = &machine.mould;
    let inside = |s: &State| mould.metal_inside(s.past_nozzle).max(0.0);
    let flow = |s: &State| mould.vent.flow(mould.air_pressure(s.air_mass, inside(s)));
    let open = |pair: &&[Instant]| vents_open(turn, 0.5 * (pair[0].time + pair[1].time));
    let pairs = turn.trace.windows(2).filter(open);
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
        // The rod's lift is counted from the block's, and is rounded as that is.
        let rounding = 4.0 * f64::EPSILON * a.block_lift.abs();
        let same = |a: f64, b: f64| (a - b).abs() <= 1e-12 * a.abs().max(1e-6) + rounding;
        let lifts = same(a.block_lift, b.block_lift) && same(a.rod_lift, b.rod_lift);
        let speeds = same(a.block_speed, b.block_speed) && same(a.rod_speed, b.rod_speed);
        assert!(lifts && speeds, "at {} s: {a:?} and {b:?}", pair[1].time);
    }
}
