//! The mould between casts and cooling water: the stream and the warm-up in closed form, the lumped cooling of the type against
//! its exponential and the solved slab and section, the heat balance, and the pace at which the wall that belongs to it leaves
//! the type solid.
//!
//! ε = 1 − exp(−NTU) for a stream along a wall at one temperature: F. P. Incropera and others, *Fundamentals of Heat and Mass
//! Transfer*, chapter 11 (from memory).

use super::machine_with;
use crate::support::lump::heat_left;
use crate::support::working_set::{celsius, statement};
use approx::assert_relative_eq;
use latchstroke_core::studies::cooling::{cooling, fastest_solid};
use latchstroke_models::cooling_water::{Balance, CoolingWaterStatement};
use latchstroke_models::freezing::bulk_limit;
use latchstroke_models::freezing::interface::Interface;
use latchstroke_models::freezing::section::{Section, SectionResolution};
use latchstroke_models::freezing::slab::{End, Slab, Walls};
use latchstroke_models::freezing::substance::Substance;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::{Freezing, Sort, WallStatement};
use latchstroke_models::units::{
    Angle, Conductivity, HeatTransfer, Length, Mass, POINT, Pace, SpecificHeat, ThermalConductance,
    VolumeFlow,
};
use proptest::prelude::*;
use std::f64::consts::PI;

/// One litre a minute at 15 °C through a mould of 3 kg, shut for half a turn, in a room at 20 °C.
fn water() -> CoolingWaterStatement {
    CoolingWaterStatement {
        flow: VolumeFlow(1e-3 / 60.0),
        inlet_temperature: celsius(15.0),
        conductance: ThermalConductance(40.0),
        mould_mass: Mass(3.0),
        mould_specific_heat: SpecificHeat(434.0),
        air_loss: ThermalConductance(0.5),
        room_temperature: celsius(20.0),
        shut: Angle(PI),
    }
}

/// ṁ·c_w of one litre a minute, W/K: 998 kg/m³ and 4182 J/(kg·K) (Incropera, table A.6, from memory).
const STREAM: f64 = 998.0 * 4182.0 * 1e-3 / 60.0;

/// The working set cooled by `water`, with one thing changed, for a square sort of 12 points.
fn cooled(water: CoolingWaterStatement, change: impl FnOnce(&mut MachineStatement)) -> Machine {
    machine_with(12.0 * POINT, 12.0 * POINT, |machine| {
        machine.mould.wall = WallStatement::Cooled(water);
        change(machine);
    })
}

fn balance(machine: &Machine) -> Balance {
    machine.mould.balance.expect("water cools it")
}

#[test]
fn closed_form_water_takes_what_its_transfer_units_let_it() {
    let take = |conductance: f64| {
        let stated = CoolingWaterStatement { conductance: ThermalConductance(conductance), ..water() };
        balance(&cooled(stated, |_| ())).water
    };
    let (inlet, mould) = (288.15, 318.15);
    // One transfer unit: 1 − 1/e of the way to the mould's temperature, 30 K above the inlet. Rounding.
    let one = take(STREAM);
    assert_relative_eq!(one.outlet(mould), inlet + 30.0 * 0.6321205588285577, max_relative = 1e-12);
    assert_relative_eq!(one.to_water(mould), STREAM * (one.outlet(mould) - inlet), max_relative = 1e-10);
    // Few units: the conductance alone limits; many: the stream does, and leaves as warm as the mould. 0.1 %: the next term,
    // half the number of units.
    assert_relative_eq!(take(1e-3 * STREAM).to_water(mould), 1e-3 * STREAM * 30.0, max_relative = 1e-3);
    assert_relative_eq!(take(40.0 * STREAM).to_water(mould), STREAM * 30.0, max_relative = 1e-12);
    // With nothing cast, water and air balance: U·T_0 = ε·ṁ·c_w·T_in + G_a·T_a.
    let idle = one.idle();
    assert_relative_eq!(one.to_water(idle), -one.to_air(idle), max_relative = 1e-9);
    assert!((288.15..293.15).contains(&idle));
}

/// Half the water through the same channels is the mould of a machine with half the flow.
#[test]
fn closed_form_a_share_of_the_water_is_a_smaller_flow() {
    let half = CoolingWaterStatement { flow: VolumeFlow(0.5e-3 / 60.0), ..water() };
    let (whole, half) = (balance(&cooled(water(), |_| ())), balance(&cooled(half, |_| ())));
    assert_relative_eq!(whole.with_water(0.5).steady(), half.steady(), max_relative = 1e-12);
    assert!(half.steady() > whole.steady() + 1.0);
}

