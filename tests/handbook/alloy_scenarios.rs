//! A scenario that states its metal by composition against the same one with the values written out.

use approx::assert_relative_eq;
use latchstroke_core::studies::cooling::cooling;
use latchstroke_models::alloy::Alloy;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::units::Angle;
use latchstroke_scenario::stated;
use latchstroke_scenario::{Override, Scenario, read};
use proptest::prelude::*;
use std::f64::consts::PI;

const LARGE_INITIALS: &str = include_str!("../../scenarios/large_initials.toml");
/// The metal of the scenario, value by value.
const VALUES: &str = "density = \"10200 kg/m3\"\nviscosity = \"2.2 mPa s\"\nliquidus = \"270 degC\"\nsolidus = \"240 degC\"\nlatent_heat = \"50 kJ/kg\"\nspecific_heat = \"150 J/kgK\"\nconductivity_liquid = \"20 W/mK\"\nconductivity_solid = \"24 W/mK\"\n";

fn attempt(metal: &str, overrides: &[&str]) -> Result<Scenario, String> {
    assert!(LARGE_INITIALS.contains(VALUES), "the metal's values stand together");
    let text = LARGE_INITIALS.replace(VALUES, metal);
    let overrides: Vec<Override> = overrides.iter().map(|text| Override::parse(text)).collect();
    read("alloy.toml", &text, &overrides).map_err(|mistakes| mistakes.to_string())
}

