//! Wire and coil of a helical spring, and what follows from them.

use super::{RateStatement, WireStatement};
use crate::fault::{Faults, Field, Sentence, Word};
use crate::field;
use std::f64::consts::PI;

/// Prepared wire and coil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// d, m.
    pub diameter: f64,
    /// D, m.
    pub mean_coil: f64,
    /// n.
    pub active_coils: f64,
    /// Coils in all.
    pub total_coils: f64,
    /// G, Pa.
    pub shear_modulus: f64,
    /// ρ, kg/m³.
    pub density: f64,
}

/// Dead coils of a spring whose coils in all are not counted: one closed at each end. Common practice, no source.
const CLOSED_COILS: f64 = 2.0;

impl WireStatement {
    /// By which field the coil is stated, m, and how many wires thick one without an inside would be; none where it is not.
    pub(super) fn coil(&self) -> Option<(Field, f64, f64)> {
        match (self.mean_coil, self.outside_coil) {
            (Some(mean), _) => Some((field!(WireStatement, mean_coil), mean.0, 1.0)),
            (None, Some(outside)) => Some((field!(WireStatement, outside_coil), outside.0, 2.0)),
            (None, None) => None,
        }
    }
}

impl Wire {
    /// None where the coil's diameter is not known.
    pub(super) fn prepare(
        stated: &WireStatement,
        rate: RateStatement,
        number: usize,
        faults: &mut Faults,
    ) -> Option<Self> {
        let (field, across, wires) = stated.coil()?;
        let (field, wire) = (field.of(number), field!(WireStatement, wire).of(number));
        let diameter = faults.positive(wire, stated.wire.0);
        let across = faults.positive(field, across);
        let mut mean_coil = across - (wires - 1.0) * diameter;
        if mean_coil <= diameter {
            let words = [Word::Name(field), Word::Value(field, across), Word::Value(wire, diameter)];
            let least = Word::Figure(field, wires * diameter);
            faults.add(
                field,
                Sentence::of("`{}` is {}, too small for wire of {}", words),
                Sentence::of("it must be more than {}, or the coil has no inside", [least]),
            );
            // Nothing follows from such a coil.
            mean_coil = f64::NAN;
        }
        let shear_modulus =
            faults.positive(field!(WireStatement, shear_modulus).of(number), stated.shear_modulus.0);
        let active_coils = match (stated.active_coils, rate) {
            (Some(coils), _) => faults.positive(field!(WireStatement, active_coils).of(number), coils),
            (None, RateStatement::Rate(rate)) => {
                shear_modulus * diameter.powi(4) / (8.0 * mean_coil.powi(3) * rate.0)
            }
            (None, RateStatement::Wire) => {
                faults.add(
                    field!(WireStatement, active_coils).of(number),
                    "the coils that work are not known",
                    "count them and give active_coils",
                );
                f64::NAN
            }
        };
        let all = field!(WireStatement, total_coils).of(number);
        let total_coils =
            stated.total_coils.map_or(active_coils + CLOSED_COILS, |coils| faults.positive(all, coils));
        if total_coils < active_coils {
            let words = [Word::Figure(all, active_coils), Word::Value(all, total_coils)];
            let right = Sentence::of("count all coils, active and closed, in {}", [Word::Name(all)]);
            faults.add(all, Sentence::of("{} coils are active of {} in all", words), right);
        }
        Some(Self {
            diameter,
            mean_coil,
            active_coils,
            total_coils,
            shear_modulus,
            density: faults.positive(field!(WireStatement, density).of(number), stated.density.0),
        })
    }

    /// k = G·d⁴/(8·D³·n), N/m.
    pub fn rate(&self) -> f64 {
        self.shear_modulus * self.diameter.powi(4) / (8.0 * self.mean_coil.powi(3) * self.active_coils)
    }

    /// Mass of the active coils, ρ·π²·d²·D·n/4, kg. The dead ends rest on abutment and nut.
    pub fn mass(&self) -> f64 {
        self.density * PI * PI * self.diameter.powi(2) * self.mean_coil * self.active_coils / 4.0
    }

    /// Solid length of closed and ground ends, n_t·d, m.
    pub fn solid_length(&self) -> f64 {
        self.total_coils * self.diameter
    }

    /// Spring index C = D/d.
    pub fn index(&self) -> f64 {
        self.mean_coil / self.diameter
    }

    /// Torsional stress without curvature, 8·F·D/(π·d³), Pa, at force `force` (N).
    pub fn stress(&self, force: f64) -> f64 {
        8.0 * force * self.mean_coil / (PI * self.diameter.powi(3))
    }

    /// Wahl's factor (4C − 1)/(4C − 4) + 0.615/C for the stress at the inside of the coil.
    pub fn wahl_factor(&self) -> f64 {
        let c = self.index();
        (4.0 * c - 1.0) / (4.0 * c - 4.0) + 0.615 / c
    }

    /// The factor of EN 13906-1, (C + 0.5)/(C − 0.75); the same function as Bergsträsser's (4C + 2)/(4C − 3).
    pub fn en_factor(&self) -> f64 {
        let c = self.index();
        (c + 0.5) / (c - 0.75)
    }

    /// Fastest speed at which a free end leaves, τ/√(2·G·ρ), m/s, when let go from force `force` (N): a spring cannot throw
    /// anything faster, however light.
    pub fn release_speed(&self, force: f64) -> f64 {
        self.stress(force) / (2.0 * self.shear_modulus * self.density).sqrt()
    }

    /// Buckling: greatest free length over mean coil at which a spring between parallel plates stays straight at any
    /// deflection, π·√(2(E − G)/(2G + E))/ν with ν = 0.5, for Young's modulus `youngs_modulus` (Pa).
    ///
    /// Source: EN 13906-1; Shigley equation 10-12.
    pub fn stable_slenderness(&self, youngs_modulus: f64) -> f64 {
        let (e, g) = (youngs_modulus, self.shear_modulus);
        PI * (2.0 * (e - g) / (2.0 * g + e)).sqrt() / 0.5
    }
}