/// Metal whose heat is all latent, and given up whatever the mould's temperature.
fn all_latent(machine: &mut MachineStatement) {
    machine.metal.specific_heat = SpecificHeat(1e-6);
    machine.mould.heat_transfer = HeatTransfer(1e6);
    machine.metal.conductivity_liquid = Conductivity(1e5);
}

#[test]
fn closed_form_constant_heat_warms_the_mould_geometrically() {
    let machine = cooled(water(), all_latent);
    let pace = Pace(1.0);
    let balance = balance(&machine).at(pace);
    // Q = ρ·V·L, T_∞ = T_0 + n·Q/U, T_k − T_∞ = (T_0 − T_∞)·exp(−U/(C_m·n))^k.
    let heat = 10200.0 * machine.mould.volume * 50e3;
    let loss = STREAM * (1.0 - (-40.0 / STREAM).exp()) + 0.5;
    let settled = balance.water.idle() + heat / loss;
    let ratio = (-loss / (3.0 * 434.0)).exp();
    let mut now = balance.water.idle();
    for casts in 0..60 {
        let expected = settled + (balance.water.idle() - settled) * ratio.powi(casts);
        // A ten-thousandth of the 38 K: as far as the cooling is followed.
        assert_relative_eq!(now, expected, epsilon = 4e-3);
        let turn = balance.turn(now);
        assert_relative_eq!(turn.heat, heat, max_relative = 1e-4);
        now = turn.temperature;
    }
    assert_relative_eq!(balance.steady(), settled, epsilon = 4e-3);
}

#[test]
fn closed_form_type_cooled_through_makes_the_balance_linear() {
    // Shut long enough, the type leaves as cold as the mould: Q = M·(e_m + c·(T_pot − T_liq) + c·(T_sol − T_m)), and
    // n·(a − b·T) = U·(T − T_0) gives T.
    let machine = cooled(water(), |machine| machine.mould.heat_transfer = HeatTransfer(1e6));
    let pace = Pace(0.2);
    let balance = balance(&machine).at(pace);
    let mass = 10200.0 * machine.mould.volume;
    let all = mass * (50e3 + 150.0 * 350.0 + 150.0 * 273.15);
    let (idle, loss) = (balance.water.idle(), balance.water.loss());
    let settled = (pace.0 * all + loss * idle) / (pace.0 * mass * 150.0 + loss);
    // 0.001 K: what heat is left in the type after 2.5 s.
    assert_relative_eq!(balance.steady(), settled, epsilon = 1e-3);
}

#[test]
fn closed_form_lump_reaches_the_sealing_fraction_at_the_bulk_limit() {
    for range in [0.0, 1e-9, 30.0] {
        let machine = machine_with(12.0 * POINT, 10.0 * POINT, |machine| {
            machine.metal.solidus = celsius(270.0 - range);
        });
        let (metal, mould) = (&machine.metal, &machine.mould);
        let mass = metal.density * mould.volume;
        let conductance = mould.effective_heat_transfer * mould.wetted_area;
        let left = heat_left(metal, mass, conductance, mould.wall_temperature, bulk_limit(metal, mould));
        // Rounding; the bulk limit is proved against its own closed form.
        assert_relative_eq!(left, 0.65 * metal.melt_heat, max_relative = 1e-9);
    }
}

