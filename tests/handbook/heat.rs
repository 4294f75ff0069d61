//! The heat of a cast: bounds and closed forms, and that every study has the same number.

use super::machine_with;
use crate::support::lump::heat_left;
use crate::support::working_set::{celsius, square, statement};
use approx::assert_relative_eq;
use latchstroke_core::studies::cooling::{fastest_solid, heat_of_cast};
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::warm::warm_ups;
use latchstroke_models::cooling_water::CoolingWaterStatement;
use latchstroke_models::freezing::casting::Casting;
use latchstroke_models::heat_curve::{CurvePoint, HeatCurve};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::{Freezing, WallStatement};
use latchstroke_models::units::{
    Angle, Conductivity, HeatTransfer, Mass, POINT, Pace, SpecificHeat, ThermalConductance, VolumeFlow,
};
use proptest::prelude::*;
use std::f64::consts::PI;

const SHUT: Angle = Angle(1.1 * PI);

/// The working set as a water-cooled mould.
fn cooled(freezing: Freezing, flow: f64, conductance: f64) -> MachineStatement {
    let mut stated = statement();
    stated.mould.freezing = freezing;
    stated.mould.wall = WallStatement::Cooled(CoolingWaterStatement {
        flow: VolumeFlow(flow * 1e-3 / 60.0),
        inlet_temperature: celsius(15.0),
        conductance: ThermalConductance(conductance),
        mould_mass: Mass(3.0),
        mould_specific_heat: SpecificHeat(434.0),
        air_loss: ThermalConductance(0.5),
        room_temperature: celsius(20.0),
        shut: SHUT,
    });
    stated
}

/// M·(e_in − e) of all the metal of a cast at the temperature of a wall below the solidus, J.
fn most(machine: &Machine, wall: f64) -> f64 {
    let metal = &machine.metal;
    let left = metal.specific_heat * (wall - metal.solidus);
    metal.density * machine.mould.volume * (metal.pot_heat - left)
}

#[test]
fn balance_pace_warm_and_turn_have_one_heat_of_a_cast() {
    for freezing in [Freezing::Slab, Freezing::Section] {
        for (points, conductance) in [(8.0, 40.0), (14.0, 10.0), (24.0, 5.0), (36.0, 40.0)] {
            let stated = cooled(freezing, 1.0, conductance);
            let sort = square(points);
            // As fast as it cools: what pace says.
            let found = fastest_solid(&stated, sort, SHUT).expect("valid").expect("solid");
            // What warm says at that pace, once settled, and what turn says.
            let cast = Cast { sort, pace: Pace(found.pace) };
            let warm = warm_ups(&stated, &[cast], Some(1)).expect("valid").expect("water cools it");
            let machine =
                Machine::prepare(&stated, sort, cast.pace, LatchSetting::Set).expect("a valid machine");
            let turn = heat_of_cast(&machine, SHUT);
            // 0.5 %: half of what is asked for; a table, and a wall found to a thousandth of a kelvin.
            assert_relative_eq!(warm[0].heat, found.heat, max_relative = 5e-3);
            assert_relative_eq!(turn, found.heat, max_relative = 5e-3);
            // Carried off as it comes.
            let carried = warm[0].carried.0 + warm[0].carried.1;
            assert_relative_eq!(carried, found.pace * found.heat, max_relative = 5e-3);
            // The mean temperature at which pace has it leave accounts for the heat to the latent heat its middle still holds,
            // which is none: M·(e_m + c·(T_pot − T_liq) + c·(T_sol − T̄)).
            let mass = machine.metal.density * machine.mould.volume;
            let by_temperature = mass
                * (machine.metal.pot_heat
                    + machine.metal.specific_heat * (machine.metal.solidus - found.ejection));
            assert_relative_eq!(found.heat, by_temperature, max_relative = 2e-3);
            assert!(found.heat < most(&machine, machine.mould.wall_temperature));
        }
    }
}

