//! The closed-form limits of freezing against H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids* (Neumann's solution, section
//! 11.2; equation read in J. Crank, *Free and Moving Boundary Problems*, p. 103) and the classical limits of a thin skin and
//! of a lump.

use super::{QUASI_STEADY, freezes_at_one_temperature, machine_with};
use crate::support::working_set::celsius;
use approx::assert_relative_eq;
use latchstroke_models::freezing::{
    bulk_limit, lapping_limit, splashed_film_limit, splashed_film_thickness, time_to_solid_share,
};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::{
    Conductivity, Density, HeatTransfer, LatentHeat, Length, POINT, SpecificHeat,
};

/// A coefficient or length so great that its resistance or end effect is nothing.
const ENDLESS: f64 = 1e15;

/// Such metal of round figures, its liquid without resistance, against a wall at 60 °C: 180 K between them.
fn round_metal(machine: &mut MachineStatement) {
    freezes_at_one_temperature(machine);
    machine.metal.sealing_fraction = 1.0;
    machine.metal.density = Density(10400.0);
    machine.metal.latent_heat = LatentHeat(40e3);
    machine.metal.conductivity_solid = Conductivity(25.0);
    machine.metal.conductivity_liquid = Conductivity(ENDLESS);
}

/// Such metal as a square bar of `side` (m) without ends, with `h` (W/m²K) at its wall.
fn bar(side: f64, h: f64, change: impl FnOnce(&mut MachineStatement)) -> Machine {
    machine_with(side, side, |machine| {
        round_metal(machine);
        machine.mould.depth = Length(ENDLESS);
        machine.mould.heat_transfer = HeatTransfer(h);
        change(machine);
    })
}

#[test]
fn closed_form_skin_grows_by_the_quasi_steady_law() {
    for (h, skin, time) in QUASI_STEADY {
        let machine = bar(4e-3, h, |_| ());
        assert_relative_eq!(
            splashed_film_limit(&machine.metal, &machine.mould, skin * 1e-3),
            time,
            max_relative = 1e-11
        );
        assert_relative_eq!(
            splashed_film_thickness(&machine.metal, &machine.mould, time),
            skin * 1e-3,
            max_relative = 1e-11
        );
    }
}

#[test]
fn closed_form_skin_has_both_classical_limits() {
    let (rho, latent, k, drive) = (10400.0_f64, 40e3, 25.0, 180.0);
    let perfect_wall = bar(4e-3, ENDLESS, |_| ());
    let perfect_metal = bar(4e-3, 10e3, |machine| machine.metal.conductivity_solid = Conductivity(ENDLESS));
    for time in [1e-6, 1e-3, 1.0] {
        // No resistance at the wall: the square-root law s = √(2·k·ΔT·t/(ρ·L)).
        let root = (2.0 * k * drive * time / (rho * latent)).sqrt();
        let skin = splashed_film_thickness(&perfect_wall.metal, &perfect_wall.mould, time);
        // The wall left over is worth k/h = 25 fm of skin.
        assert_relative_eq!(skin, root, max_relative = 1e-9, epsilon = 26e-15);
        // None in the metal: the linear law s = h·ΔT·t/(ρ·L).
        let line = 10e3 * drive * time / (rho * latent);
        let skin = splashed_film_thickness(&perfect_metal.metal, &perfect_metal.mould, time);
        assert_relative_eq!(skin, line, max_relative = 1e-9);
    }
}

/// Stefan number and Neumann's λ of the front 2·λ·√(α·t), one phase: root of √π·λ·exp(λ²)·erf λ = St by mpmath 1.3.0.
const NEUMANN: [(f64, f64); 6] = [
    (0.01, 0.07059327656043),
    (0.05, 0.1568209223345),
    (0.1, 0.2200162727429),
    (0.2, 0.3064239053612),
    (0.5, 0.4647859206462),
    (1.0, 0.6200626333136),
];

#[test]
fn closed_form_skin_tends_to_neumanns_solution_as_the_stefan_number_falls() {
    for (stefan, lambda) in NEUMANN {
        // L chosen so that c_p·ΔT/L is the Stefan number; no superheat, no resistance at the wall.
        let machine = bar(4e-3, ENDLESS, |machine| {
            machine.metal.specific_heat = SpecificHeat(150.0);
            machine.metal.latent_heat = LatentHeat(150.0 * 180.0 / stefan);
        });
        let time = 0.01;
        let diffusivity = 25.0 / (10400.0 * 150.0);
        let skin = splashed_film_thickness(&machine.metal, &machine.mould, time);
        let excess = skin / (2.0 * lambda * f64::sqrt(diffusivity * time)) - 1.0;
        // The quasi-steady law leaves out the heat of the skin itself. To first order that is St/6 too thick; the next term
        // of the expansion takes off less than half of St/6 for all St up to 1.
        assert!(excess < stefan / 6.0 && excess > stefan / 6.0 * (1.0 - 0.5 * stefan), "{stefan}: {excess}");
    }
}

#[test]
fn closed_form_bulk_limit_of_a_lump_that_freezes() {
    // ρ·L·(V/A)/(h·ΔT), V/A a quarter of the side of a square bar of 12 points; guards against slips.
    let machine = bar(4.2175176e-3, 10e3, |_| ());
    assert_relative_eq!(bulk_limit(&machine.metal, &machine.mould), 0.243678794667, max_relative = 1e-11);
}

