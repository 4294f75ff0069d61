//! The metal as a conductor: density, heat curve and conductivity.
//!
//! Conductivity follows the solid share, k = f·k_s + (1 − f)·k_l. Heat then flows down the slope of the potential
//! φ = ∫k dT (Kirchhoff's transformation), which gives the flow between two cells without having to choose a mean conductivity
//! across a front. Source: Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed., section 1.6 (from memory).
//! One density serves for solid and liquid: nothing moves as it freezes.

use crate::fault::{Fault, Faults};
use crate::field;
use crate::heat_curve::{CurvePoint, HeatCurve};
use crate::metal::Metal;

/// A stretch of the heat curve, stated from its anchor; every quantity is a polynomial in heat above the anchor.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    anchor: f64,
    temperature: f64,
    temperature_slope: f64,
    solid: f64,
    solid_slope: f64,
    conductivity: f64,
    conductivity_slope: f64,
    potential: f64,
}

/// What conduction needs to know of metal with a given heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Local {
    /// T, K.
    pub temperature: f64,
    /// dT/de, K·kg/J.
    pub temperature_slope: f64,
    /// k, W/(m·K).
    pub conductivity: f64,
    /// dk/de.
    pub conductivity_slope: f64,
    /// φ, W/m.
    pub potential: f64,
    /// dφ/de = k·dT/de.
    pub potential_slope: f64,
}

/// A prepared conductor.
#[derive(Debug, Clone, PartialEq)]
pub struct Substance {
    density: f64,
    curve: HeatCurve,
    below: Piece,
    pieces: Vec<Piece>,
    greatest_diffusivity: f64,
}

impl Substance {
    /// Metal of `density` (kg/m³) with `curve` and the conductivities k_s and k_l (W/(m·K)) of its solid and liquid.
    ///
    /// # Errors
    /// When a value is not above zero.
    pub fn new(
        density: f64,
        curve: &HeatCurve,
        conductivity_solid: f64,
        conductivity_liquid: f64,
    ) -> Result<Self, Vec<Fault>> {
        let mut faults = Faults::default();
        faults.positive(field!(density), density);
        faults.positive(field!(conductivity_solid), conductivity_solid);
        faults.positive(field!(conductivity_liquid), conductivity_liquid);
        faults.settle(Self::prepare(density, curve, conductivity_solid, conductivity_liquid))
    }

    /// The metal of a machine.
    pub fn of_metal(metal: &Metal) -> Self {
        Self::prepare(metal.density, &metal.heat_curve(), metal.conductivity_solid, metal.conductivity_liquid)
    }

    /// As [`Substance::new`], from values already known to be above zero.
    fn prepare(density: f64, curve: &HeatCurve, k_solid: f64, k_liquid: f64) -> Self {
        let conductivity = |solid: f64| solid * k_solid + (1.0 - solid) * k_liquid;
        let flat = |point: &CurvePoint, specific_heat: f64, potential: f64| Piece {
            anchor: point.heat,
            temperature: point.temperature,
            temperature_slope: 1.0 / specific_heat,
            solid: point.solid,
            solid_slope: 0.0,
            conductivity: conductivity(point.solid),
            conductivity_slope: 0.0,
            potential,
        };
        let solidus = CurvePoint { heat: 0.0, temperature: 0.0, solid: 1.0 };
        let solidus = curve.points().first().copied().unwrap_or(solidus);
        let below = flat(&solidus, curve.specific_heat_solid(), 0.0);
        let mut pieces = Vec::with_capacity(curve.points().len());
        let mut low = solidus;
        let mut potential = 0.0;
        for high in curve.points().iter().skip(1) {
            let span = high.heat - low.heat;
            let (from, to) = (conductivity(low.solid), conductivity(high.solid));
            pieces.push(Piece {
                anchor: low.heat,
                temperature: low.temperature,
                temperature_slope: (high.temperature - low.temperature) / span,
                solid: low.solid,
                solid_slope: (high.solid - low.solid) / span,
                conductivity: from,
                conductivity_slope: (to - from) / span,
                potential,
            });
            potential += 0.5 * (from + to) * (high.temperature - low.temperature);
            low = *high;
        }
        pieces.push(flat(&low, curve.specific_heat_liquid(), potential));
        // dφ/de is linear on each piece, so its greatest value is at an end of one.
        let steepest = std::iter::once(&below)
            .chain(&pieces)
            .map(|piece| piece.temperature_slope * k_solid.max(k_liquid).max(piece.conductivity))
            .fold(0.0, f64::max);
        Self { density, curve: curve.clone(), below, pieces, greatest_diffusivity: steepest / density }
    }

    /// ρ, kg/m³.
    pub fn density(&self) -> f64 {
        self.density
    }

    /// The heat curve.
    pub fn curve(&self) -> &HeatCurve {
        &self.curve
    }

    /// T, K, of metal holding `heat` (J/kg).
    pub fn temperature(&self, heat: f64) -> f64 {
        let piece = self.piece(heat);
        piece.temperature + piece.temperature_slope * (heat - piece.anchor)
    }

    /// f, share of solid, of metal holding `heat` (J/kg).
    pub fn solid(&self, heat: f64) -> f64 {
        let piece = self.piece(heat);
        piece.solid + piece.solid_slope * (heat - piece.anchor)
    }

    /// The heats (J/kg) at which the arrest begins (solid side) and ends at which metal passes the solid share `share`, if it
    /// does so at an arrest.
    pub(super) fn arrest(&self, share: f64) -> Option<(f64, f64)> {
        self.curve.points().windows(2).find_map(|pair| match pair {
            [low, high]
                if high.temperature <= low.temperature && high.solid < share && share <= low.solid =>
            {
                Some((low.heat, high.heat))
            }
            _ => None,
        })
    }

    /// An upper bound of the diffusivity (dφ/de)/ρ, m²/s.
    pub(super) fn greatest_diffusivity(&self) -> f64 {
        self.greatest_diffusivity
    }

    /// φ, W/m.
    pub(super) fn potential(&self, heat: f64) -> f64 {
        let piece = self.piece(heat);
        let above = heat - piece.anchor;
        let mean = piece.conductivity + 0.5 * piece.conductivity_slope * above;
        piece.potential + piece.temperature_slope * above * mean
    }

    pub(super) fn local(&self, heat: f64) -> Local {
        let piece = self.piece(heat);
        let above = heat - piece.anchor;
        let conductivity = piece.conductivity + piece.conductivity_slope * above;
        let mean = 0.5 * (piece.conductivity + conductivity);
        Local {
            temperature: piece.temperature + piece.temperature_slope * above,
            temperature_slope: piece.temperature_slope,
            conductivity,
            conductivity_slope: piece.conductivity_slope,
            potential: piece.potential + piece.temperature_slope * above * mean,
            potential_slope: piece.temperature_slope * conductivity,
        }
    }

    fn piece(&self, heat: f64) -> &Piece {
        self.pieces.iter().rev().find(|piece| heat >= piece.anchor).unwrap_or(&self.below)
    }
}
