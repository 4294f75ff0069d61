//! The first law at an instant, in any state and any mode: what the cam gives goes into what the parts hold or is lost at a place that is told.

use super::closed_tangent::{machines, modes, states};
use latchstroke_models::cam::Motion;
use latchstroke_models::energy::{held, powers};
use latchstroke_models::machine::Machine;
use latchstroke_models::mode::{Mode, RodMode, WellMode};
use latchstroke_models::state::State;

/// The state as a mode has it: a rod held stands still, nothing flows or is pressed where nothing can, and metal that has parted is past
/// the floor of its tension.
fn settled(machine: &Machine, state: State, mode: Mode) -> State {
    let mut state = state;
    if mode.rod == RodMode::Held {
        state.rod_speed = 0.0;
    }
    match (mode.well, machine.well.parting_volume()) {
        (WellMode::PortOpen, _) => state.pressed = 0.0,
        (WellMode::Parted, Some(floor)) => state.pressed = 1.5 * floor,
        _ => {}
    }
    if !Machine::flows(mode) {
        state.flow = 0.0;
    }
    state
}

/// The state a time `h` (s) on, at the rates given.
fn moved(state: &State, rates: &State, h: f64) -> State {
    State {
        block_lift: state.block_lift + h * rates.block_lift,
        block_speed: state.block_speed + h * rates.block_speed,
        rod_lift: state.rod_lift + h * rates.rod_lift,
        rod_speed: state.rod_speed + h * rates.rod_speed,
        pressed: state.pressed + h * rates.pressed,
        flow: state.flow + h * rates.flow,
        past_nozzle: state.past_nozzle + h * rates.past_nozzle,
        air_mass: state.air_mass + h * rates.air_mass,
        heat_given: state.heat_given + h * rates.heat_given,
    }
}

/// Energy is made of squares, of which a central difference is exact.
#[test]
fn closed_form_power_balances_in_any_state_and_mode() {
    const STEP: f64 = 1e-7;
    let mut seen = 0;
    for (machine, one_way) in machines() {
        for mode in modes(one_way) {
            for state in states(&machine).into_iter().map(|state| settled(&machine, state, mode)) {
                // On the rise, at the top, on the return.
                for theta in [0.3, 2.0, 3.9] {
                    let cam: Motion = machine.cam.at(theta);
                    let rates = machine.rates(theta, &state, mode);
                    let at = |h: f64| {
                        let lift = cam.lift + h * cam.slope * machine.shaft_speed;
                        held(&machine, lift, &moved(&state, &rates, h), mode)
                    };
                    let gained = (at(STEP) - at(-STEP)) / (2.0 * STEP);
                    let p = powers(&machine, &machine.loads(theta, &state, mode), &state, mode);
                    let lost = [p.train, p.shoulder, p.friction, p.leakage, p.nozzle, p.cavity, p.ringing];
                    let open = p.cam - gained - lost.iter().sum::<f64>();
                    let size = p.cam.abs() + gained.abs() + lost.iter().map(|power| power.abs()).sum::<f64>();
                    let rounding = 8.0 * f64::EPSILON * at(0.0) / STEP;
                    assert!(open.abs() <= 1e-6 * size + rounding, "{open} W of {p:?}, {mode:?} at {state:?}");
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 5_000, "{seen}");
}
