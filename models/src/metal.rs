//! Type metal: its density, viscosity and heat.
//!
//! Heat is counted for each kilogram from solid at the solidus: e_m = L + c_p(T_liq − T_sol) when just liquid, and
//! e_in = e_m + c_p(T_pot − T_liq) as it leaves the pot. Between solidus and liquidus the temperature falls in a straight line
//! with the heat.

use crate::alloy::{Alloy, FreezingPath};
use crate::fault::{Faults, Order};
use crate::field;
use crate::heat_curve::{CurvePoint, HeatCurve};
use crate::units::{Conductivity, Density, LatentHeat, SpecificHeat, Temperature, Viscosity};

/// The metal as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct MetalStatement {
    /// Density ρ of the liquid.
    pub density: Density,
    /// Viscosity μ of the liquid.
    pub viscosity: Viscosity,
    /// T_liq.
    pub liquidus: Temperature,
    /// T_sol.
    pub solidus: Temperature,
    /// L.
    pub latent_heat: LatentHeat,
    /// c_p, solid and liquid alike.
    pub specific_heat: SpecificHeat,
    /// k_l of the liquid.
    pub conductivity_liquid: Conductivity,
    /// k_s of the solid.
    pub conductivity_solid: Conductivity,
    /// f_crit: share of solid at which the metal no longer flows.
    pub sealing_fraction: f64,
    /// T_pot.
    pub pot_temperature: Temperature,
    /// The alloy whose eutectic path the solved cooling follows ([`crate::freezing`]); none: a straight line from liquidus to
    /// solidus, as everything else does.
    pub eutectic: Option<Alloy>,
    /// The alloy from which what the owner has not measured himself follows, where it is stated.
    pub alloy: Option<Alloy>,
}

impl MetalStatement {
    /// An alloy as the metal of a machine, in a pot at `pot_temperature` (K), sealed at the solid share `sealing_fraction`.
    pub fn of_alloy(alloy: &Alloy, pot_temperature: f64, sealing_fraction: f64) -> Self {
        Self {
            density: Density(alloy.density_liquid(pot_temperature)),
            viscosity: Viscosity(alloy.viscosity(pot_temperature)),
            liquidus: Temperature(alloy.liquidus()),
            solidus: Temperature(alloy.solidus()),
            latent_heat: LatentHeat(alloy.latent_heat()),
            specific_heat: SpecificHeat(alloy.specific_heat_liquid(pot_temperature)),
            conductivity_liquid: Conductivity(alloy.conductivity_liquid(pot_temperature)),
            conductivity_solid: Conductivity(alloy.conductivity_solid()),
            sealing_fraction,
            pot_temperature: Temperature(pot_temperature),
            eutectic: None,
            alloy: Some(*alloy),
        }
    }

    /// The same metal in a pot at another temperature (K): what follows from its alloy at the pot's temperature follows it; what the
    /// owner has measured himself stays.
    #[must_use]
    pub fn at_pot(self, pot_temperature: f64) -> Self {
        let moved = Self { pot_temperature: Temperature(pot_temperature), ..self };
        let Some(alloy) = self.alloy else { return moved };
        let of = |pot: f64| Self::of_alloy(&alloy, pot, self.sealing_fraction);
        let (then, now) = (of(self.pot_temperature.0), of(pot_temperature));
        Self {
            density: if self.density == then.density { now.density } else { self.density },
            viscosity: if self.viscosity == then.viscosity { now.viscosity } else { self.viscosity },
            specific_heat: if self.specific_heat == then.specific_heat {
                now.specific_heat
            } else {
                self.specific_heat
            },
            conductivity_liquid: if self.conductivity_liquid == then.conductivity_liquid {
                now.conductivity_liquid
            } else {
                self.conductivity_liquid
            },
            ..moved
        }
    }
}

/// Prepared metal; temperatures in K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Metal {
    /// ρ, kg/m³.
    pub density: f64,
    /// μ, Pa·s.
    pub viscosity: f64,
    /// T_liq, K.
    pub liquidus: f64,
    /// T_sol, K.
    pub solidus: f64,
    /// L, J/kg.
    pub latent_heat: f64,
    /// c_p, J/(kg·K).
    pub specific_heat: f64,
    /// k_l, W/(m·K).
    pub conductivity_liquid: f64,
    /// k_s, W/(m·K).
    pub conductivity_solid: f64,
    /// f_crit.
    pub sealing_fraction: f64,
    /// T_pot, K.
    pub pot_temperature: f64,
    /// e_m, J/kg: heat of metal at the liquidus.
    pub melt_heat: f64,
    /// e_in, J/kg: heat of metal at the pot's temperature.
    pub pot_heat: f64,
    /// The alloy whose eutectic path the solved cooling follows, if any.
    pub eutectic: Option<Alloy>,
}

