//! Springs against worked examples of textbooks, EN 13906-1 and the wave equation.
//!
//! *Shigley* stands for R. G. Budynas and J. K. Nisbett, *Shigley's Mechanical Engineering Design*; its solutions to chapter 10
//! were read, as were the output of Bhandari's example 10.1 (FOSSEE Scilab companion) and of a worked spring to EN 13906-1
//! (dsoftcon).

use super::machine_with;
use approx::assert_relative_eq;
use latchstroke_models::spring::{
    PreloadStatement, RateStatement, Spring, SpringStatement, Wire, WireStatement,
};
use latchstroke_models::units::{Force, Length, Mass, Pressure, Stiffness};

/// A spring of wire `d` and mean coil `coil` (mm), `active` and `total` coils, shear modulus `g` (GPa) and preload (N).
pub(super) fn spring(d: f64, coil: f64, (active, total): (f64, f64), g: f64, preload: f64) -> Spring {
    let stated = SpringStatement {
        rate: RateStatement::Wire,
        wire: Some(WireStatement {
            wire: Length(d * 1e-3),
            mean_coil: Some(Length(coil * 1e-3)),
            active_coils: Some(active),
            total_coils: Some(total),
            shear_modulus: Pressure(g * 1e9),
            ..WireStatement::default()
        }),
        preload: PreloadStatement::Force(Force(preload)),
        ..SpringStatement::default()
    };
    machine_with(4e-3, 4e-3, |machine| machine.springs = vec![stated]).springs[0]
}

pub(super) fn wire(spring: &Spring) -> Wire {
    spring.wire.expect("stated by its wire")
}

/// Spring index, Wahl's factor, and Bergsträsser's which is that of EN 13906-1.
const FACTORS: [(f64, f64, f64); 10] = [
    (3.0, 1.58, 1.555555556),
    (4.0, 1.40375, 1.384615385),
    (5.0, 1.3105, 1.294117647),
    (6.0, 1.2525, 1.238095238),
    (7.0, 1.212857143, 1.2),
    (8.0, 1.184017857, 1.172413793),
    (10.0, 1.144833333, 1.135135135),
    (12.0, 1.119431818, 1.111111111),
    (15.0, 1.094571429, 1.087719298),
    (20.0, 1.070223684, 1.064935065),
];

#[test]
fn handbook_spring_stress_factors_are_those_of_wahl_and_en_13906() {
    // Shigley equations 10-4 and 10-5 (read); EN 13906-1 (read in a public code). Values to ten digits guard against slips.
    for (index, wahl, en) in FACTORS {
        let wire = wire(&spring(1.0, index, (8.0, 10.0), 81.5, 0.0));
        assert_relative_eq!(wire.wahl_factor(), wahl, max_relative = 1e-9);
        assert_relative_eq!(wire.en_factor(), en, max_relative = 1e-9);
    }
}

#[test]
fn handbook_spring_stress_factors_differ_as_shigley_prints() {
    // Shigley problem 10-1 (read): over 4 ≤ C ≤ 12 the two differ by 1.36 % of Wahl's at most and 0.743 % at least, as printed.
    let gap = |index: f64| {
        let wire = wire(&spring(1.0, index, (8.0, 10.0), 81.5, 0.0));
        100.0 * (wire.wahl_factor() - wire.en_factor()) / wire.wahl_factor()
    };
    assert_relative_eq!(gap(4.0), 1.36, epsilon = 0.005);
    assert_relative_eq!(gap(12.0), 0.743, epsilon = 0.0005);
    assert!((4..12).all(|c| gap(f64::from(c)) > gap(f64::from(c + 1))));
}

#[test]
fn handbook_spring_of_shigley_problem_10_3() {
    // Read: k = 1.314 N/mm, solid 35 mm, Bergsträsser factor 1.117; the force to solid 167.9 N brings the allowed shear
    // stress of 871.2 MPa. Each to half a unit of the last digit printed.
    let spring = spring(2.5, 28.5, (13.0, 14.0), 81.0, 0.0);
    let wire = wire(&spring);
    assert_relative_eq!(spring.rate, 1314.0, epsilon = 0.5);
    assert_relative_eq!(spring.solid_length.unwrap_or(0.0), 35e-3, epsilon = 1e-12);
    assert_relative_eq!(wire.en_factor(), 1.117, epsilon = 5e-4);
    assert_relative_eq!(871.2e6 / wire.en_factor() / wire.stress(1.0), 167.9, epsilon = 0.05);
    // Unrounded: guards against slips.
    assert_relative_eq!(spring.rate, 1314.247423, max_relative = 1e-9);
    assert_relative_eq!(wire.stress(167.8563028) * wire.en_factor(), 871.16407e6, max_relative = 1e-8);
}

