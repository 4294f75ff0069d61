//! Skin on a filled face: the solved growth against similarity solutions, closed forms, an independent solution and its own
//! limit of fine grids; the splashed film as its bound.
//!
//! Sources: H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, sections 2.7 and 11.2 (from memory; the equation of
//! 11.2 read in J. Crank, *Free and Moving Boundary Problems*, p. 103). Roots by SciPy 1.17.1.

use super::{freezes_at_one_temperature, machine_with};
use crate::support::any_machine::job;
use crate::support::working_set::celsius;
use approx::assert_relative_eq;
use latchstroke_models::freezing::interface::Interface;
use latchstroke_models::freezing::skin::SkinGrowth;
use latchstroke_models::freezing::slab::{End, Resolution, Slab, Walls};
use latchstroke_models::freezing::splashed_film_limit;
use latchstroke_models::freezing::substance::Substance;
use latchstroke_models::heat_curve::HeatCurve;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::WallStatement;
use latchstroke_models::units::{
    Conductivity, Density, HeatTransfer, LatentHeat, POINT, SpecificHeat, Temperature,
};
use proptest::prelude::*;
use std::f64::consts::PI;

fn growth(machine: &Machine, depth: f64) -> SkinGrowth {
    SkinGrowth::solve(&machine.metal, &machine.mould, depth, 0.0)
}

fn time_of_skin(machine: &Machine, depth: f64) -> f64 {
    growth(machine, depth).time(depth).expect("reached")
}

/// The root of a rising `f` between `low` and `high`, by halving.
fn root(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 { low = middle } else { high = middle }
    }
    low
}

/// Two-phase freezing from a wall behind h = h₀/√t: h₀ (W·√s/(m²·K)), λ, front 2·λ·√(α_s·t) at 10 and 50 ms (mm), surface (K).
/// Neumann's equation with erf λ + k_s/(h₀·√(π·α_s)) for erf λ, re-derived; a published family of explicit solutions holds it
/// (arXiv 2502.05545, abstract read).
const FALLING_TRANSFER: [(f64, f64, f64, f64); 4] = [
    (1000.0, 0.03474850, 0.07770001, 597.539178),
    (3000.0, 0.24288364, 0.54310432, 549.360133),
    (10000.0, 0.42888281, 0.95901112, 448.116533),
    (30000.0, 0.50656104, 1.13270492, 381.181003),
];

/// Skin at 10 and 50 ms (mm) and the surface then (K), of lead at 673.15 K against a wall at 333.15 K behind h₀/√t.
fn lead_behind_falling_transfer(h0: f64) -> [f64; 3] {
    let curve = HeatCurve::straight(600.6, 600.6, 23070.0, 142.0, 146.7).expect("a valid curve");
    let lead = Substance::new(10660.0, &curve, 30.0, 16.6).expect("a valid metal");
    // From a ten-millionth of a second on, so densely that straight lines between are right to a ten-thousandth.
    let times = (0..=400).map(|n| 1e-7 * 1e6_f64.powf(f64::from(n) / 400.0));
    let interface = Interface::OverTime(times.map(|time| (time, h0 / time.sqrt())).collect());
    let walls = Walls { temperature: 333.15, interface };
    let fine = Resolution { cells: 200, growth: 1.03, tolerance: 3e-6 };
    // Ten times as deep as the cold gets.
    let slab = Slab::with_resolution(lead, walls, 8e-3, fine).expect("a valid slab");
    let heat = curve.greatest_heat(673.15);
    let course = slab.course(|_| heat, 1.0, End::Time(0.05));
    let [early, late] = [0.01, 0.05].map(|time| course.at(time).expect("a moment"));
    [1e3 * early.skin, 1e3 * late.skin, late.surface_temperature]
}

#[test]
fn closed_form_front_behind_a_falling_heat_transfer_is_a_similarity_solution() {
    for (h0, early, late, surface) in FALLING_TRANSFER {
        let solved = lead_behind_falling_transfer(h0);
        // 1 %: the front is smeared over one cell, a thirtieth of its depth.
        assert_relative_eq!(solved[0], early, max_relative = 0.01);
        assert_relative_eq!(solved[1], late, max_relative = 0.01);
        // Half a per cent of the 340 K from wall to metal.
        assert_relative_eq!(solved[2], surface, epsilon = 1.7);
    }
    // Below h₀ = k_l·(T_i − T_m)/((T_m − T_w)·√(π·α_l)) = 779.8 the surface never gets to freeze.
    assert!(lead_behind_falling_transfer(770.0)[1] <= 0.0);
    assert!(lead_behind_falling_transfer(790.0)[1] > 0.0);
}

