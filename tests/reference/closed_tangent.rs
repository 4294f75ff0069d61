//! The slopes of the equations of motion against differences of the equations themselves, in every mode.

use crate::support::working_set::{self, machine};
use latchstroke_models::contact::Touch;
use latchstroke_models::cross_block::Closure;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::mode::{Mode, MouldMode, Ringing, RodMode, WellMode};
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement};
use latchstroke_models::state::{STATE_SIZE, State};
use latchstroke_models::units::{Force, Length, Mass, Pace, Stiffness};
use latchstroke_models::vent::VentStatement;

/// Modes that a machine can be in: every combination that its closure allows.
pub(super) fn modes(one_way: bool) -> Vec<Mode> {
    let touches = [Touch::Closed, Touch::Open];
    let followers = if one_way { &touches[..] } else { &touches[..1] };
    let moulds =
        [MouldMode::Empty, MouldMode::Filling, MouldMode::Packed, MouldMode::Sealed, MouldMode::Emptied];
    let mut all = Vec::new();
    for ringing in [Ringing::Followed, Ringing::Damped] {
        for rod in [RodMode::Held, RodMode::Free] {
            for &follower in followers {
                for shoulder in touches {
                    for well in [WellMode::PortOpen, WellMode::Closed, WellMode::Parted] {
                        let mode = |mould| Mode { rod, follower, shoulder, well, mould, ringing };
                        all.extend(moulds.map(mode));
                    }
                }
            }
        }
    }
    all
}

/// The working set, and one with every other part of a kind: one-way closure, a slit, and a second spring that goes solid.
pub(super) fn machines() -> [(Machine, bool); 2] {
    let mut stated = working_set::statement();
    stated.cross_block.closure =
        Closure::OneWay { return_force: Force(150.0), return_rate: Stiffness(2500.0) };
    stated.mould.vent =
        VentStatement::Slit { gap: Length(0.04e-3), width: Length(12e-3), length: Length(4e-3) };
    stated.lever.ratio = 1.4;
    stated.springs.push(SpringStatement {
        rate: RateStatement::Rate(Stiffness(4000.0)),
        wire: None,
        mass: Some(Mass(0.1)),
        free_length: Some(Length(0.100)),
        solid_length: Some(Length(0.085)),
        preload: PreloadStatement::Force(Force(30.0)),
        bound_rate: None,
        allowable_stress: None,
    });
    let other = Machine::prepare(&stated, working_set::square(18.0), Pace(0.5), LatchSetting::Set)
        .expect("the variant is a valid machine");
    [(machine(12.0, 60.0, LatchSetting::Aside), false), (other, true)]
}

/// States away from every kink: metal all liquid, freezing, solid; air above and below the atmosphere; coils apart and solid.
pub(super) fn states(machine: &Machine) -> Vec<State> {
    let mut all = Vec::new();
    for (filled, hot) in [(0.2, 0.95), (0.7, 0.4), (0.96, -0.1), (0.99, 0.6), (1.003, 0.93)] {
        for (block, rod, speed, flow) in [
            (0.011, 0.0111, 0.15, 3e-6),
            (0.018, 0.004, 1.1, 7e-5),
            (0.021, 0.019, -0.003, -2e-6),
            (0.01, 0.009, 0.4, 1e-9),
        ] {
            let inside = filled * machine.mould.volume;
            all.push(State {
                block_lift: block,
                block_speed: 0.7 * speed - 0.01,
                rod_lift: rod,
                rod_speed: speed,
                pressed: 2e-8 * speed,
                flow,
                past_nozzle: inside + machine.mould.priming_volume,
                air_mass: machine.mould.air_mass * (1.07 - filled) * (1.0 + speed),
                heat_given: (1.0 - hot) * machine.metal.pot_heat,
            });
        }
    }
    all
}

/// The rates in scaled numbers, at scaled numbers `y`.
fn rates(machine: &Machine, theta: f64, y: &[f64; STATE_SIZE], mode: Mode) -> [f64; STATE_SIZE] {
    let scales = machine.scales();
    let cam = machine.cam.at(theta);
    let state = State::from_scaled(y, cam.lift, &scales);
    machine.rates(theta, &state, mode).scaled(cam.slope * machine.shaft_speed, &scales)
}

/// Asks that `slope` be the difference (`after` − `before`)/(2·`step`), given the greatest force scale of its row.
fn check(what: &str, slope: f64, (after, before): (f64, f64), step: f64, rounding: f64) {
    let difference = (after - before) / (2.0 * step);
    // The rates bend, and carry roundings, which the step magnifies.
    let allowed = 2e-5 * slope.abs() + rounding / step;
    assert!((slope - difference).abs() <= allowed, "{what}: {slope} but by difference {difference}");
}

#[test]
fn closed_form_tangent_is_the_slope_of_the_rates() {
    const STEP: f64 = 1e-6;
    let theta = 1.1;
    for (machine, one_way) in machines() {
        let scales = machine.scales();
        for mode in modes(one_way) {
            for state in states(&machine) {
                let tangent = machine.tangent(machine.cam.at(theta), &state, mode, &scales);
                let by_state = tangent.slopes.rows();
                let y = state.scaled(machine.cam.at(theta).lift, &scales);
                for column in 0..STATE_SIZE {
                    let (mut up, mut down) = (y, y);
                    up[column] += STEP;
                    down[column] -= STEP;
                    let after = rates(&machine, theta, &up, mode);
                    let before = rates(&machine, theta, &down, mode);
                    for row in 0..STATE_SIZE {
                        // A rate is a sum of terms each of which is at most a slope times a number.
                        let size: f64 = (0..STATE_SIZE).map(|c| (by_state[row][c] * y[c]).abs()).sum();
                        let rounding = 4.0 * f64::EPSILON * (size + after[row].abs());
                        let what = format!("rate {row} by number {column} in {mode:?} at {state:?}");
                        check(&what, by_state[row][column], (after[row], before[row]), STEP, rounding);
                    }
                }
            }
        }
    }
}

#[test]
fn closed_form_tangent_by_time_is_the_drift_of_the_rates() {
    const STEP: f64 = 1e-6;
    for (machine, one_way) in machines() {
        let scales = machine.scales();
        for mode in modes(one_way) {
            let state = states(&machine)[1];
            // On the rise, at the top, on the return and in the low dwell.
            for theta in [0.3, 1.1, 2.0, 3.9, 6.0] {
                let y = state.scaled(machine.cam.at(theta).lift, &scales);
                let tangent = machine.tangent(machine.cam.at(theta), &state, mode, &scales);
                let by_state = tangent.slopes.rows();
                let turned = machine.shaft_speed * STEP;
                let after = rates(&machine, theta + turned, &y, mode);
                let before = rates(&machine, theta - turned, &y, mode);
                for row in 0..STATE_SIZE {
                    let size: f64 = (0..STATE_SIZE).map(|c| (by_state[row][c] * y[c]).abs()).sum();
                    let rounding = 4.0 * f64::EPSILON * (size + after[row].abs());
                    let what = format!("rate {row} by time in {mode:?} at {theta} rad");
                    check(&what, tangent.by_time[row], (after[row], before[row]), STEP, rounding);
                }
            }
        }
    }
}
