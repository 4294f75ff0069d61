//! The fastest pace that cools against the closed forms of slow freezing.
//!
//! Metal that freezes at one temperature, poured without superheat and with next to no specific heat, so that the closed
//! forms' only heat is the latent heat: t = ρ·L·b/(h·ΔT) where the interface rules, and t = ρ·L/ΔT·(b/h + b²/(2k)) with
//! the solid's resistance in series (quasi-steady; M. C. Flemings, *Solidification Processing*, chapter 1, from memory). The
//! times are those formulas worked out, so they guard against slips.

use super::{freezes_at_one_temperature, machine_with};
use crate::support::working_set::celsius;
use approx::assert_relative_eq;
use latchstroke_core::studies::cooling::{Cooling, cooling};
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::units::{Angle, Conductivity, Density, HeatTransfer, LatentHeat, SpecificHeat};
use std::f64::consts::{PI, TAU};

/// Cooling of a sort of `body` by `set` (m) with h = 10 kW/(m²·K), 180 K of drive and L = 40 kJ/kg, the mould shut for half
/// a turn.
fn slow_freezing(body: f64, set: f64, change: impl FnOnce(&mut MachineStatement)) -> Cooling {
    let machine = machine_with(body, set, |machine| {
        freezes_at_one_temperature(machine);
        machine.metal.density = Density(10400.0);
        machine.metal.latent_heat = LatentHeat(40e3);
        machine.metal.specific_heat = SpecificHeat(1.0);
        machine.metal.conductivity_solid = Conductivity(25.0);
        machine.metal.conductivity_liquid = Conductivity(25.0);
        machine.mould.heat_transfer = HeatTransfer(1e4);
        change(machine);
    });
    cooling(&machine, Angle(PI)).expect("solid in time")
}

/// V/A of a square bar of 4.2175176 mm, a quarter of its side; half a body of twice that has the same V/A.
const VOLUME_OVER_AREA: f64 = 4.2175176e-3 / 4.0;

#[test]
fn closed_form_cooling_where_the_interface_rules() {
    let body = 2.0 * VOLUME_OVER_AREA;
    let perfect_metal = |machine: &mut MachineStatement| {
        machine.metal.conductivity_solid = Conductivity(25e3);
        machine.metal.conductivity_liquid = Conductivity(25e3);
    };
    let cooling = slow_freezing(body, 3.0 * body, perfect_metal);
    // 1 %: the solver's own, and specific heat is c·ΔT/L = 0.5 % of the latent heat.
    assert_relative_eq!(cooling.time, 0.243678794667, max_relative = 0.01);
    assert_relative_eq!(cooling.pace, 0.5 / cooling.time, max_relative = 1e-12);
    // The lesser of body and set counts.
    assert_relative_eq!(
        slow_freezing(3.0 * body, body, perfect_metal).time,
        cooling.time,
        max_relative = 1e-9
    );
}

#[test]
fn closed_form_cooling_with_the_solid_in_series() {
    // 10400·40000/180·(2.1e-3/1e4 + 2.1e-3²/(2·25)) s.
    let cooling = slow_freezing(4.2e-3, 4.2e-3, |_| ());
    // 2 %: the solver's 1 %, its last cell, and the specific heat's 0.5 %.
    assert_relative_eq!(cooling.time, 0.689173333333, max_relative = 0.02);
}

/// The same metal with the specific heat of type metal, since without any it is as cold as the wall the moment it is solid.
#[test]
fn closed_form_ejection_temperature_of_both_limits() {
    // Metal that conducts perfectly is of one temperature: it leaves the mould at its solidus.
    let one = slow_freezing(4.2e-3, 4.2e-3, |machine| {
        machine.metal.specific_heat = SpecificHeat(150.0);
        machine.metal.conductivity_solid = Conductivity(25e3);
        machine.metal.conductivity_liquid = Conductivity(25e3);
    });
    // A step of the solver past solid, which is a few kelvin.
    assert!((one.ejection - celsius(240.0).0).abs() < 3.0, "{}", one.ejection);
    // With the solid's resistance in series its profile is straight, from 240 °C in the middle to 60 °C behind 1/h: the surface
    // stands at 240 − 180·(b/k)/(1/h + b/k) °C, and the mean half-way.
    let series = slow_freezing(4.2e-3, 4.2e-3, |machine| machine.metal.specific_heat = SpecificHeat(150.0));
    let (solid, film) = (2.1e-3 / 25.0, 1e-4);
    let mean = celsius(240.0 - 0.5 * 180.0 * solid / (film + solid)).0;
    // Sensible heat bends the profile outwards: a Stefan number of 0.3 at the mean, a sixth of that in the mean's drop.
    assert!((series.ejection - mean).abs() < 0.06 * 180.0, "{} against {mean}", series.ejection);
}

#[test]
fn closed_form_cooling_of_type_metal_is_of_the_order_of_the_interface_limit() {
    // An order check: conduction through the metal and heat besides the latent only add time, here less than twice over for
    // each (Bi = h·b/k = 0.42; superheat and sensible heat are under two thirds of the latent heat).
    let machine = machine_with(4.2e-3, 4.2e-3, |_| ());
    let solved = cooling(&machine, Angle(PI)).expect("solid in time");
    let (metal, mould) = (&machine.metal, &machine.mould);
    let drive = metal.solidus - mould.wall_temperature;
    let limit = metal.density * metal.latent_heat * 2.1e-3 / (mould.heat_transfer * drive);
    assert!((1.0..4.0).contains(&(solved.time / limit)), "{} against {limit}", solved.time);
}

#[test]
fn closed_form_pace_is_the_share_of_the_turn_over_the_time() {
    let machine = machine_with(4.2e-3, 4.2e-3, |_| ());
    for degrees in [30.0_f64, 200.0, 350.0] {
        let solved = cooling(&machine, Angle(degrees.to_radians())).expect("solid in time");
        assert_relative_eq!(solved.pace * solved.time, degrees.to_radians() / TAU, max_relative = 1e-12);
    }
}