fn good(metal: &str, overrides: &[&str]) -> Scenario {
    attempt(metal, overrides).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

fn values(metal: &MetalStatement) -> [f64; 10] {
    [
        metal.density.0,
        metal.viscosity.0,
        metal.liquidus.0,
        metal.solidus.0,
        metal.latent_heat.0,
        metal.specific_heat.0,
        metal.conductivity_liquid.0,
        metal.conductivity_solid.0,
        metal.sealing_fraction,
        metal.pot_temperature.0,
    ]
}

fn same(a: &MetalStatement, b: &MetalStatement, tolerance: f64) {
    for (a, b) in values(a).into_iter().zip(values(b)) {
        assert_relative_eq!(a, b, max_relative = tolerance);
    }
}

#[test]
fn handbook_alloy_by_composition_has_the_published_values() {
    // 7/16 in a pot at 350 °C: liquidus by SciPy on the trade tables, densities and heats by the elements (SGTE, CRC), lead's
    // conductivity (OECD/NEA handbook 2015); the sources and standings are those in the tests of alloys.
    let alloy = stated::machine(&good("tin = \"7 %\"\nantimony = \"16 %\"\n", &[])).metal;
    assert_relative_eq!(alloy.liquidus.0, 273.15 + 267.6923076923077, epsilon = 1e-9);
    assert_relative_eq!(alloy.solidus.0, 273.15 + 240.0, epsilon = 2.0);
    // Half a unit of the last digit printed.
    assert_relative_eq!(alloy.density.0, 9393.60, epsilon = 6e-3);
    assert_relative_eq!(alloy.latent_heat.0, 47677.6, epsilon = 0.06);
    assert_relative_eq!(alloy.conductivity_liquid.0, 16.05465, max_relative = 1e-7);
}

#[test]
fn closed_form_composition_and_written_values_make_the_same_machine() {
    let by_alloy = good("tin = 0.07\nantimony = 0.16\n", &[]);
    let metal = stated::machine(&by_alloy).metal;
    let [density, viscosity, liquidus, solidus, latent, specific, liquid, solid, ..] = values(&metal);
    let written = format!(
        "density = \"{density} kg/m3\"\nviscosity = \"{viscosity} Pa s\"\nliquidus = \"{liquidus} K\"\nsolidus = \"{solidus} K\"\nlatent_heat = \"{latent} J/kg\"\nspecific_heat = \"{specific} J/kgK\"\nconductivity_liquid = \"{liquid} W/mK\"\nconductivity_solid = \"{solid} W/mK\"\n"
    );
    let by_values = good(&written, &[]);
    // Every digit is written; only where they come from differs.
    let mut from_alloy = stated::machine(&by_alloy);
    assert!(from_alloy.metal.alloy.take().is_some());
    assert_eq!(from_alloy, stated::machine(&by_values));
    assert!(stated::from_alloy(&by_values).is_empty());
    assert_eq!(stated::from_alloy(&by_alloy).len(), 8);
    // In a hotter pot it is what the alloy is there, but for what is measured.
    let hotter = |values: &str| {
        let text = format!("tin = 0.07\nantimony = 0.16\n{values}");
        let there = ["metal.pot_temperature=660 K"];
        (stated::machine(&good(&text, &[])).metal.at_pot(660.0), stated::machine(&good(&text, &there)).metal)
    };
    for values in ["", "density = \"10000 kg/m3\"\n"] {
        let (moved, stated) = hotter(values);
        assert_eq!(moved, stated);
        assert_ne!(moved.specific_heat, metal.specific_heat);
    }
    // A scenario as resolved states its alloy, and reads back to it.
    let back = read("resolved.toml", &by_alloy.resolved_toml(), &[]).expect("reads back");
    assert_eq!(stated::machine(&back), stated::machine(&by_alloy));
}

#[test]
fn closed_form_stated_values_win_over_the_alloys() {
    let plain = stated::machine(&good("tin = 0.07\nantimony = 0.16\n", &[])).metal;
    let scenario = good("tin = 0.07\nantimony = 0.16\n", &["metal.latent_heat=50 kJ/kg"]);
    let metal = stated::machine(&scenario).metal;
    assert_relative_eq!(metal.latent_heat.0, 50e3, max_relative = 1e-12);
    same(&MetalStatement { latent_heat: plain.latent_heat, ..metal }, &plain, 1e-15);
    assert!(stated::from_alloy(&scenario).iter().all(|(entry, _)| entry.key != "latent_heat"));
}

#[test]
fn property_eutectic_path_changes_only_the_solved_cooling() {
    let prepared = |path: &str| {
        let metal = format!("tin = 0.07\nantimony = 0.16\nfreezing_path = \"{path}\"\n");
        let scenario = good(&metal, &[]);
        let cast = stated::cast(&scenario);
        Machine::prepare(&stated::machine(&scenario), cast.sort, cast.pace, LatchSetting::Aside)
            .expect("valid")
    };
    let (straight, eutectic) = (prepared("straight"), prepared("eutectic"));
    assert!(straight.metal.eutectic.is_none() && eutectic.metal.eutectic.is_some());
    let [even, late] =
        [&straight, &eutectic].map(|machine| cooling(machine, Angle(PI)).expect("solid in time").time);
    // Most of the heat comes out at the arrest, where the metal is coolest; the whole is the same to 3 %, by the solid's own
    // specific heat. Freezing at one temperature shortens the wait for the last of it, if by less than a quarter.
    assert!((0.75..1.1).contains(&(late / even)) && (late / even - 1.0).abs() > 0.005, "{late} {even}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn property_reader_takes_the_alloys_of_the_table_and_no_others(tin in 0.0..20.0_f64, antimony in 5.0..29.0_f64) {
        let metal = format!("tin = \"{tin} %\"\nantimony = \"{antimony} %\"\n");
        let read = attempt(&metal, &["metal.pot_temperature=400 degC"]);
        if let Ok(alloy) = Alloy::new(tin, antimony) {
            let scenario = read.map_err(TestCaseError::fail)?;
            // Through the text, the shares are the same to rounding.
            same(&stated::machine(&scenario).metal, &MetalStatement::of_alloy(&alloy, 673.15, 0.35), 1e-9);
            let cast = stated::cast(&scenario);
            let machine = Machine::prepare(&stated::machine(&scenario), cast.sort, cast.pace, LatchSetting::Set);
            prop_assert!(machine.is_ok());
        } else {
            let mistakes = read.err().unwrap_or_default();
            prop_assert!(mistakes.contains("outside the table") && mistakes.contains("12 to 24 %"), "{mistakes}");
        }
    }
}
