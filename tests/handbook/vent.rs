//! Vents against gas dynamics (as in NACA report 1135, not re-read; fluids 1.3.1 for the critical ratio) and plane Poiseuille
//! flow; the viscosity of air against CoolProp 8.0.0.

use super::machine_with;
use approx::assert_relative_eq;
use latchstroke_models::air::{AIR_GAS_CONSTANT, ATMOSPHERE, air_viscosity};
use latchstroke_models::units::{Area, Length, Temperature};
use latchstroke_models::vent::{Vent, VentStatement, flow_function};

/// A vent at air temperature `temperature` (K) with coefficient `coefficient`.
fn vent(stated: VentStatement, coefficient: f64, temperature: f64) -> Vent {
    machine_with(4e-3, 4e-3, |machine| {
        machine.mould.vent = stated;
        machine.mould.vent_coefficient = coefficient;
        machine.mould.air_temperature = Temperature(temperature);
    })
    .mould
    .vent
}

/// 10 mm × 0.025 mm, m².
const OPENING: VentStatement = VentStatement::Area(Area(10e-3 * 0.025e-3));

/// Share by which softening the law near zero pressure difference may lower the flow: half of 1e-5 over the relative drop.
fn softening(inside: f64) -> f64 {
    let up = inside.max(ATMOSPHERE);
    0.5e-5 * 1.01 * up / (inside - ATMOSPHERE).abs()
}

#[test]
fn closed_form_vent_flow_function() {
    // √(2k/(k−1)·(r^(2/k) − r^((k+1)/k))), k = 1.4: guards against slips.
    let table = [
        (0.99, 0.140661702604),
        (0.95, 0.307641100392),
        (0.9, 0.422580863819),
        (0.8, 0.560661019192),
        (0.7, 0.638317233286),
        (0.6, 0.676915252863),
        // Choked; over √287.05 it is the familiar 0.0404.
        (0.5282817877171742, 0.68473145637727),
        (0.3, 0.68473145637727),
        (0.0, 0.68473145637727),
    ];
    for (ratio, value) in table {
        assert_relative_eq!(flow_function(ratio), value, max_relative = 2e-12);
    }
}

#[test]
fn reference_vent_chokes_at_the_critical_ratio() {
    // 0.5282817877171742 by fluids 1.3.1: the flow has stopped growing there, and is still growing one per cent above.
    let critical = 0.5282817877171742;
    assert_relative_eq!(flow_function(critical), flow_function(0.5 * critical), max_relative = 1e-12);
    // The maximum is flat: one per cent off costs 0.7·0.01² of it.
    let lost = 1.0 - flow_function(1.01 * critical) / flow_function(critical);
    assert!(lost > 2e-5 && lost < 2e-4, "{lost}");
}

#[test]
fn closed_form_vent_of_an_area_passes_the_nozzle_flow() {
    // Temperature (K), pressure inside (Pa), flow (kg/s); choked or not by fluids 1.3.1, the flow guards against slips.
    let cases = [
        (300.0, 200_000.0, 0.000116667765776),
        (300.0, 121_590.0, 5.42054790976e-5),
        (400.0, 151_987.5, 7.34505150716e-5),
        (500.0, 500_000.0, 0.000225926156944),
    ];
    for (temperature, inside, flow) in cases {
        let got = vent(OPENING, 1.0, temperature).flow(inside);
        assert_relative_eq!(got, flow, max_relative = softening(inside));
    }
}

#[test]
fn closed_form_vent_draws_air_in_as_it_lets_it_out() {
    // Into a vacuum: 0.0404148995858·A·p/√T (choked, k = 1.4, R = 287.05), from outside.
    let drawn = vent(OPENING, 1.0, 300.0).flow(0.0);
    let choked = 0.0404148995858 * 10e-3 * 0.025e-3 * ATMOSPHERE / f64::sqrt(300.0);
    assert_relative_eq!(drawn, -choked, max_relative = softening(0.0));
    assert_relative_eq!(vent(OPENING, 1.0, 300.0).flow(ATMOSPHERE), 0.0);
}

#[test]
fn closed_form_vent_that_just_passes_the_displaced_air_when_choked() {
    // C_v·A = Q/(0.684731456·√(R·T)) whatever the pressure: A/Q for C_v at 500 K (m² for each m³/s). Guards against slips.
    let inside = 4e5;
    let density = inside / (AIR_GAS_CONSTANT * 500.0);
    for (coefficient, area) in [(0.6, 0.006424875141), (0.8, 0.004818656356), (1.0, 0.003854925085)] {
        let vent = vent(VentStatement::Area(Area(area * 1e-6)), coefficient, 500.0);
        assert_relative_eq!(vent.flow(inside) / density, 1e-6, max_relative = softening(inside));
    }
}

