//! Type metal by composition: lead, antimony and tin.
//!
//! Trade usage names an alloy by its tin and antimony in % by weight, tin first: 7/16 is 7 % tin, 16 % antimony, the rest
//! lead. Little of type metal itself has been measured in print, so most values are built from the three elements; each method
//! says from what and how far it can be trusted. Melting ranges are the table's in [`melting`].

use crate::fault::{Fault, Faults};
use crate::field;
use crate::heat_curve::HeatCurve;
use strum::{EnumString, VariantNames};

pub mod elements;
pub mod melting;
mod path;

use elements::{Element, lead_conductivity, lead_viscosity, tin_viscosity};

/// Tin and antimony, % by weight; the rest is lead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Composition {
    /// Tin, % by weight.
    pub tin: f64,
    /// Antimony, % by weight.
    pub antimony: f64,
}

/// Working alloys in common use, softest first (common practice, no source).
pub const WORKING_ALLOYS: [Composition; 8] = [
    Composition { tin: 4.0, antimony: 11.0 },
    Composition { tin: 4.0, antimony: 12.0 },
    Composition { tin: 6.0, antimony: 15.0 },
    Composition { tin: 7.0, antimony: 16.0 },
    Composition { tin: 9.0, antimony: 19.0 },
    Composition { tin: 10.0, antimony: 16.0 },
    Composition { tin: 10.0, antimony: 20.0 },
    Composition { tin: 12.0, antimony: 24.0 },
];

impl Composition {
    /// Lead, % by weight.
    pub fn lead(self) -> f64 {
        100.0 - self.tin - self.antimony
    }

    /// Each element with its share by weight, 0 to 1.
    pub fn weights(self) -> [(Element, f64); 3] {
        [
            (Element::Lead, self.lead() / 100.0),
            (Element::Tin, self.tin / 100.0),
            (Element::Antimony, self.antimony / 100.0),
        ]
    }

    /// Share of `element` by count of atoms, 0 to 1.
    pub fn mole_fraction(self, element: Element) -> f64 {
        let moles = |(of, weight): (Element, f64)| weight / of.molar_mass();
        let all: f64 = self.weights().into_iter().map(moles).sum();
        let own: f64 = self.weights().into_iter().filter(|(of, _)| *of == element).map(moles).sum();
        own / all
    }

    fn by_weight(self, of: impl Fn(Element) -> f64) -> f64 {
        self.weights().into_iter().map(|(element, weight)| weight * of(element)).sum()
    }

    /// Heat of fusion, J/kg: the mean by weight of the elements' at 513 K. See [`Alloy::latent_heat`].
    fn latent_heat(self) -> f64 {
        self.by_weight(|element| element.latent_heat(513.0))
    }
}

/// How the heat of fusion is spread over the temperatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum FreezingPath {
    /// Evenly from the liquidus to the solidus.
    #[default]
    #[strum(serialize = "straight")]
    StraightLine,
    /// Crystals first, from the liquidus down to the eutectic; the rest, most of it, at the eutectic arrest.
    ///
    /// Alloys with less lead than the eutectic freeze out crystals of antimony and of antimony with tin, which hold next to no
    /// lead: all lead stays in the liquid, whose lead rises from w_0 to the eutectic's w_E. So f = 1 − w_0/w(T), and
    /// f_p = 1 − w_0/w_E is solid when the arrest begins; with nothing to diffuse, the lever rule and Scheil's equation agree.
    /// Alloys with more lead are treated alike with crystals of lead and the other two metals staying (rougher: lead
    /// crystals hold a few per cent of antimony). w(T) is taken as a straight line. The crystals' heat of fusion is what the
    /// alloy has beyond that of its eutectic liquid, so that antimony's large share comes out early.
    Eutectic,
}

/// A type metal within the table of melting ranges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alloy {
    composition: Composition,
    liquidus: f64,
}