impl Metal {
    pub(crate) fn prepare(stated: &MetalStatement, faults: &mut Faults) -> Self {
        let liquidus = faults.positive(field!(MetalStatement, liquidus), stated.liquidus.0);
        let solidus = faults.positive(field!(MetalStatement, solidus), stated.solidus.0);
        let pot_temperature =
            faults.positive(field!(MetalStatement, pot_temperature), stated.pot_temperature.0);
        let or = if stated.alloy.is_some() { "; or tin and antimony are not as stated" } else { "" };
        let [cold, hot] =
            [(field!(MetalStatement, solidus), solidus), (field!(MetalStatement, liquidus), liquidus)];
        let why = format!("freezing begins at the liquidus and ends at the solidus{or}");
        // An alloy's own solidus is not what is wrong.
        if stated.alloy.is_some_and(|alloy| alloy.solidus().total_cmp(&solidus).is_eq()) {
            faults.ordered(hot, Order::AtLeast, cold, &why);
        } else {
            faults.ordered(cold, Order::AtMost, hot, &why);
        }
        let why = format!("the metal in the pot must be molten{or}");
        faults.ordered((field!(MetalStatement, pot_temperature), pot_temperature), Order::AtLeast, hot, &why);
        let sealing_fraction =
            faults.positive(field!(MetalStatement, sealing_fraction), stated.sealing_fraction);
        if sealing_fraction > 1.0 {
            faults.add(
                field!(MetalStatement, sealing_fraction),
                "more than all of the metal cannot be solid",
                "give a share between 0 and 1",
            );
        }
        let latent_heat = faults.positive(field!(MetalStatement, latent_heat), stated.latent_heat.0);
        let specific_heat = faults.positive(field!(MetalStatement, specific_heat), stated.specific_heat.0);
        let melt_heat = latent_heat + specific_heat * (liquidus - solidus);
        Self {
            density: faults.positive(field!(MetalStatement, density), stated.density.0),
            viscosity: faults.positive(field!(MetalStatement, viscosity), stated.viscosity.0),
            liquidus,
            solidus,
            latent_heat,
            specific_heat,
            conductivity_liquid: faults
                .positive(field!(MetalStatement, conductivity_liquid), stated.conductivity_liquid.0),
            conductivity_solid: faults
                .positive(field!(MetalStatement, conductivity_solid), stated.conductivity_solid.0),
            sealing_fraction,
            pot_temperature,
            melt_heat,
            pot_heat: melt_heat + specific_heat * (pot_temperature - liquidus),
            eutectic: stated.eutectic,
        }
    }

    /// Temperature, K, of metal holding `heat` (J/kg).
    pub fn temperature(&self, heat: f64) -> f64 {
        if heat > self.melt_heat {
            self.liquidus + (heat - self.melt_heat) / self.specific_heat
        } else if heat >= 0.0 {
            self.solidus + heat / self.melt_heat * (self.liquidus - self.solidus)
        } else {
            self.solidus + heat / self.specific_heat
        }
    }

    /// Slope of the temperature by heat, K·kg/J.
    pub fn temperature_slope(&self, heat: f64) -> f64 {
        if (0.0..=self.melt_heat).contains(&heat) {
            (self.liquidus - self.solidus) / self.melt_heat
        } else {
            1.0 / self.specific_heat
        }
    }

    /// The curve that [`Metal::temperature`] follows, or the eutectic path of its alloy where it is to freeze so.
    pub fn heat_curve(&self) -> HeatCurve {
        if let Some(alloy) = self.eutectic {
            return alloy.heat_curve(FreezingPath::Eutectic);
        }
        let points = vec![
            CurvePoint { heat: 0.0, temperature: self.solidus, solid: 1.0 },
            CurvePoint { heat: self.melt_heat, temperature: self.liquidus, solid: 0.0 },
        ];
        HeatCurve::known(points, self.specific_heat, self.specific_heat)
    }

    /// Share of solid, 0 to 1, in metal holding `heat` (J/kg).
    pub fn solid_fraction(&self, heat: f64) -> f64 {
        (1.0 - heat / self.melt_heat).clamp(0.0, 1.0)
    }

    /// Temperature, K, at which the share `fraction` is solid, on the straight line of the freezing range.
    pub fn temperature_at_fraction(&self, fraction: f64) -> f64 {
        self.solidus + (1.0 - fraction) * (self.liquidus - self.solidus)
    }
}