#[test]
fn handbook_spring_of_bhandari_example_10_1() {
    // Read: Wahl factor 1.2525, solid 70 mm, free length 109.337611 mm with gaps of 1 mm left between ten coils.
    let spring = spring(7.0, 42.0, (8.0, 10.0), 81.370, 1250.0);
    assert_relative_eq!(wire(&spring).wahl_factor(), 1.2525, max_relative = 1e-12);
    assert_relative_eq!(spring.solid_length.unwrap_or(0.0), 70e-3, max_relative = 1e-12);
    // Free length less solid length less nine gaps of 1 mm is the deflection; printed to a millionth of a millimetre.
    assert_relative_eq!(spring.rest_squeeze * 1e3, 109.337611 - 70.0 - 9.0, epsilon = 5e-7);
    assert_relative_eq!(spring.rate, 41202.9803, max_relative = 1e-8);
}

#[test]
fn handbook_spring_of_en_13906_worked_output() {
    // Read (dsoftcon): R = 16.181 N/mm, deflections 17.3 and 38.3 mm at 280 and 620 N, as printed.
    let at = |force: f64| spring(5.0, 34.6, (9.5, 11.5), 81.5, force);
    assert_relative_eq!(at(280.0).rate, 16181.0, epsilon = 0.5);
    assert_relative_eq!(at(280.0).rest_squeeze * 1e3, 17.3, epsilon = 0.05);
    assert_relative_eq!(at(620.0).rest_squeeze * 1e3, 38.3, epsilon = 0.05);
    // Closed and ground ends: n_t·d_max = 57.8 mm with the thickest wire of 5.025 mm (rule read in a public code).
    let thickest = spring(5.025, 34.6, (9.5, 11.5), 81.5, 0.0);
    assert_relative_eq!(thickest.solid_length.unwrap_or(0.0) * 1e3, 57.8, epsilon = 0.05);
    // 8·F·D/(π·d³) and the factor: guards against slips.
    let wire = wire(&at(0.0));
    assert_relative_eq!(wire.stress(280.0), 197.36232e6, max_relative = 1e-7);
    assert_relative_eq!(wire.stress(620.0), 437.01656e6, max_relative = 1e-7);
    assert_relative_eq!(wire.stress(620.0) * wire.en_factor(), 525.55313e6, max_relative = 1e-7);
}

#[test]
fn handbook_spring_coils_from_a_measured_rate() {
    // The spring of the worked output again, its coils uncounted: R = 16.181 N/mm as printed gives back n = 9.5.
    let stated = SpringStatement {
        rate: RateStatement::Rate(Stiffness(16181.0)),
        wire: Some(WireStatement {
            wire: Length(5e-3),
            mean_coil: Some(Length(34.6e-3)),
            shear_modulus: Pressure(81.5e9),
            ..WireStatement::default()
        }),
        preload: PreloadStatement::Force(Force(0.0)),
        ..SpringStatement::default()
    };
    let spring = machine_with(4e-3, 4e-3, |machine| machine.springs = vec![stated]).springs[0];
    // The rate is printed to 3e-5 of itself; the mass follows the coils.
    assert_relative_eq!(wire(&spring).active_coils, 9.5, max_relative = 3.1e-5);
    assert_relative_eq!(spring.mass, 0.1591655681, max_relative = 3.1e-5);
    // The worked output has n_t = 11.5: two dead coils, 57.5 mm of 5 mm wire.
    assert_relative_eq!(spring.solid_length.unwrap_or(0.0), 57.5e-3, max_relative = 3.1e-5);
}

#[test]
fn handbook_spring_surge_frequency() {
    let spring = spring(5.0, 34.6, (9.5, 11.5), 81.5, 0.0);
    assert_relative_eq!(spring.mass, 0.1591655681, max_relative = 1e-9);
    // EN 13906-1 (from memory): 3560·d/(n·D²)·√(G/ρ) in mm, MPa and kg/dm³. Its constant is 3558.8 rounded.
    let en = 3560.0 * 5.0 / (9.5 * 34.6 * 34.6) * (81500.0_f64 / 7.85).sqrt();
    assert_relative_eq!(spring.surge_frequency(), en, max_relative = 5e-4);
    // ½·√(k/m), from the wave equation (read in a note citing Shigley): guards against slips.
    assert_relative_eq!(spring.surge_frequency(), 159.4201859, max_relative = 1e-9);
}

#[test]
fn handbook_spring_surge_is_a_wave_there_and_back() {
    // Round numbers, worked from the wave equation; guards against slips.
    let spring = spring(6.0, 36.0, (8.0, 10.0), 81.5, 0.0);
    assert_relative_eq!(spring.rate, 35373.26389, max_relative = 1e-9);
    assert_relative_eq!(spring.mass, 0.2008188147, max_relative = 1e-9);
    assert_relative_eq!(spring.surge_frequency(), 209.8482596, max_relative = 1e-9);
    // One way takes √(m/k), so there and back 1/f.
    assert_relative_eq!(0.5 / spring.surge_frequency(), 0.002382674038, max_relative = 1e-9);
}

