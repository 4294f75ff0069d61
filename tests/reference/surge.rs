//! Springs resolved along their length, against the wave equation.

use crate::support::working_set;
use approx::assert_relative_eq;
use latchstroke_core::turn::{Accuracy, solve, surge};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::spring::{Coil, PreloadStatement, RateStatement, Spring, SpringStatement};
use latchstroke_models::units::{Force, Mass, Pace, Stiffness};
use nalgebra::DMatrix;

/// Rate (N/m), mass (kg) of 8 active coils of 6 mm wire at 36 mm mean diameter, G 81.5 GPa, and the surge frequency of such a
/// spring with both ends held, Hz. Source: Shigley equation 10-25, wave equation; the numbers guard against slips.
const RATE: f64 = 35373.26389;
const MASS: f64 = 0.2008188147;
const SURGE: f64 = 209.8482596;
/// Speed of a free end let go from 1000 N, F/√(k·m), m/s: surge-wave theory (spring handbooks, from memory).
const RELEASE: f64 = 11.8647948488;

fn spring(force: f64) -> Spring {
    let stated = SpringStatement {
        rate: RateStatement::Rate(Stiffness(RATE)),
        wire: None,
        mass: Some(Mass(MASS)),
        free_length: None,
        solid_length: None,
        preload: PreloadStatement::Force(Force(force)),
        bound_rate: None,
        allowable_stress: None,
    };
    let mut machine = working_set::statement();
    machine.springs = vec![stated];
    let prepared = Machine::prepare(&machine, working_set::square(24.0), Pace(0.5), LatchSetting::Set);
    prepared.expect("a valid machine").springs[0]
}

#[test]
fn closed_form_a_held_spring_surges_at_the_frequencies_of_the_wave_equation() {
    let coil = Coil::of(&spring(1000.0), 64);
    let count = coil.nodes();
    // Column by column: the accelerations that a unit displacement of one node gives.
    let at_rest = {
        let mut accelerations = vec![0.0; count];
        coil.forces(0.0, 0.0, &vec![0.0; count], &mut accelerations);
        accelerations
    };
    let stiffness = DMatrix::from_fn(count, count, |r, c| {
        let mut nodes = vec![0.0; count];
        nodes[c] = 1e-3;
        let mut accelerations = vec![0.0; count];
        coil.forces(0.0, 0.0, &nodes, &mut accelerations);
        -(accelerations[r] - at_rest[r]) / 1e-3
    });
    let mut squares: Vec<f64> = stiffness.symmetric_eigenvalues().iter().copied().collect();
    squares.sort_by(f64::total_cmp);
    let frequency = |square: f64| square.sqrt() / std::f64::consts::TAU;
    // 64 pieces: the row of masses is slow by (nπ/2N)²/6, 1e-4 for the first and 4e-4 for the second.
    assert_relative_eq!(frequency(squares[0]), SURGE, max_relative = 1.5e-4);
    assert_relative_eq!(frequency(squares[1]), 2.0 * SURGE, max_relative = 5e-4);
}

#[test]
fn closed_form_a_released_end_leaves_at_the_speed_of_the_surge_front() {
    let coil = Coil::of(&spring(1000.0), 400);
    let count = coil.nodes();
    let (mut nodes, mut speeds) = (vec![0.0; count], vec![0.0; count]);
    let (mut end, mut end_speed) = (0.0, 0.0);
    let mut accelerations = vec![0.0; count];
    // The front is at the far end after √(m/k); the free end moves evenly for twice as long. Half a front's time is followed.
    let time = 0.5 * (MASS / RATE).sqrt();
    let steps = 20_000;
    let dt = time / f64::from(steps);
    for _ in 0..steps {
        let (_, push) = coil.forces(0.0, end, &nodes, &mut accelerations);
        end_speed += dt * push / coil.end_mass();
        end += dt * end_speed;
        for i in 0..count {
            speeds[i] += dt * accelerations[i];
            nodes[i] += dt * speeds[i];
        }
    }
    // The mean over the time; the row of masses rings behind its front by about a piece's length in 200 on the way.
    assert_relative_eq!(end / time, RELEASE, max_relative = 0.01);
}

/// The working set with the mass of its spring changed; the rod is lightened or loaded so that all that moves stays the same.
fn machine(spring_mass: f64) -> Machine {
    let mut stated = working_set::statement();
    stated.springs[0].mass = Some(Mass(spring_mass));
    stated.rod.mass = Mass(1.2 + (0.35 - spring_mass) / 3.0);
    Machine::prepare(&stated, working_set::square(24.0), Pace(40.0 / 60.0), LatchSetting::Set)
        .expect("a valid machine")
}

#[test]
fn closed_form_a_spring_of_next_to_no_mass_throws_as_the_usual_rule_says() {
    let machine = machine(0.002);
    let turn = solve(&machine, Accuracy { tolerance: 1e-7, ..Accuracy::default() });
    let resolved = surge::resolve(&machine, &turn, 1e-7).expect("solved").expect("a throw");
    let fill = turn.fill.expect("full").time();
    // The mass left to surge is a thousandth of what moves; the fill follows its share.
    assert_relative_eq!(resolved.fill_time.expect("full"), fill, max_relative = 1e-3);
    assert_relative_eq!(resolved.piston_speed, turn.peaks.piston_speed, max_relative = 2e-3);
}

#[test]
fn closed_form_the_usual_rule_errs_more_the_heavier_the_spring() {
    let error = |mass: f64| {
        let machine = machine(mass);
        let turn = solve(&machine, Accuracy { tolerance: 1e-7, ..Accuracy::default() });
        let resolved = surge::resolve(&machine, &turn, 1e-6).expect("solved").expect("a throw");
        (resolved.piston_speed / turn.peaks.piston_speed - 1.0).abs()
    };
    let (light, heavy) = (error(0.1), error(1.5));
    assert!(light < heavy, "{light} against {heavy}");
    // Even a spring as heavy as the rod: Rayleigh's rule is within two per cent of the first frequency (wave equation), the
    // throw's peak within five.
    assert!(heavy < 0.05, "{heavy}");
}