#[test]
fn closed_form_bulk_limit_of_a_lump_that_cools() {
    // ρ·c·(V/A)/h·ln((T_pot − T_w)/(T_liq − T_w)) from 350 to 245 °C against 60 °C, V/A = 1.05438 mm; guards against slips.
    let machine = bar(4.0 * 1.05438e-3, 10e3, |machine| {
        machine.metal.density = Density(10200.0);
        machine.metal.specific_heat = SpecificHeat(150.0);
        machine.metal.pot_temperature = celsius(350.0);
        machine.metal.liquidus = celsius(245.0);
        machine.metal.solidus = celsius(245.0);
        machine.metal.sealing_fraction = 1e-14;
    });
    assert_relative_eq!(bulk_limit(&machine.metal, &machine.mould), 0.072517451727, max_relative = 1e-10);
}

/// Points; lapping limit (ms) for [`TRANSFERS`]: t = ρ·V·c/(h_eff·A)·ln((T_pot − T_w)/(T_liq − T_w)), 1/h_eff = 1/h + b/(6·k),
/// worked out apart from the program; guards against slips.
const LAPPING: [(f64, [f64; 7]); 3] = [
    (14.0, [159.9, 132.5, 68.3, 59.2, 40.9, 34.7, 28.0]),
    (24.0, [282.6, 238.4, 135.5, 120.8, 91.4, 81.6, 70.8]),
    (36.0, [436.9, 375.5, 232.1, 211.6, 170.6, 156.9, 141.9]),
];
/// W/(m²·K).
const TRANSFERS: [f64; 7] = [4e3, 5e3, 12e3, 15e3, 30e3, 45e3, 100e3];

#[test]
fn closed_form_lapping_limit_is_the_time_to_lose_the_superheat() {
    for (points, limits) in LAPPING {
        for (h, limit) in TRANSFERS.into_iter().zip(limits) {
            let machine = machine_with(points * POINT, points * POINT, |machine| {
                machine.mould.heat_transfer = HeatTransfer(h);
                // The packed mould comes too late to matter.
                machine.mould.packed_heat_transfer = Some(HeatTransfer(3.0 * h));
            });
            let (metal, mould) = (&machine.metal, &machine.mould);
            // Half of the last digit.
            assert_relative_eq!(1e3 * lapping_limit(metal, mould, 0.0), limit, epsilon = 0.051);
            // Some solid accepted gives more time, up to where nothing flows.
            let accepted = [0.0, 0.05, 0.2, metal.sealing_fraction].map(|f| lapping_limit(metal, mould, f));
            assert!(accepted.is_sorted() && accepted[0] < accepted[3]);
            assert_relative_eq!(accepted[3], bulk_limit(metal, mould), max_relative = 1e-12);
        }
    }
}

#[test]
fn closed_form_lump_takes_as_long_to_freeze_by_halves_as_at_once() {
    // M·e_m·f/(C·(T_liq − T_w)) at an arrest, in proportion to the share; rounding.
    let machine = bar(4.2175176e-3, 10e3, |_| ());
    let time = |share: f64| time_to_solid_share(&machine.metal, &machine.mould, share);
    assert_relative_eq!(time(0.5), 0.5 * 0.243678794667, max_relative = 1e-11);
    assert_relative_eq!(time(1.0), 0.243678794667, max_relative = 1e-11);
}

#[test]
fn closed_form_bulk_limit_over_a_freezing_range_is_the_integral_of_its_rate() {
    // The working set: M·de/dt = −h_eff·A_w·(T(e) − T_w), followed in small steps from the pot down to the sealing fraction.
    let machine = machine_with(8e-3, 8e-3, |_| ());
    let (metal, mould) = (&machine.metal, &machine.mould);
    let end = (1.0 - metal.sealing_fraction) * metal.melt_heat;
    let parts = 20_000;
    let step = (metal.pot_heat - end) / f64::from(parts);
    let time: f64 = (0..parts)
        .map(|i| {
            let heat = end + (f64::from(i) + 0.5) * step;
            metal.density * mould.volume * step
                / (mould.conductance(false) * (metal.temperature(heat) - mould.wall_temperature))
        })
        .sum();
    // The midpoint rule with 20 000 parts, one of them across the kink at the liquidus.
    assert_relative_eq!(bulk_limit(metal, mould), time, max_relative = 1e-7);
}

#[test]
fn closed_form_resistance_inside_the_metal_against_the_plane_walls_series() {
    // A plate cooled on both faces: the slowest term of the series decays as ζ², ζ·tan ζ = Bi (roots by scipy 1.17.1; M. P.
    // Heisler 1947). One resistance b/(6·k) inside gives Bi/(1 + Bi/3) instead: right to Bi² and never slower.
    let roots = [
        (0.01, 0.0998336385511),
        (0.1, 0.3110528482),
        (0.5, 0.653271187094),
        (1.0, 0.860333589019),
        (2.0, 1.07687398631),
    ];
    for (biot, root) in roots {
        let (thickness, k) = (4e-3, 20.0);
        let machine = machine_with(thickness, 10.0 * thickness, |machine| {
            machine.metal.conductivity_liquid = Conductivity(k);
            machine.mould.heat_transfer = HeatTransfer(biot * k / (0.5 * thickness));
        });
        let lumped = machine.mould.effective_heat_transfer * 0.5 * thickness / k;
        let excess = lumped / (root * root) - 1.0;
        // Next term of the series for ζ²: Bi²/45.
        assert!(excess > 0.0 && excess < biot * biot / 45.0, "Bi {biot}: {excess}");
    }
}