#[test]
fn closed_form_lump_of_small_biot_number_is_the_solved_slab_and_section() {
    // Bi = h·b/k = 1e-4 with k raised; 4.2 mm thick, at 1.2 kW/(m²·K), wall at 60 °C.
    let half = 2.1e-3;
    for solidus in [240.0, 270.0] {
        let machine = machine_with(2.0 * half, 2.0 * half, |machine| {
            machine.metal.solidus = celsius(solidus);
            machine.metal.conductivity_liquid = Conductivity(2.5e4);
            machine.metal.conductivity_solid = Conductivity(2.5e4);
        });
        let metal = &machine.metal;
        let walls = || Walls { temperature: celsius(60.0).0, interface: Interface::Constant(1200.0) };
        let slab = Slab::new(Substance::of_metal(metal), walls(), half).expect("valid");
        let slab = slab.course(|_| metal.pot_heat, 0.35, End::Time(12.0));
        let lump =
            |area: f64, time: f64| heat_left(metal, 10200.0 * half, 1200.0 * area, celsius(60.0).0, time);
        // In the liquid, in the freezing range, and solid down to a few kelvin from the wall.
        for time in [0.3, 1.5, 3.0, 6.0, 12.0] {
            let solved = slab.at(time).expect("a moment").heat / (10200.0 * half);
            // 0.5 % of the heat there was: straight lines between the moments, and the Biot number.
            assert_relative_eq!(solved, lump(1.0, time), epsilon = 5e-3 * metal.pot_heat);
        }
        // Within the exponential of plain cooling: T − T_w = (T_pot − T_w)·exp(−h·t/(ρ·c·b)). Rounding.
        let cooled = metal.specific_heat * 290.0 * (-1200.0 * 0.2 / (10200.0 * 150.0 * half)).exp_m1();
        assert_relative_eq!(lump(1.0, 0.2), metal.pot_heat + cooled, max_relative = 1e-9);
    }
    let machine = machine_with(2.0 * half, 2.0 * half, |machine| {
        machine.metal.conductivity_liquid = Conductivity(240.0);
        machine.metal.conductivity_solid = Conductivity(240.0);
    });
    let metal = &machine.metal;
    let walls = Walls { temperature: celsius(60.0).0, interface: Interface::Constant(1200.0) };
    let section = Section::new(Substance::of_metal(metal), walls, half, half).expect("valid");
    let section = section.course(|_, _| metal.pot_heat, 0.35, End::Time(3.0));
    for time in [0.15, 0.75, 1.5, 3.0] {
        let solved = section.at(time).expect("a moment").heat / (10200.0 * half * half);
        let lump = heat_left(metal, 10200.0 * half, 2.0 * 1200.0, celsius(60.0).0, time);
        // 1 %: the Biot number is 0.01.
        assert_relative_eq!(solved, lump, epsilon = 1e-2 * metal.pot_heat);
    }
}

#[test]
fn balance_heat_given_is_stored_or_carried_away_over_a_warm_up() {
    let machine = cooled(water(), |_| ());
    let pace = Pace(100.0 / 60.0);
    let balance = balance(&machine).at(pace);
    let (mut now, mut given, mut carried) = (balance.water.idle(), 0.0, 0.0);
    let start = now;
    for _ in 0..600 {
        let turn = balance.turn(now);
        given += turn.heat;
        // The turn again in small steps of C_m·dT/dt = n·Q − to water − to air, by the midpoint rule.
        let step = 1.0 / pace.0 / 50.0;
        let away = |kelvin: f64| balance.water.to_water(kelvin) + balance.water.to_air(kelvin);
        let mut kelvin = now;
        for _ in 0..50 {
            let slope = |kelvin: f64| (pace.0 * turn.heat - away(kelvin)) / (3.0 * 434.0);
            let middle = kelvin + 0.5 * step * slope(kelvin);
            carried += step * away(middle);
            kelvin += step * slope(middle);
        }
        // The error of the small steps.
        assert_relative_eq!(turn.temperature, kelvin, epsilon = 1e-6);
        now = turn.temperature;
    }
    let stored = 3.0 * 434.0 * (now - start);
    assert!(stored > 0.05 * given, "{stored} of {given}: it has to warm up in earnest");
    assert_relative_eq!(given, stored + carried, max_relative = 1e-6);
    // After 600 casts it has settled, and a cast is carried off as it comes.
    assert_relative_eq!(now, balance.steady(), epsilon = 0.01);
}

fn square(points: f64) -> Sort {
    Sort { body: Length(points * POINT), set: Length(points * POINT) }
}