#[test]
fn closed_form_vent_blows_a_closed_mould_down_in_its_time_constant() {
    // Isothermal and choked: p falls as exp(−t/τ), τ = V/(C_v·A·0.684731456·√(R·T)) = 8.619874537 ms.
    let rate = vent(VentStatement::Area(Area(0.25e-6)), 0.8, 400.0);
    for inside in [2.5e5, 4e5, 9e5] {
        let mass = inside * 400e-9 / (AIR_GAS_CONSTANT * 400.0);
        assert_relative_eq!(mass / rate.flow(inside), 8.619874537e-3, max_relative = softening(inside));
    }
}

/// A slit 10 mm wide and 5 mm long, `gap` (mm) thick.
fn slit(gap: f64) -> VentStatement {
    VentStatement::Slit { gap: Length(gap * 1e-3), width: Length(10e-3), length: Length(5e-3) }
}

#[test]
fn closed_form_vent_of_a_thin_slit_passes_the_viscous_flow() {
    // w·g³·(p² − p_atm²)/(24·μ·L·R·T) with μ = 2.17e-5 Pa·s, 0.025 mm, 300 K: plane Poiseuille flow of an ideal gas.
    let vent = vent(slit(0.025), 1.0, 300.0);
    let viscosity = air_viscosity(300.0) / 2.17e-5;
    for (inside, flow) in
        [(120_000.0, 2.87999227979e-6), (200_000.0, 2.07177477265e-5), (500_000.0, 0.000167043085375)]
    {
        assert_relative_eq!(vent.flow(inside) * viscosity, flow, max_relative = 1e-10);
    }
}

#[test]
fn closed_form_vent_of_a_slit_passes_the_lesser_flow() {
    // At 2 bar the viscous flow of a 0.025 mm slit is more than fivefold below the nozzle's; a slit of 0.2 mm is a nozzle.
    let nozzle = vent(OPENING, 1.0, 300.0).flow(200_000.0);
    assert!(nozzle / vent(slit(0.025), 1.0, 300.0).flow(200_000.0) > 5.0 * 0.9);
    let thick = vent(slit(0.2), 1.0, 300.0).flow(200_000.0);
    assert_relative_eq!(thick, 8.0 * nozzle, max_relative = 1e-12);
}

#[test]
fn reference_air_viscosity_lies_near_the_reference_equation() {
    // CoolProp 8.0.0, air at 101325 Pa. Sutherland's law falls away slowly as the air gets hotter: half a per cent at 300 K,
    // one at 400 K, two at 600 K. A slit's flow goes with the cube of a thickness known to ten per cent at best.
    for (temperature, viscosity, share) in
        [(300.0, 1.853734051e-5, 0.005), (400.0, 2.305542271e-5, 0.01), (600.0, 3.076871117e-5, 0.02)]
    {
        assert_relative_eq!(air_viscosity(temperature), viscosity, max_relative = share);
    }
}

/// The slope is what the flow gains over a little more pressure, from nearly none inside to where it chokes, and as the air stands
/// still: there √(2/ε) times the orifice, ε = 10⁻⁵ the share below which the law is made linear.
#[test]
fn closed_form_vent_slope_is_that_of_its_flow() {
    for stated in [OPENING, slit(0.025), slit(0.2)] {
        let vent = vent(stated, 0.6, 300.0);
        // Rounding is 10⁻¹⁶ of the flow over 10⁻⁶ of the pressure; the law curves by less than the step squared.
        for inside in [0.05, 0.2, 0.7, 0.99, 1.01, 1.5, 1.8, 3.0, 8.0] {
            let (inside, step) = (inside * ATMOSPHERE, 1e-6 * ATMOSPHERE);
            let slope = (vent.flow(inside + step) - vent.flow(inside - step)) / (2.0 * step);
            assert_relative_eq!(vent.flow_slope(inside), slope, max_relative = 1e-6, epsilon = 1e-18);
        }
        for inside in [ATMOSPHERE - 0.5, ATMOSPHERE + 0.5, ATMOSPHERE + 5.0] {
            let slope = (vent.flow(inside + 1e-3) - vent.flow(inside - 1e-3)) / 2e-3;
            assert_relative_eq!(vent.flow_slope(inside), slope, max_relative = 1e-4);
        }
    }
    let (opening, area) = (vent(OPENING, 0.6, 300.0), 10e-3 * 0.025e-3);
    let still = 0.6 * area / (AIR_GAS_CONSTANT * 300.0).sqrt() * (2.0 / 1e-5_f64).sqrt();
    assert_relative_eq!(opening.flow_slope(ATMOSPHERE), still, max_relative = 1e-9);
}
