//! The mould, its cooling water and the metal of a scenario.

use super::{number, shut_angle, si};
use crate::Scenario;
use crate::catalogue::{self, Entry};
use latchstroke_models::alloy::Alloy;
use latchstroke_models::cooling_water::CoolingWaterStatement;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{Freezing, MouldStatement, WallStatement};
use latchstroke_models::units::{
    Area, Conductivity, Density, Force, HeatTransfer, LatentHeat, Length, Mass, SpecificHeat, Temperature,
    ThermalConductance, Viscosity, Volume, VolumeFlow,
};
use latchstroke_models::vent::VentStatement;

pub(super) fn mould(scenario: &Scenario) -> MouldStatement {
    let at = |path: &str| si(scenario, path);
    MouldStatement {
        depth: Length(at("mould.depth")),
        priming_volume: Volume(at("mould.priming_volume")),
        wall: match scenario.quantity("cooling_water.flow") {
            Some(flow) => WallStatement::Cooled(cooling_water(scenario, VolumeFlow(flow.si))),
            None => WallStatement::Temperature(Temperature(at("mould.wall_temperature"))),
        },
        heat_transfer: HeatTransfer(at("mould.heat_transfer")),
        packed_heat_transfer: scenario.quantity("mould.packed_heat_transfer").map(|h| HeatTransfer(h.si)),
        freezing: match scenario.choice("mould.freezing") {
            Some("section") => Freezing::Section,
            _ => Freezing::Slab,
        },
        air_temperature: Temperature(at("mould.air_temperature")),
        vent: match scenario.quantity("mould.vent_area") {
            Some(area) => VentStatement::Area(Area(area.si)),
            None => VentStatement::Slit {
                gap: Length(at("mould.vent_gap")),
                width: Length(at("mould.vent_width")),
                length: Length(at("mould.vent_length")),
            },
        },
        vent_coefficient: scenario.number("mould.vent_coefficient").unwrap_or(1.0),
        hold_down: scenario.quantity("mould.hold_down").map(|force| Force(force.si)),
    }
}

fn cooling_water(scenario: &Scenario, flow: VolumeFlow) -> CoolingWaterStatement {
    let at = |key: &str| si(scenario, &format!("cooling_water.{key}"));
    CoolingWaterStatement {
        flow,
        inlet_temperature: Temperature(at("inlet_temperature")),
        conductance: ThermalConductance(at("conductance")),
        mould_mass: Mass(at("mould_mass")),
        mould_specific_heat: SpecificHeat(at("mould_specific_heat")),
        air_loss: ThermalConductance(at("air_loss")),
        room_temperature: Temperature(at("room_temperature")),
        shut: shut_angle(scenario),
    }
}

/// The metal: each value as stated, or else the alloy's. An alloy outside the table, which the reader refuses but a tolerance
/// may reach, leaves not-a-number for the machine's own checks.
pub(super) fn metal(scenario: &Scenario) -> MetalStatement {
    let at = |path: &str| si(scenario, path);
    let alloy = alloy(scenario);
    let (pot, sealing) = (at("metal.pot_temperature"), number(scenario, "metal.sealing_fraction"));
    let given = alloy.map(|alloy| MetalStatement::of_alloy(&alloy, pot, sealing));
    let value = |path: &str, of: fn(&MetalStatement) -> f64| {
        scenario.quantity(path).map(|q| q.si).or(given.as_ref().map(of)).unwrap_or(f64::NAN)
    };
    MetalStatement {
        density: Density(value("metal.density", |metal| metal.density.0)),
        viscosity: Viscosity(value("metal.viscosity", |metal| metal.viscosity.0)),
        liquidus: Temperature(value("metal.liquidus", |metal| metal.liquidus.0)),
        solidus: Temperature(value("metal.solidus", |metal| metal.solidus.0)),
        latent_heat: LatentHeat(value("metal.latent_heat", |metal| metal.latent_heat.0)),
        specific_heat: SpecificHeat(value("metal.specific_heat", |metal| metal.specific_heat.0)),
        conductivity_liquid: Conductivity(value("metal.conductivity_liquid", |metal| {
            metal.conductivity_liquid.0
        })),
        conductivity_solid: Conductivity(value("metal.conductivity_solid", |metal| {
            metal.conductivity_solid.0
        })),
        sealing_fraction: sealing,
        pot_temperature: Temperature(pot),
        eutectic: alloy.filter(|_| scenario.choice("metal.freezing_path") == Some("eutectic")),
        alloy,
    }
}

fn alloy(scenario: &Scenario) -> Option<Alloy> {
    let (tin, antimony) = (scenario.number("metal.tin")?, scenario.number("metal.antimony")?);
    Alloy::new(100.0 * tin, 100.0 * antimony).ok()
}

/// The keys of the section `[metal]` that are left to its alloy, in catalogue order, with their SI values; none where the metal is stated
/// value by value.
pub fn from_alloy(scenario: &Scenario) -> Vec<(&'static Entry, f64)> {
    if alloy(scenario).is_none() {
        return Vec::new();
    }
    let metal = metal(scenario);
    let all = [
        ("metal.density", metal.density.0),
        ("metal.viscosity", metal.viscosity.0),
        ("metal.liquidus", metal.liquidus.0),
        ("metal.solidus", metal.solidus.0),
        ("metal.latent_heat", metal.latent_heat.0),
        ("metal.specific_heat", metal.specific_heat.0),
        ("metal.conductivity_liquid", metal.conductivity_liquid.0),
        ("metal.conductivity_solid", metal.conductivity_solid.0),
    ];
    let left_out = all.into_iter().filter(|(path, _)| scenario.item(path).is_none());
    left_out.filter_map(|(path, si)| Some((catalogue::entry(path)?.1, si))).collect()
}
