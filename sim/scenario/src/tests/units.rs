//! Sizes of units against published values.

use approx::assert_relative_eq;

use super::super::quantity::{Dimension, Quantity};

fn si(text: &str, dimension: Dimension) -> f64 {
    Quantity::parse(text, dimension).unwrap_or_else(|error| panic!("{text}: {error}")).si
}

/// Tolerance: all are products of a few exact factors, so a few roundings of
/// 1.1e-16 are all that may differ.
fn assert_sizes(dimension: Dimension, sizes: &[(&str, f64)]) {
    for (text, expected) in sizes {
        assert_relative_eq!(si(text, dimension), *expected, max_relative = 1e-14);
    }
}

#[test]
fn handbook_lengths() {
    // NIST SP 811 appendix B (from memory): inch and foot are exact. The
    // point: 0.013837 in exactly, NIST Handbook 44 appendix C. The Didot point
    // 0.376065 mm: German type standard (from memory).
    assert_sizes(
        Dimension::Length,
        &[
            ("1 in", 0.0254),
            ("1\"", 0.0254),
            ("1 ft", 0.3048),
            ("1 thou", 2.54e-5),
            ("1 pt", 0.3514598e-3),
            ("1 pica", 4.2175176e-3),
            ("36 pt", 12.6525528e-3),
            ("1 didot", 0.376065e-3),
            ("1 cicero", 4.51278e-3),
            ("1 cm", 0.01),
            ("1 µm", 1e-6),
        ],
    );
}

#[test]
fn handbook_flows_of_water() {
    // NIST SP 811 appendix B (from memory): the UK gallon is 4.54609 l and the US gallon 231 in³, 3.785411784 l, exactly.
    assert_sizes(
        Dimension::VolumeFlow,
        &[
            ("60 l/min", 1e-3),
            ("3600 l/h", 1e-3),
            ("1 cm3/s", 1e-6),
            ("60 UK gal/min", 4.54609e-3),
            ("60 US gal/min", 3.785411784e-3),
        ],
    );
}

#[test]
fn handbook_type_height() {
    // British and American type height 0.918 in is 23.3172 mm.
    assert_sizes(Dimension::Length, &[("0.918 in", 0.0233172)]);
}

#[test]
fn handbook_two_didot_points_differ_by_a_third_of_a_thousandth() {
    // The point of 1/2660 m is 0.375939849624 mm.
    let standard = si("1 didot", Dimension::Length);
    assert_relative_eq!(standard / 0.375939849624e-3 - 1.0, 3.33e-4, epsilon = 1e-6);
}

#[test]
fn handbook_masses_and_forces() {
    // NIST SP 811 appendix B (from memory): pound 0.45359237 kg exact,
    // pound-force 4.4482216152605 N, kilogram-force 9.80665 N exact,
    // ounce-force 0.27801385 N.
    assert_sizes(Dimension::Mass, &[("1 lb", 0.45359237), ("16 oz", 0.45359237), ("1 g", 1e-3)]);
    assert_sizes(
        Dimension::Force,
        &[("1 lbf", 4.4482216152605), ("1 kgf", 9.80665), ("16 ozf", 4.4482216152605), ("1 kN", 1e3)],
    );
}

#[test]
fn handbook_pressures() {
    // NIST SP 811 appendix B (from memory): psi 6894.757293168 Pa,
    // kgf/cm² 98066.5 Pa exact, standard atmosphere 101325 Pa exact.
    assert_relative_eq!(si("1 psi", Dimension::Pressure), 6894.757293168, max_relative = 1e-12);
    assert_sizes(
        Dimension::Pressure,
        &[("1 kgf/cm2", 98_066.5), ("1 atm", 101_325.0), ("1 bar", 1e5), ("1 N/mm²", 1e6), ("1 GPa", 1e9)],
    );
}

