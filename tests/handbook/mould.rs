//! The point, the sizes of type, and the mould they make.
//!
//! The point is 0.013837 in exactly (US type founders' standard, NIST Handbook 44 Appendix C; read as quoted by
//! cl.cam.ac.uk/~mgk25 and in the text of GNU units). Lengths were converted with pint 0.25.3.

use super::machine_with;
use approx::assert_relative_eq;
use latchstroke_models::air::ATMOSPHERE;
use latchstroke_models::mould::{Mould, lifting_force};
use latchstroke_models::units::{Conductivity, HeatTransfer, Length, POINT, Pressure, Temperature, Volume};
use latchstroke_models::well::{Suction, WellStatement};

/// A square cavity of `points` with a depth of 0.918 in, the height of type (read on virginwoodtype.com).
fn square(points: f64) -> Mould {
    let side = points * POINT;
    machine_with(side, side, |machine| machine.mould.depth = Length(23.3172e-3)).mould
}

#[test]
fn handbook_point_and_body_sizes() {
    assert_relative_eq!(POINT, 0.3514598e-3, max_relative = 1e-10);
    let sizes = [
        (6.0, 2.1087588),
        (8.0, 2.8116784),
        (9.0, 3.1631382),
        (10.0, 3.5145980),
        (11.0, 3.8660578),
        (12.0, 4.2175176),
        (14.0, 4.9204372),
        (18.0, 6.3262764),
        (24.0, 8.4350352),
        (36.0, 12.6525528),
    ];
    for (points, millimetres) in sizes {
        assert_relative_eq!(square(points).body, millimetres * 1e-3, max_relative = 1e-9);
    }
    // TeX's point, 1/72.27 in, is the same to a hundred-thousandth; the desktop's, 1/72 in, is 0.375 % larger.
    assert_relative_eq!(POINT, 0.0254 / 72.27, max_relative = 1.1e-5);
    assert_relative_eq!(0.0254 / 72.0 / POINT, 1.00375, epsilon = 5e-6);
}

#[test]
fn closed_form_mould_lifting_force_and_volume() {
    // Points, face (mm²), force at 10 MPa (N), volume (mm³); geometry, guards against slips. To half the last digit.
    let table = [
        (6.0, 4.44686368, 44.468637, 103.688410),
        (8.0, 7.90553543, 79.055354, 184.334951),
        (10.0, 12.35239910, 123.523991, 288.023360),
        (12.0, 17.78745471, 177.874547, 414.753639),
        (14.0, 24.21070224, 242.107022, 564.525786),
        (18.0, 40.02177309, 400.217731, 933.195687),
        (24.0, 71.14981883, 711.498188, 1659.014556),
    ];
    for (points, face, force, volume) in table {
        let mould = square(points);
        assert_relative_eq!(mould.body * mould.set * 1e6, face, epsilon = 5e-9);
        assert_relative_eq!(lifting_force(&mould, 10e6), force, epsilon = 5e-7);
        assert_relative_eq!(mould.volume * 1e9, volume, epsilon = 5e-7);
    }
}

#[test]
fn closed_form_mould_wets_all_six_sides() {
    // A cube of 10 mm has 600 mm²; a plate of 2 mm × 10 mm × 20 mm has 520 mm².
    let cavity = |body: f64, set: f64, depth: f64| {
        machine_with(body, set, |machine| machine.mould.depth = Length(depth)).mould.wetted_area
    };
    assert_relative_eq!(cavity(0.01, 0.01, 0.01), 600e-6, max_relative = 1e-12);
    assert_relative_eq!(cavity(0.002, 0.01, 0.02), 520e-6, max_relative = 1e-12);
}

/// Air at 20 °C and one atmosphere has 1.2041 kg/m³, dry (ICAO standard atmosphere's gas constant; the figure is in every handbook of
/// ventilation, from memory); metal that packs a cavity of 1 cm³ by 1 mm³ raises its pressure by a thousandth of the bulk modulus.
#[test]
fn handbook_mould_holds_air_and_packs_metal() {
    let cold = machine_with(0.01, 0.01, |machine| {
        machine.mould.depth = Length(0.01);
        machine.mould.air_temperature = Temperature(293.15);
        machine.well.bulk_modulus = Pressure(2e9);
    });
    assert_relative_eq!(cold.mould.air_mass / cold.mould.volume, 1.2041, max_relative = 2e-4);
    assert_relative_eq!(cold.mould.packing_stiffness() * 1e-9, 2e6, max_relative = 1e-12);
}

#[test]
fn closed_form_mould_traps_air_by_boyles_law() {
    // A dead-end cavity is filled to 0.9, 0.98 and 0.99 when its air stands at 10, 50 and 100 atmospheres: isothermal gas.
    let mould = square(12.0);
    for (ratio, filled) in [(10.0, 0.9), (50.0, 0.98), (100.0, 0.99)] {
        let pressure = mould.air_pressure(mould.air_mass, filled * mould.volume);
        assert_relative_eq!(pressure, ratio * ATMOSPHERE, max_relative = 1e-9);
    }
}