#[test]
fn handbook_spring_release_speed() {
    // τ/√(2·G·ρ), surge-wave theory (from memory): 13.977882125 m/s at 500 MPa.
    let coil = spring(6.0, 36.0, (8.0, 10.0), 81.5, 0.0);
    let wire = wire(&coil);
    let force = 500e6 / wire.stress(1.0);
    assert_relative_eq!(wire.release_speed(force), 13.977882125, max_relative = 1e-10);
    // The same speed from the spring as a whole: force over impedance, F/√(k·m).
    assert_relative_eq!(wire.release_speed(1000.0), 11.8647948488, max_relative = 1e-11);
    assert_relative_eq!(1000.0 / (coil.rate * coil.mass).sqrt(), 11.8647948488, max_relative = 1e-9);
    // The trade's v = τ/131 in inches a second and psi (from memory) is rounded to 1 %.
    let psi = wire.stress(1000.0) / 6894.757;
    assert_relative_eq!(psi / 131.0 * 0.0254, wire.release_speed(1000.0), max_relative = 0.015);
}

#[test]
fn handbook_spring_stays_straight_below_the_published_slenderness() {
    // ν·L_0/D < 2.580693115 with G = 81.5 and E = 206 GPa (EN 13906-1; constants read on roymech.co.uk), ν = 0.5.
    let limit = wire(&spring(5.0, 34.6, (9.5, 11.5), 81.5, 0.0)).stable_slenderness(206e9);
    assert_relative_eq!(0.5 * limit, 2.580693115, max_relative = 1e-9);
    // Shigley's rule for steel, 2.63 (read), uses other moduli.
    assert_relative_eq!(0.5 * limit, 2.63, max_relative = 0.025);
}

/// Spring mass over end mass; natural frequency over √(k/M): exact, and by the one-third rule; the rule's excess in %.
const ONE_THIRD: [(f64, f64, f64, f64); 8] = [
    (0.05, 0.991742631138, 0.991769407361, 0.0026999),
    (0.1, 0.983635472996, 0.983738753676, 0.0105),
    (0.2, 0.967861273137, 0.968245836552, 0.039733),
    (0.5, 0.923864972696, 0.925820099773, 0.21162),
    (1.0, 0.860333589019, 0.866025403784, 0.66158),
    (2.0, 0.761464898204, 0.774596669241, 1.7245),
    (5.0, 0.587566089096, 0.612372435696, 4.2219),
    (10.0, 0.451848371575, 0.480384461415, 6.3154),
];

/// What moves at the rod, kg, when a spring of `share` kilograms is put on one kilogram of rod and piston.
fn moving_mass(share: f64) -> f64 {
    machine_with(4e-3, 4e-3, |machine| {
        machine.springs[0].mass = Some(Mass(share));
        machine.rod.mass = Mass(0.4);
        machine.piston.mass = Mass(0.6);
    })
    .rod
    .mass
}

#[test]
fn handbook_spring_mass_by_the_one_third_rule_against_the_wave_equation() {
    // Exact: β·tan β = m_s/M, roots by scipy 1.17.1. A spring's third part is Rayleigh's rule, used for the rod.
    for (share, exact, rule, excess) in ONE_THIRD {
        let frequency = 1.0 / moving_mass(share).sqrt();
        assert_relative_eq!(frequency, rule, max_relative = 1e-11);
        // The excess is printed to five digits.
        assert_relative_eq!(100.0 * (frequency / exact - 1.0), excess, max_relative = 5e-5);
    }
    // A rod lighter than its springs is beyond the rule: it tends to √3/(π/2), ten per cent high, with no end mass. With a
    // rod as heavy as its springs or heavier it is within 0.7 %.
    let lightest = 1e9;
    let root = std::f64::consts::FRAC_PI_2 / f64::sqrt(lightest);
    assert_relative_eq!(1.0 / moving_mass(lightest).sqrt() / root, 1.10265779084, max_relative = 1e-8);
}

/// Force, slope and energy of a spring squeezed by 30 mm at rest with 10 mm left until its coils touch: 5 N/mm, 100 N/mm more from there
/// on; loose it does nothing. Energy is the area under the force. Guards against slips.
#[test]
fn closed_form_spring_force_slope_and_energy_from_loose_to_solid() {
    let spring = Spring {
        rate: 5e3,
        rest_squeeze: 0.030,
        free_length: Some(0.100),
        solid_length: Some(0.060),
        bound_rate: 100e3,
        ..spring(5.0, 40.0, (10.0, 12.0), 80.0, 0.0)
    };
    assert_relative_eq!(spring.room().expect("both lengths"), 0.010, max_relative = 1e-12);
    // Closing (mm), force (N), slope (N/mm), energy (J).
    for (closing, force, slope, energy) in [
        (-35.0, 0.0, 0.0, 0.0),
        (-20.0, 50.0, 5.0, 0.25),
        (0.0, 150.0, 5.0, 2.25),
        (8.0, 190.0, 5.0, 3.61),
        (12.0, 410.0, 105.0, 4.41 + 0.2),
    ] {
        let closing = closing * 1e-3;
        assert_relative_eq!(spring.force(closing), force, max_relative = 1e-12);
        assert_relative_eq!(spring.stiffness(closing), slope * 1e3, max_relative = 1e-12);
        assert_relative_eq!(spring.energy(closing), energy, max_relative = 1e-12);
    }
    let open = Spring { solid_length: None, ..spring };
    assert_eq!(open.room(), None);
    assert_relative_eq!(open.force(0.012), 210.0, max_relative = 1e-12);
}