/// λ of the two-phase Neumann solution for freezing from a wall held at `wall`, both densities alike.
fn neumann([wall, melting, start]: [f64; 3], [cs, cl]: [f64; 2], [ks, kl]: [f64; 2], latent: f64) -> f64 {
    let diffusivities = (ks / cs, kl / cl);
    let nu = (diffusivities.0 / diffusivities.1).sqrt();
    let stefan = cs * (melting - wall) / latent;
    let drawn = |lambda: f64| {
        let solid = (-lambda * lambda).exp() / libm::erf(lambda);
        let liquid = kl / ks * nu * (start - melting) / (melting - wall) * (-(nu * lambda).powi(2)).exp()
            / libm::erfc(nu * lambda);
        lambda * PI.sqrt() / stefan - solid + liquid
    };
    root(drawn, 1e-6, 3.0)
}

#[test]
fn closed_form_skin_behind_no_resistance_follows_neumann_with_superheat() {
    // The formula itself: lead-like, λ by SciPy 1.17.1.
    let lambda = neumann([400.0, 600.6, 673.15], [142.0, 146.7], [30.0, 16.6], 23070.0);
    assert_relative_eq!(lambda, 0.546701447816, max_relative = 1e-9);
    let lambda = neumann([400.0, 600.6, 673.15], [145.0; 2], [30.0, 16.6], 23070.0);
    let machine = machine_with(12e-3, 12e-3, |machine| {
        machine.metal.liquidus = Temperature(600.6);
        machine.metal.solidus = Temperature(600.6);
        machine.metal.pot_temperature = Temperature(673.15);
        machine.metal.sealing_fraction = 1.0;
        machine.metal.density = Density(10660.0);
        machine.metal.latent_heat = LatentHeat(23070.0);
        machine.metal.specific_heat = SpecificHeat(145.0);
        machine.metal.conductivity_solid = Conductivity(30.0);
        machine.metal.conductivity_liquid = Conductivity(16.6);
        machine.mould.heat_transfer = HeatTransfer(1e8);
        machine.mould.wall = WallStatement::Temperature(Temperature(400.0));
    });
    let diffusivity = 30.0 / (10660.0 * 145.0);
    for depth in [0.05e-3, 0.2e-3, 0.5e-3, 1e-3] {
        let time = (depth / (2.0 * lambda)).powi(2) / diffusivity;
        // 3 % of the time: the front's steps from cell to cell, each a tenth of its depth, in full contact with the wall.
        assert_relative_eq!(time_of_skin(&machine, depth), time, max_relative = 0.03);
    }
}

/// A body so wide that its middle stays as hot as it was: metal of 270/240 °C, 50 kJ/kg, k_s 24, k_l 20, from 350 °C against 60 °C.
fn half_space(h: f64, share: f64) -> Machine {
    machine_with(60e-3, 60e-3, |machine| {
        machine.metal.conductivity_solid = Conductivity(24.0);
        machine.metal.sealing_fraction = share;
        machine.mould.heat_transfer = HeatTransfer(h);
    })
}

#[test]
fn closed_form_skin_begins_as_the_surface_passes_the_liquidus() {
    // Up to there the metal is a half-space that cools without freezing: 1 − exp(b²)·erfc(b) = 80/290 with b = h·√(α·t)/k
    // (Carslaw and Jaeger, section 2.7).
    let fallen = |b: f64| 1.0 - (b * b).exp() * libm::erfc(b) - 80.0 / 290.0;
    let b = root(fallen, 0.0, 2.0);
    for h in [3e3, 5e3, 8e3, 12e3, 20e3, 30e3, 50e3, 200e3] {
        let time = (b * 20.0 / h).powi(2) / (20.0 / (10200.0 * 150.0));
        // 2 %: cooling slows with a kink at the liquidus, and lies on a straight line over the step across it.
        let skin = growth(&half_space(h, 1e-9), 1e-6);
        assert_relative_eq!(skin.time(0.0).expect("begins"), time, max_relative = 0.02);
    }
}

