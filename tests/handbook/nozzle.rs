//! Nozzle, channel and leakage against the pipe-flow library fluids 1.3.1 and laminar theory.

use super::machine_with;
use approx::assert_relative_eq;
use latchstroke_models::machine::Machine;
use latchstroke_models::nozzle::friction_factor;
use latchstroke_models::units::{Density, Length, Viscosity};
use std::f64::consts::PI;

/// Reynolds number and Churchill's friction factor of a smooth pipe by fluids 1.3.1 (S. W. Churchill 1977).
const CHURCHILL: [(f64, f64); 5] = [
    (500.0, 0.128),
    (2000.0, 0.03204331743),
    (4000.0, 0.0405897329612),
    (10000.0, 0.0310021306526),
    (100000.0, 0.0178748216282),
];

/// The same by Colebrook 1939, fluids 1.3.1; turbulent flow only.
const COLEBROOK: [(f64, f64); 3] =
    [(4000.0, 0.0399070140556), (10000.0, 0.0308829503535), (100000.0, 0.0179897730843)];

#[test]
fn handbook_friction_factor_is_churchills() {
    for (re, factor) in CHURCHILL {
        // The same formula, to the digits given.
        assert_relative_eq!(friction_factor(re), factor, max_relative = 1e-9);
    }
}

#[test]
fn handbook_friction_factor_lies_near_colebrook() {
    for (re, factor) in COLEBROOK {
        // Two fits to one set of measurements: 3 % apart at most.
        assert_relative_eq!(friction_factor(re), factor, max_relative = 0.03);
    }
}

#[test]
fn closed_form_friction_factor_is_laminar_at_low_reynolds_numbers() {
    for re in [1.0, 20.0, 100.0, 500.0, 1000.0] {
        // 64/Re. Churchill's blend adds nothing worth seeing below the transition.
        assert_relative_eq!(friction_factor(re), 64.0 / re, max_relative = 1e-6);
    }
}

/// A nozzle of `bore` and `length` (mm) with loss coefficient `loss` and no channel, for `density` and `viscosity` (SI).
fn with_nozzle(bore: f64, length: f64, loss: f64, (density, viscosity): (f64, f64)) -> Machine {
    machine_with(4e-3, 4e-3, |machine| {
        machine.nozzle.bore = Length(bore * 1e-3);
        machine.nozzle.length = Length(length * 1e-3);
        machine.nozzle.loss = loss;
        // A channel of no length takes nothing, however wide.
        machine.nozzle.channel_bore = Length(10e-3);
        machine.nozzle.channel_length = Length(0.0);
        machine.metal.density = Density(density);
        machine.metal.viscosity = Viscosity(viscosity);
    })
}

#[test]
fn closed_form_laminar_nozzle_loses_hagen_and_poiseuilles_pressure() {
    // 128·μ·L·Q/(π·d⁴) = 280.112699842 Pa for 1 cm³/s through 2 mm × 50 mm at 2.2 mPa·s; the velocity head is taken off.
    let nozzle = with_nozzle(2.0, 50.0, 0.0, (10580.0, 2.2e-3)).nozzle;
    let area = PI * 1e-6;
    for re in [0.01, 1.0, 19.0, 21.0, 500.0] {
        let q = re * 2.2e-3 * PI * 2e-3 / (4.0 * 10580.0);
        assert_relative_eq!(nozzle.reynolds(q), re, max_relative = 1e-12);
        let friction = nozzle.pressure_loss(q) - 0.5 * 10580.0 * (q / area).powi(2);
        assert_relative_eq!(friction, 280.112699842 * q / 1e-6, max_relative = 1e-9);
        assert_relative_eq!(nozzle.pressure_loss(-q), -nozzle.pressure_loss(q), max_relative = 1e-15);
    }
}

#[test]
fn reference_nozzle_passes_lead_as_the_sum_of_its_losses() {
    // Lead at 400 °C (lbh15 2.1.0) through 2 mm × 6 mm with a sharp entrance, K = 0.57 (Rennels): pressure (bar) and flow
    // (cm³/s) by fluids 1.3.1.
    let nozzle = with_nozzle(2.0, 6.0, 0.57, (10579.704575, 2.22687285e-3)).nozzle;
    for (bar, flow) in [(1.0, 10.6685275), (10.0, 33.8981989), (50.0, 75.9868218), (100.0, 107.559076)] {
        // That library's friction factor is Colebrook's, at most 3 % from Churchill's; friction is 4 % of the loss here.
        assert_relative_eq!(nozzle.pressure_loss(flow * 1e-6), bar * 1e5, max_relative = 0.03 * 0.045);
    }
}

#[test]
fn closed_form_column_has_its_inertance() {
    // ρ·L/A = 13470874.3833 kg/m⁴ for 100 mm of 10 mm bore at 10580 kg/m³; guards against slips.
    let metal = (10580.0, 2.2e-3);
    let alone = with_nozzle(10.0, 100.0, 0.0, metal).nozzle.inertance;
    assert_relative_eq!(alone, 13470874.3833, max_relative = 1e-11);
    // Nozzle and channel in a row add up; a millionth of the nozzle is left.
    let channel = machine_with(4e-3, 4e-3, |machine| {
        machine.metal.density = Density(10580.0);
        machine.nozzle.bore = Length(10e-3);
        machine.nozzle.length = Length(100e-3);
        machine.nozzle.channel_bore = Length(10e-3);
        machine.nozzle.channel_length = Length(100e-3);
    });
    assert_relative_eq!(channel.nozzle.inertance, 2.0 * 13470874.3833, max_relative = 1e-11);
}

#[test]
fn handbook_piston_leaks_through_a_thin_annulus() {
    let piston = machine_with(4e-3, 4e-3, |machine| {
        machine.piston.diameter = Length(20e-3);
        machine.piston.clearance = Length(0.025e-3);
        machine.piston.length = Length(30e-3);
        machine.metal.viscosity = Viscosity(2.2e-3);
    })
    .piston;
    // π·D·c³·Δp/(12·μ·L) at 5 MPa: M. G. Rabie, *Fluid Power Engineering*, equation 2.19 (read).
    assert_relative_eq!(piston.leakage * 5e6, 6.197902173275e-6, max_relative = 1e-11);
    // The exact annulus (mpmath 1.3.0): the thin gap taken at the piston's diameter is low by c/D.
    assert_relative_eq!(piston.leakage * 5e6, 6.2056501958012e-6, max_relative = 0.025 / 20.0 * 1.01);
    // 1000 N on it; guards against slips.
    assert_relative_eq!(1000.0 / piston.area, 3183098.86184, max_relative = 1e-11);
}