impl Alloy {
    /// The alloy of `tin` and `antimony` (% by weight), the rest lead.
    ///
    /// # Errors
    /// When a share is below zero or not a number, or when the composition is outside the table of melting ranges.
    pub fn new(tin: f64, antimony: f64) -> Result<Self, Vec<Fault>> {
        let mut faults = Faults::default();
        faults.not_negative(field!(Composition, tin), tin);
        faults.not_negative(field!(Composition, antimony), antimony);
        let composition = faults.settle(Composition { tin, antimony })?;
        let liquidus = melting::liquidus(composition)?;
        Ok(Self { composition, liquidus })
    }

    /// Its composition.
    pub fn composition(&self) -> Composition {
        self.composition
    }

    /// Liquidus, K; good to 8 K. Source: see [`melting`].
    pub fn liquidus(&self) -> f64 {
        self.liquidus
    }

    /// Solidus, K: the ternary eutectic, good to 3 K. Source: see [`melting`].
    pub fn solidus(&self) -> f64 {
        melting::EUTECTIC_TEMPERATURE
    }

    /// Heat of fusion, J/kg: the mean by weight of the elements' (SGTE) at 513 K, with no heat of mixing; good to 15 %.
    ///
    /// Nearly twice lead's for 4/12, since antimony's is seven times lead's.
    pub fn latent_heat(&self) -> f64 {
        self.composition.latent_heat()
    }

    /// Specific heat of the solid, J/(kg·K), at `temperature` (K): mean by weight of the elements' (SGTE), good to 5 %.
    pub fn specific_heat_solid(&self, temperature: f64) -> f64 {
        self.composition.by_weight(|element| element.specific_heat_solid(temperature))
    }

    /// Specific heat of the liquid, J/(kg·K), at `temperature` (K): mean by weight of the elements' (SGTE), good to 5 %.
    pub fn specific_heat_liquid(&self, temperature: f64) -> f64 {
        self.composition.by_weight(|element| element.specific_heat_liquid(temperature))
    }

    /// Density of the solid at 20 °C, kg/m³: the elements' volumes added; good to 1 %.
    pub fn density_solid(&self) -> f64 {
        1.0 / self.composition.by_weight(|element| 1.0 / element.density_solid())
    }

    /// Density of the liquid, kg/m³, at `temperature` (K): the elements' volumes added; good to 1 %.
    pub fn density_liquid(&self, temperature: f64) -> f64 {
        1.0 / self.composition.by_weight(|element| 1.0 / element.density_liquid(temperature))
    }

    /// Viscosity of the liquid, Pa·s, at `temperature` (K); good to 20 %.
    ///
    /// Lead–tin alloys are linear in composition (Thresh and Crawley 1970, abstract), here by count of atoms; antimony is
    /// counted as lead, for want of a measurement that could be read. Type metal at 350 °C is put at 2.0 to 2.5 mPa·s (common
    /// practice, no source).
    pub fn viscosity(&self, temperature: f64) -> f64 {
        let tin = self.composition.mole_fraction(Element::Tin);
        tin * tin_viscosity(temperature) + (1.0 - tin) * lead_viscosity(temperature)
    }

    /// Conductivity of the liquid, W/(m·K), at `temperature` (K): that of liquid lead, good to 20 %; type metal is put at 15
    /// to 18 (common practice, no source).
    pub fn conductivity_liquid(&self, temperature: f64) -> f64 {
        lead_conductivity(temperature)
    }

    /// Conductivity of the solid, W/(m·K): 24, the middle of the 20 to 28 that type metal is put at (common practice, no
    /// source); good to 30 %. Solid lead by itself has 35.
    pub fn conductivity_solid(&self) -> f64 {
        24.0
    }

    /// f_p: share already solid when the eutectic arrest begins, 0 to 1; see [`FreezingPath::Eutectic`].
    pub fn solid_before_arrest(&self) -> f64 {
        path::solid_before_arrest(self)
    }

    /// Temperature and solid share against heat.
    ///
    /// The solid's specific heat is taken at 450 K, between a warm mould and the solidus, the liquid's at the liquidus.
    pub fn heat_curve(&self, freezing: FreezingPath) -> HeatCurve {
        let points = match freezing {
            FreezingPath::StraightLine => path::straight(self),
            FreezingPath::Eutectic => path::eutectic(self),
        };
        HeatCurve::known(points, self.specific_heat_solid(450.0), self.specific_heat_liquid(self.liquidus))
    }
}