/// Depth (mm); time (ms) until metal is below the liquidus to there, until its solid makes that much, until it is solid to there.
type Reading = (f64, f64, f64, Option<f64>);

/// h (W/(m²·K)) and readings: explicit finite differences of the enthalpy with cells of 24 µm, written independently in Python,
/// to 1 or 2 % and half of a cell.
const READINGS: [(f64, [Reading; 4]); 6] = [
    (
        5e3,
        [
            (0.1, 166.8, 325.6, Some(906.0)),
            (0.2, 214.5, 455.9, Some(1032.0)),
            (0.4, 324.2, 686.6, None),
            (0.8, 589.0, 1118.0, None),
        ],
    ),
    (
        8e3,
        [
            (0.1, 77.8, 158.6, Some(389.0)),
            (0.2, 110.5, 233.4, Some(467.1)),
            (0.4, 188.3, 369.5, Some(625.9)),
            (0.8, 384.3, 644.4, Some(963.6)),
        ],
    ),
    (
        12e3,
        [
            (0.1, 41.3, 87.6, Some(189.7)),
            (0.2, 64.7, 134.4, Some(240.9)),
            (0.4, 122.0, 224.4, Some(347.3)),
            (0.8, 264.9, 418.6, Some(582.3)),
        ],
    ),
    (
        20e3,
        [
            (0.1, 20.9, 43.0, Some(82.4)),
            (0.2, 37.3, 69.9, Some(113.8)),
            (0.4, 78.3, 126.5, Some(182.1)),
            (0.8, 177.0, 259.4, Some(343.8)),
        ],
    ),
    (
        30e3,
        [
            (0.1, 13.2, 25.2, Some(44.6)),
            (0.2, 25.8, 43.5, Some(66.4)),
            (0.4, 56.2, 84.3, Some(116.3)),
            (0.8, 132.8, 187.2, Some(241.7)),
        ],
    ),
    (
        50e3,
        [
            (0.1, 7.9, 13.5, Some(22.1)),
            (0.2, 16.8, 25.2, Some(36.4)),
            (0.4, 38.3, 54.0, Some(71.7)),
            (0.8, 97.4, 133.3, Some(168.4)),
        ],
    ),
];

#[test]
fn reference_three_readings_of_skin_agree_with_independent_finite_differences() {
    for (h, readings) in READINGS {
        let machine = half_space(h, 0.35);
        let metal = Substance::of_metal(&machine.metal);
        let walls = Walls { temperature: celsius(60.0).0, interface: Interface::Constant(h) };
        let fine = Resolution { cells: 120, growth: 1.05, tolerance: 1e-5 };
        let slab = Slab::with_resolution(metal, walls, 30e-3, fine).expect("a valid slab");
        let course = slab.course(|_| machine.metal.pot_heat, 0.35, End::Time(1.2));
        for (depth, liquid, summed, solid) in readings {
            let depth = depth * 1e-3;
            // 2 %, theirs, and half of their last digit.
            let room = |theirs: f64| 0.02 * theirs + 0.06;
            // They count cells, so that their depth is some up to half a cell from what it says.
            let between = |share: f64, theirs: f64| {
                let [early, late] = [-12e-6, 12e-6]
                    .map(|half_cell| 1e3 * time_of_skin(&half_space(h, share), depth + half_cell));
                let room = room(theirs);
                assert!(
                    early - room < theirs && theirs < late + room,
                    "{h} {depth}: {early} {theirs} {late}"
                );
                // So it is a check of more than an order.
                assert!(late - early < 0.3 * theirs, "{h} {depth}: {early} to {late}");
            };
            between(1e-9, liquid);
            if let Some(solid) = solid {
                between(1.0, solid);
            }
            let after = course.moments.iter().position(|moment| moment.mean_solid * 30e-3 >= depth);
            let [low, high] = [1, 0].map(|before| course.moments[after.expect("reached") - before]);
            let share = (depth / 30e-3 - low.mean_solid) / (high.mean_solid - low.mean_solid);
            let ours = 1e3 * (low.time + share * (high.time - low.time));
            assert!((ours - summed).abs() < room(summed), "{h} {depth}: {ours} for {summed}");
            // What the program means by skin, a third of it solid, lies between.
            let skin = 1e3 * time_of_skin(&machine, depth);
            assert!(skin > liquid && solid.is_none_or(|solid| skin < solid), "{h} {depth}: {skin}");
        }
    }
}