fn prepared(water: CoolingWaterStatement, sort: Sort, pace: f64) -> Machine {
    let mut stated = statement();
    stated.mould.wall = WallStatement::Cooled(water);
    Machine::prepare(&stated, sort, Pace(pace), LatchSetting::Aside).expect("valid")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn property_mould_is_warmer_at_a_faster_pace_and_with_less_water(
        points in 6.0..36.0_f64,
        pace in 0.05..2.0_f64,
        faster in 1.01..2.0_f64,
        flow in 0.3..10.0_f64,
        conductance in 20.0..200.0_f64,
    ) {
        let stated = CoolingWaterStatement {
            flow: VolumeFlow(flow * 1e-3 / 60.0),
            conductance: ThermalConductance(conductance),
            ..water()
        };
        // The mould is prepared at a slow pace, so that it freezes metal there; its balance holds at any.
        let balance = balance(&prepared(stated, square(points), 0.02)).at(Pace(pace));
        let settled = balance.steady();
        prop_assert!(balance.at(Pace(faster * pace)).steady() > settled);
        prop_assert!(balance.with_water(0.5).steady() > settled);
        prop_assert!(settled > balance.water.idle() && settled < 623.15);
        let carried = balance.water.to_water(settled) + balance.water.to_air(settled);
        // Rounding of the temperature, 1e-13 K, against a few kelvin.
        prop_assert!((pace * balance.heat_per_cast(settled) / carried - 1.0).abs() < 1e-9);
        // Settled, it stays.
        prop_assert!((balance.turn(settled).temperature - settled).abs() < 1e-9);
    }
}

#[test]
fn property_fastest_pace_has_the_wall_that_belongs_to_it() {
    let shut = Angle(PI);
    for points in [8.0, 14.0, 24.0] {
        let mut stated = statement();
        stated.mould.wall = WallStatement::Cooled(water());
        let found = fastest_solid(&stated, square(points), shut).expect("valid").expect("solid");
        let at = |pace: f64| {
            let machine = prepared(water(), square(points), pace);
            let time = cooling(&machine, shut).expect("solid").time;
            (machine.mould.wall_temperature, time * pace / 0.5)
        };
        // As closely as the pace is found, a ten-thousandth, and by how far the solved time jumps as its steps change.
        assert_relative_eq!(at(found.pace).1, 1.0, epsilon = 5e-4);
        assert_relative_eq!(found.time * found.pace, 0.5, max_relative = 5e-4);
        // Solid a little slower, and not a little faster, on a mould that is warmer.
        assert!(at(0.99 * found.pace).1 < 1.0 && at(1.01 * found.pace).1 > 1.0);
        assert!(at(1.01 * found.pace).0 > at(0.99 * found.pace).0);
        // A mould as cold as the water would let it go faster.
        stated.mould.wall = WallStatement::Temperature(celsius(15.0));
        let cold = fastest_solid(&stated, square(points), shut).expect("valid").expect("solid");
        assert!(cold.pace > 1.01 * found.pace, "{points} pt: {} {}", cold.pace, found.pace);
    }
}

#[test]
fn property_section_of_the_study_agrees_with_a_fine_one() {
    for (points, proportion, slowest) in
        [(6.0, 1.0, 0.667), (12.0, 0.5, 1.0), (24.0, 1.0, 0.667), (36.0, 2.0, 1.0), (72.0, 1.0, 0.667)]
    {
        for h in [3e3, 12e3, 50e3] {
            let sort = (points * POINT, proportion * points * POINT);
            let machine = |freezing: Freezing| {
                machine_with(sort.0, sort.1, |machine| {
                    machine.mould.heat_transfer = HeatTransfer(h);
                    machine.mould.freezing = freezing;
                })
            };
            let metal = Substance::of_metal(&machine(Freezing::Section).metal);
            let walls = Walls { temperature: celsius(60.0).0, interface: Interface::Constant(h) };
            let fine = SectionResolution { cells_across_body: 24, cells_across_set: 24, growth: 1.06 };
            let fine =
                Section::with_resolution(metal, walls, 0.5 * sort.0, 0.5 * sort.1, fine).expect("valid");
            let poured = machine(Freezing::Section).metal.pot_heat;
            let fine = fine.course(|_, _| poured, 0.35, End::MiddleSolid { give_up: 60.0 });
            let time =
                |freezing: Freezing| cooling(&machine(freezing), Angle(PI)).expect("solid in time").time;
            let (section, slab) = (time(Freezing::Section), time(Freezing::Slab));
            // As documented: 1 %.
            assert_relative_eq!(section, fine.middle_solid.expect("solid"), max_relative = 0.01);
            // A square bar between the interface's limit, half the slab's time, and perfect contact,
            // under two thirds (an order check). Any other section is quicker than a slab.
            assert!((0.5..slowest).contains(&(section / slab)), "{points} pt: {}", section / slab);
        }
    }
}