#[test]
fn handbook_well_gains_pressure_by_its_bulk_modulus() {
    // Lead at 400 °C: ρ·a² = 33.800219942 GPa (lbh15 2.1.0); a thousandth more metal makes 33.80021994 MPa.
    let well = machine_with(4e-3, 4e-3, |machine| {
        machine.well.volume = Volume(12e-6);
        machine.well.bulk_modulus = Pressure(33.800219942e9);
    })
    .well;
    assert_relative_eq!(well.stiffness() * 12e-9, 33.80021994e6, max_relative = 1e-9);
}

/// What is held in the well is the work done on it: ½·p²·V_well/β until the metal parts at −1 atm, and −p_atm for each cubic metre of
/// void from there on.
#[test]
fn closed_form_well_holds_the_work_done_on_it() {
    // 10⁹ Pa over 10 cm³: 10¹⁴ Pa for each cubic metre, so that one atmosphere is 1.01325 mm³.
    let well = |suction: Suction| {
        let machine = machine_with(4e-3, 4e-3, |machine| {
            machine.well = WellStatement { volume: Volume(10e-6), bulk_modulus: Pressure(1e9), suction };
        });
        machine.well
    };
    let holds = well(Suction::Holds);
    let well = well(Suction::Parts);
    let floor = well.parting_volume().expect("it parts");
    assert_relative_eq!(floor, -1.01325e-9, max_relative = 1e-12);
    assert_relative_eq!(well.energy(0.1e-6), 0.5, max_relative = 1e-12);
    assert_relative_eq!(well.energy(0.5 * floor), 0.25 * 0.5 * ATMOSPHERE * 1.01325e-9, max_relative = 1e-9);
    assert_relative_eq!(well.energy(3.0 * floor), 2.5 * ATMOSPHERE * 1.01325e-9, max_relative = 1e-9);
    assert_eq!(holds.parting_volume(), None);
    assert_relative_eq!(holds.energy(-0.1e-6), 0.5, max_relative = 1e-12);
}

/// Slopes of the air's and the packing metal's pressure are what both gain over a little more; air squeezed into a thousandth of the
/// mould is squeezed no further.
#[test]
fn closed_form_mould_slopes_are_those_of_its_pressures() {
    let mould = square(12.0);
    let step = 1e-6 * mould.volume;
    for filled in [0.1, 0.5, 0.9, 0.97, 0.985, 0.9985, 0.9995] {
        let (air, inside) = (0.3 * mould.air_mass, filled * mould.volume);
        let (by_air, by_metal) = mould.air_pressure_slopes(air, inside);
        assert_relative_eq!(by_air, mould.air_pressure(air, inside) / air, max_relative = 1e-12);
        let slope = |pressure: &dyn Fn(f64) -> f64| {
            (pressure(inside + step) - pressure(inside - step)) / (2.0 * step)
        };
        // The curvature of 1/V over a millionth: a millionth squared over the least room squared.
        let steep = slope(&|inside| mould.air_pressure(air, inside));
        assert_relative_eq!(by_metal, steep, max_relative = 1e-5, epsilon = 1e-3 * ATMOSPHERE / mould.volume);
        let packs = slope(&|inside| mould.packing_pressure(inside));
        assert_relative_eq!(mould.packing_slope(inside), packs, max_relative = 1e-6);
    }
    assert_relative_eq!(
        mould.air_pressure(mould.air_mass, mould.volume),
        1000.0 * ATMOSPHERE,
        max_relative = 1e-9
    );
    // Half a per cent past full.
    let packed = mould.packing_pressure(0.985 * mould.volume);
    assert_relative_eq!(packed, 0.005 * mould.packing_stiffness() * mould.volume, max_relative = 1e-9);
}

/// Two resistances one behind the other, the wall's 1/h and b/(6·k) of the metal: 10 mm of 20 W/mK at 12 and, packed, 24 kW/m²K.
#[test]
fn closed_form_mould_walls_conduct_by_film_and_half_section() {
    let mould = machine_with(10e-3, 30e-3, |machine| {
        machine.metal.conductivity_liquid = Conductivity(20.0);
        machine.mould.heat_transfer = HeatTransfer(12e3);
        machine.mould.packed_heat_transfer = Some(HeatTransfer(24e3));
        machine.mould.depth = Length(20e-3);
    })
    .mould;
    let area = 2.0 * (10.0 * 30.0 + 10.0 * 20.0 + 30.0 * 20.0) * 1e-6;
    assert_relative_eq!(mould.conductance(false), area * 6000.0, max_relative = 1e-12);
    assert_relative_eq!(mould.conductance(true), area * 8000.0, max_relative = 1e-12);
}