/// Metal that gives up next to nothing but its heat of fusion, poured without superheat.
fn all_latent(machine: &mut MachineStatement) {
    freezes_at_one_temperature(machine);
    machine.metal.sealing_fraction = 1.0;
    machine.metal.specific_heat = SpecificHeat(1.0);
    machine.metal.conductivity_solid = Conductivity(25.0);
}

#[test]
fn closed_form_skin_without_heat_behind_it_is_the_splashed_film() {
    // The limit in which both are the same: nothing to cool but what freezes. t = ρ·L/ΔT·(s/h + s²/(2·k_s)).
    for h in [5e3, 20e3, 100e3] {
        let machine = machine_with(6e-3, 6e-3, |machine| {
            all_latent(machine);
            machine.mould.heat_transfer = HeatTransfer(h);
        });
        for depth in [0.05e-3, 0.3e-3, 1e-3, 2.5e-3] {
            let film = splashed_film_limit(&machine.metal, &machine.mould, depth);
            let closed = 10200.0 * 50e3 / 180.0 * (depth / h + depth * depth / 50.0);
            assert_relative_eq!(film, closed, max_relative = 1e-9);
            // 1 %: the front's steps from cell to cell; the Stefan number is 0.004.
            assert_relative_eq!(time_of_skin(&machine, depth), film, max_relative = 0.01);
        }
    }
}

#[test]
fn property_skin_agrees_with_a_fine_slab() {
    for (points, solidus, tolerance) in
        [(5.0, 240.0, 5e-3), (24.0, 240.0, 5e-3), (72.0, 240.0, 5e-3), (24.0, 270.0, 1e-2)]
    {
        for h in [3e3, 12e3, 50e3] {
            let machine = machine_with(points * POINT, 2.0 * points * POINT, |machine| {
                machine.mould.heat_transfer = HeatTransfer(h);
                machine.metal.solidus = celsius(solidus);
            });
            let half = 0.5 * machine.mould.body;
            let metal = Substance::of_metal(&machine.metal);
            let walls = Walls { temperature: celsius(60.0).0, interface: Interface::Constant(h) };
            let fine = Resolution { cells: 300, growth: 1.02, tolerance: 1e-5 };
            let slab = Slab::with_resolution(metal, walls, half, fine).expect("a valid slab");
            let course = slab.course(|_| machine.metal.pot_heat, 0.35, End::MiddleSolid { give_up: 60.0 });
            let solved = growth(&machine, half);
            for depth in [0.02e-3, 0.1e-3, 0.3e-3, 0.5 * half, 0.9 * half] {
                let exact = course.time_of_skin(depth).expect("reached");
                // As documented, and a thousandth for the fine slab's own steps.
                let tolerance = if depth < 0.5e-3 { tolerance } else { 0.01 };
                let time = solved.time(depth).expect("reached");
                assert!(
                    (time / exact - 1.0).abs() < tolerance + 1e-3,
                    "{points} {h} {depth}: {}",
                    time / exact
                );
                // Depth and time are one curve.
                assert_relative_eq!(solved.depth(time), depth, max_relative = 1e-6);
                // Solving only as far as asked gives the same.
                assert_relative_eq!(time_of_skin(&machine, depth), time, max_relative = 1e-9);
            }
            assert!(solved.time(half).is_some() && solved.time(1.01 * half).is_none());
            let times = (0..200).map(|n| f64::from(n) * 5e-3);
            let depths: Vec<f64> = times.map(|time| solved.depth(time)).collect();
            assert!(depths.is_sorted() && depths.iter().all(|depth| (0.0..=half).contains(depth)));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn property_no_skin_is_as_quick_as_a_splashed_film(job in job(), share in 0.02..0.5_f64) {
        let machine = job.machine(LatchSetting::Aside);
        let depth = share * 0.5 * machine.mould.body.min(machine.mould.set);
        let film = splashed_film_limit(&machine.metal, &machine.mould, depth);
        // 1 %: what the solved time may be off by.
        if let Some(time) = growth(&machine, depth).time(depth) {
            prop_assert!(film <= 1.01 * time, "{film} for {time}");
        }
    }
}
