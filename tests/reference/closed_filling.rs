//! Metal driven by a constant pressure, solved by the program, against closed forms: a column started from rest, a mould
//! filled with open vents, and one filled against trapped air.
//!
//! The pressure on the moulds is that of a spring too soft to lose force on the way, on a rod too light to matter.

use super::closed_machines::{Column, Throw, circle, pumping, solved};
use approx::assert_relative_eq;
use latchstroke_core::turn::{EventKind, Method, Turn};
use latchstroke_models::air::ATMOSPHERE;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mode::{Mode, MouldMode, WellMode};
use latchstroke_models::mould::{FULL, Sort};
use latchstroke_models::state::State;
use latchstroke_models::units::{Area, Length, Pace, Volume};
use latchstroke_models::vent::VentStatement;

const BORE: f64 = 0.020;
const DENSITY: f64 = 10580.0;

/// A machine that drives a column of `mass` (kg, at the rod) with a constant `pressure` (Pa) through a nozzle.
fn driven(pressure: f64, rod_mass: f64, mass: f64, nozzle: f64, loss: f64) -> MachineStatement {
    pumping(
        Throw { rod_mass, force: pressure * circle(BORE), rate: 0.01, lift: 0.045 },
        Column { mass, bore: BORE, nozzle, loss, density: DENSITY },
    )
}

#[test]
fn closed_form_column_starts_under_a_constant_head() {
    // v = v_0·tanh(t/τ), v_0 = √(2·Δp/(ρ·K)), τ = 2·L/(K·v_0): 5 MPa, K = 1.8 with the jet's own head, 60 mm of pipe.
    let (v0, tau) = (22.9150555085_f64, 0.00290929544735);
    let pipe = 0.010;
    let mass = DENSITY * 0.060 * circle(BORE).powi(2) / circle(pipe);
    let sort = Sort { body: Length(4e-3), set: Length(4e-3) };
    let machine = Machine::prepare(&driven(5e6, 1.0, mass, pipe, 0.8), sort, Pace(1.0), LatchSetting::Set)
        .expect("a valid machine");
    let mode = Mode { well: WellMode::Closed, mould: MouldMode::Empty, ..machine.rest_mode() };
    // The well is held at its pressure, so the machine's own turn cannot be used: the nozzle's equation alone, by the
    // classical Runge-Kutta method in 1000 steps for each τ, good to 1e-13.
    let rate = |flow: f64| {
        let pressed = 5e6 / machine.well.stiffness();
        machine.rates(0.0, &State { pressed, flow, ..machine.rest_state() }, mode).flow
    };
    let step = tau / 1000.0;
    let mut flow = 0.0;
    for i in 1..=2000 {
        let a = rate(flow);
        let b = rate(flow + 0.5 * step * a);
        let c = rate(flow + 0.5 * step * b);
        let d = rate(flow + step * c);
        flow += step / 6.0 * (a + 2.0 * b + 2.0 * c + d);
        let known = match i {
            500 => 10.58944031,
            1000 => 17.4519723587,
            2000 => 22.0907455091,
            _ => v0 * (f64::from(i) / 1000.0).tanh(),
        };
        // The nozzle at the pipe's end is a nanometre long, a sixtieth of a millionth of the column; the channel, a metre wide,
        // takes a few hundred-millionths of the head.
        assert_relative_eq!(flow / circle(pipe), known, max_relative = 1e-7);
    }
}

/// A cavity of 4.2 mm square that holds `volume` (m³), entered after 1 mm of the piston's stroke, through a 2 mm nozzle with
/// the discharge coefficient 0.8, under `pressure` (Pa gauge), with `vents` (m²).
fn filled(pressure: f64, volume: f64, vents: f64, mass: f64) -> Turn {
    let (side, discharge) = (4.2e-3, 0.8);
    let mut stated = driven(pressure, mass, mass, 2e-3, 1.0 / (discharge * discharge) - 1.0);
    stated.mould.depth = Length(volume / (side * side));
    stated.mould.priming_volume = Volume(circle(BORE) * 1e-3);
    stated.mould.vent = VentStatement::Area(Area(vents));
    let sort = Sort { body: Length(side), set: Length(side) };
    solved(&stated, sort, 1e-8, Some(Method::Stiff))
}

#[test]
fn closed_form_mould_fills_by_torricelli() {
    // t = V/(C_d·A·√(2·Δp/ρ)): 420 mm³, 5 MPa, C_d·A of 2 mm with 0.8.
    let turn = filled(5e6, 420e-9 / FULL, 1e-2, 0.02);
    let fill = turn.fill.expect("the mould fills");
    // Two events located to a nanosecond or better, 5 ms apart.
    assert_relative_eq!(fill.time(), 5.435659758798528e-3, max_relative = 1e-7);
    // The jet fills the bore: its mean speed there is C_d of the ideal one.
    assert_relative_eq!(fill.mean_jet_speed, 0.8 * 30.74377309506728, max_relative = 1e-7);
    assert_relative_eq!(turn.peaks.jet_speed, 0.8 * 30.74377309506728, max_relative = 1e-7);
}

/// Time (s) to fill the share `f` of 420 mm³ against its own air, compressed isothermally, with 50 bar absolute on the metal.
fn against_air(f: f64) -> f64 {
    let (metal, volume, opening) = (5e6, 420e-9, 0.8 * circle(2e-3));
    let r = ATMOSPHERE / metal;
    let g = |y: f64| (y * (y - r)).sqrt() + r * ((y - r) / r).sqrt().asinh();
    volume / opening * (DENSITY / (2.0 * metal)).sqrt() * (g(1.0) - g(1.0 - f))
}

#[test]
fn closed_form_mould_fills_against_trapped_air() {
    // The closed form itself, checked by quadrature with mpmath 1.3.0.
    for (f, time) in [
        (0.5, 2.75686512983e-3),
        (0.9, 5.02724341756e-3),
        (0.95, 5.34852831937e-3),
        (0.979, 5.62861943516e-3),
    ] {
        assert_relative_eq!(against_air(f), time, max_relative = 1e-10);
    }
    let turn = filled(5e6 - ATMOSPHERE, 420e-9, 0.0, 1e-5);
    let entry = turn.first(EventKind::EntryReached).expect("the metal reaches the mould").time;
    let filling: Vec<_> =
        turn.trace.iter().filter(|i| i.fill > 0.05 && i.fill < 0.979 && i.time < entry + 6e-3).collect();
    assert!(filling.len() > 50);
    for instant in filling {
        // Rod and column, 20 mg in all at the rod, lag behind; the integrator's part is smaller.
        assert_relative_eq!(instant.time - entry, against_air(instant.fill), max_relative = 5e-6);
    }
    // The air stops the metal at 1 − p_a/p_m.
    let stopped = turn.trace.iter().filter(|i| i.time < entry + 0.05).map(|i| i.fill).fold(0.0, f64::max);
    // Printed to six digits.
    assert_relative_eq!(stopped, 0.979735, epsilon = 5e-7);
    assert!(turn.fill.is_none());
}