#[test]
fn handbook_spring_rate_damping_and_inertia() {
    // NIST SP 811 appendix B (from memory): lbf/in 175.1268 N/m, seven
    // figures; lb in² 2.926397e-4 kg m².
    assert_relative_eq!(si("1 lbf/in", Dimension::Stiffness), 175.1268, max_relative = 3e-7);
    assert_relative_eq!(si("1 lbf s/in", Dimension::Damping), 175.1268, max_relative = 3e-7);
    assert_relative_eq!(si("1 lb in2", Dimension::MomentOfInertia), 2.926397e-4, max_relative = 3e-7);
    assert_sizes(Dimension::MomentOfInertia, &[("1 kg cm2", 1e-4)]);
    assert_sizes(Dimension::Stiffness, &[("1 kgf/mm", 9806.65), ("9 N/mm", 9000.0)]);
}

#[test]
fn handbook_volumes_areas_and_densities() {
    // NIST SP 811 appendix B (from memory): in³ 1.6387064e-5 m³ exact, in²
    // 6.4516e-4 m² exact, lb/in³ 27679.90 kg/m³.
    assert_sizes(Dimension::Volume, &[("1 in3", 1.6387064e-5), ("1 ml", 1e-6), ("1 mm³", 1e-9)]);
    assert_sizes(Dimension::Area, &[("1 in²", 6.4516e-4), ("1 cm2", 1e-4)]);
    assert_relative_eq!(si("1 lb/in3", Dimension::Density), 27_679.90, max_relative = 2e-7);
    assert_sizes(Dimension::Density, &[("10.2 g/cm3", 10_200.0)]);
}

#[test]
fn handbook_temperatures() {
    // Ice point 273.15 K = 32 °F, steam point 212 °F, and −40 on both scales.
    for (text, kelvin) in [
        ("0 degC", 273.15),
        ("32 °F", 273.15),
        ("212 degF", 373.15),
        ("-40 degF", 233.15),
        ("−40 °C", 233.15),
        ("350 ℃", 623.15),
    ] {
        assert_relative_eq!(si(text, Dimension::Temperature), kelvin, epsilon = 1e-10);
    }
}

#[test]
fn handbook_speeds_paces_and_angles() {
    // 1 ft/min is 0.00508 m/s exact (NIST SP 811, from memory).
    assert_sizes(Dimension::Speed, &[("1 ft/min", 0.00508), ("1 in/s", 0.0254)]);
    assert_sizes(
        Dimension::Pace,
        &[("60 turns/min", 1.0), ("60 rpm", 1.0), ("60/min", 1.0), ("1 turns/s", 1.0)],
    );
    assert_sizes(
        Dimension::Angle,
        &[
            ("180 deg", std::f64::consts::PI),
            ("180°", std::f64::consts::PI),
            ("1 turn", std::f64::consts::TAU),
        ],
    );
}

#[test]
fn handbook_heat_and_viscosity() {
    // 1 cP is 1 mPa s exact (NIST SP 811, from memory).
    assert_sizes(Dimension::Viscosity, &[("1 cP", 1e-3), ("2.2 mPa·s", 2.2e-3)]);
    for text in ["12 kW/m2K", "12 kW/m²K", "12 kW/(m²·K)", "12kW/m^2 K"] {
        assert_sizes(Dimension::HeatTransfer, &[(text, 12e3)]);
    }
    for text in ["20 W/mK", "20 W/m K", "20 W/(m·K)"] {
        assert_sizes(Dimension::Conductivity, &[(text, 20.0)]);
    }
    assert_sizes(Dimension::SpecificHeat, &[("0.15 kJ/kgK", 150.0), ("150 J/(kg K)", 150.0)]);
    assert_sizes(Dimension::LatentHeat, &[("50 kJ/kg", 50e3)]);
}

#[test]
fn handbook_threads_to_the_inch() {
    // 16 threads to the inch: 25.4 mm / 16 = 1.5875 mm.
    assert_sizes(Dimension::ThreadPitch, &[("16 tpi", 1.5875e-3), ("1.5 mm", 1.5e-3)]);
}

#[test]
fn no_spelling_names_two_units_of_a_dimension() {
    for &dimension in Dimension::ALL {
        for unit in dimension.units().iter() {
            for name in unit.names() {
                assert_eq!(dimension.find(name), Some(unit), "{name}");
            }
            assert_eq!(dimension.find(&unit.typeable()), Some(unit));
        }
    }
}