#[test]
fn property_tabulated_heat_is_the_solved_one() {
    for freezing in [Freezing::Slab, Freezing::Section] {
        let sections = freezing == Freezing::Section;
        for points in [6.0, 14.0, 36.0] {
            for (flow, conductance) in [(1.0, 40.0), (1.0, 5.0), (0.3, 2.0)] {
                for turns in [1.0, 4.0, 15.0, 60.0, 200.0] {
                    if sections && points < 14.0 {
                        continue;
                    }
                    let stated = cooled(freezing, flow, conductance);
                    let machine = Machine::prepare(&stated, square(points), Pace(1e-3), LatchSetting::Aside)
                        .expect("valid at a slow pace");
                    let balance = machine.mould.balance.expect("cooled").at(Pace(turns / 60.0));
                    let casting = Casting::of(&machine.metal, &machine.mould);
                    let (cold, warm) = (balance.water.idle(), balance.steady());
                    for share in [0.0, 0.17, 0.4, 0.63, 0.86, 1.0] {
                        let wall = cold + share * (warm - cold);
                        let solved = casting.heat_given(wall, balance.shut_time());
                        let table = balance.heat_per_cast(wall);
                        // A quarter per cent, as documented.
                        assert!(
                            (table / solved - 1.0).abs() < 2.5e-3,
                            "{freezing:?} {points} pt, {turns}/min, {conductance} W/K, {wall} K: {}",
                            table / solved
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn closed_form_heat_of_a_cast_is_the_lumps_where_the_metal_conducts_perfectly() {
    for (freezing, area) in [(Freezing::Slab, 1.0), (Freezing::Section, 2.0)] {
        let machine = machine_with(12.0 * POINT, 12.0 * POINT, |machine| {
            machine.mould.freezing = freezing;
            machine.mould.heat_transfer = HeatTransfer(1e3);
            // Once full the packed wall's coefficient rules, and nothing else.
            machine.mould.packed_heat_transfer = Some(HeatTransfer(3e3));
            // Explicit steps of the section allow no more.
            let conductivity = if freezing == Freezing::Slab { 1e5 } else { 1e3 };
            machine.metal.conductivity_liquid = Conductivity(conductivity);
            machine.metal.conductivity_solid = Conductivity(conductivity);
        });
        let casting = Casting::of(&machine.metal, &machine.mould);
        let mass = machine.metal.density * machine.mould.volume;
        let half = 6.0 * POINT;
        for time in [0.05, 0.3, 1.0, 2.0, 5.0] {
            let left = heat_left(&machine.metal, 10200.0 * half, 3e3 * area, celsius(60.0).0, time);
            let given = casting.heat_given(celsius(60.0).0, time);
            // 0.5 %: steps, and the section's Biot number of 0.006.
            assert_relative_eq!(given, mass * (machine.metal.pot_heat - left), max_relative = 5e-3);
        }
        // In the end all there is, down to the wall.
        assert_relative_eq!(
            casting.heat_given(celsius(60.0).0, 60.0),
            most(&machine, celsius(60.0).0),
            max_relative = 1e-3
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn property_heat_of_a_cast_grows_with_time_up_to_what_there_is(
        points in 5.0..72.0_f64,
        wall in 10.0..235.0_f64,
        h in 3e3..1e5_f64,
        time in 0.01..5.0_f64,
        longer in 1.05..4.0_f64,
    ) {
        let machine = machine_with(points * POINT, points * POINT, |machine| {
            machine.mould.heat_transfer = HeatTransfer(h);
        });
        let casting = Casting::of(&machine.metal, &machine.mould);
        let wall = celsius(wall).0;
        let (first, later) = (casting.heat_given(wall, time), casting.heat_given(wall, longer * time));
        let most = most(&machine, wall);
        // A thousandth: the steps.
        prop_assert!(first > 0.0 && first < later + 1e-3 * most && later <= 1.001 * most);
        // A hotter wall takes less.
        prop_assert!(casting.heat_given(wall + 3.0, time) < first);
    }
}

/// Metal of 150 J/(kg·K) solid and 160 liquid that gives up 40 kJ/kg and 40 K of cooling evenly from 540 to 500 K, 46.4 kJ/kg in all; and
/// one with an arrest at 520 K on its way. Guards against slips.
#[test]
fn closed_form_heat_curve_is_read_both_ways() {
    let straight = HeatCurve::straight(500.0, 540.0, 40e3, 150.0, 160.0).expect("a curve");
    let point = |heat: f64, temperature: f64, solid: f64| CurvePoint { heat, temperature, solid };
    let points = vec![
        point(0.0, 500.0, 1.0),
        point(10e3, 520.0, 0.8),
        point(30e3, 520.0, 0.3),
        point(46.4e3, 540.0, 0.0),
    ];
    let arrest = HeatCurve::new(points, 150.0, 160.0).expect("a curve");
    for (curve, temperature, heat) in [
        (&straight, 490.0, -1500.0),
        (&straight, 500.0, 0.0),
        (&straight, 510.0, 11.6e3),
        (&straight, 530.0, 34.8e3),
        (&straight, 540.0, 46.4e3),
        (&straight, 560.0, 49.6e3),
        (&arrest, 510.0, 5e3),
        // The most liquid of all that it is at 520 K.
        (&arrest, 520.0, 30e3),
        (&arrest, 530.0, 38.2e3),
    ] {
        assert_relative_eq!(curve.greatest_heat(temperature), heat, max_relative = 1e-12);
    }
    for (curve, solid, temperature) in [
        (&straight, 1.0, 500.0),
        (&straight, 0.25, 530.0),
        (&straight, 0.0, 540.0),
        (&arrest, 0.5, 520.0),
        (&arrest, 0.9, 510.0),
        (&arrest, 0.15, 530.0),
    ] {
        assert_relative_eq!(curve.temperature_at_solid(solid), temperature, max_relative = 1e-12);
    }
    // A share above one is none, and a curve begins with solid metal at no heat.
    for (first, faults) in
        [(point(0.0, 500.0, 1.2), 1), (point(0.0, 500.0, 0.9), 1), (point(1.0, 500.0, 1.0), 1)]
    {
        let found =
            HeatCurve::new(vec![first, point(46.4e3, 540.0, 0.0)], 150.0, 160.0).err().unwrap_or_default();
        assert_eq!(found.len(), faults, "{found:?}");
    }
}
