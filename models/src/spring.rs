//! One helical compression spring of the nest: rate, stress, surge, solid length and coil binding.
//!
//! Rate k = G·d⁴/(8·D³·n); torsional stress τ = 8·F·D/(π·d³), times the Wahl factor or the one of EN 13906-1 for the
//! inside of the coil; surge frequency with both ends held ½·√(k/m). Sources: R. G. Budynas and J. K. Nisbett, *Shigley's
//! Mechanical Engineering Design*, chapter 10; EN 13906-1.

mod coil;
pub mod fatigue;
mod room;
mod wire;

pub use coil::Coil;
pub use wire::Wire;

pub(crate) use room::nest;

use crate::fault::Faults;
use crate::field;
use crate::units::{Density, Force, Length, Mass, Pressure, Stiffness};

/// Where a spring's rate comes from.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum RateStatement {
    /// Measured: load over deflection.
    Rate(Stiffness),
    /// Worked out from wire and coil.
    #[default]
    Wire,
}

/// How a spring's squeeze at rest is known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum PreloadStatement {
    /// Its force at rest.
    Force(Force),
    /// Free length less the gap of the stack-up.
    #[default]
    Gap,
}

/// Wire and coil as an owner states them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireStatement {
    /// Wire diameter d.
    pub wire: Length,
    /// Mean coil diameter D; from the outside one when not given. Without either the wire says nothing of the spring.
    pub mean_coil: Option<Length>,
    /// Coil diameter over the outside, D + d.
    pub outside_coil: Option<Length>,
    /// Active coils n; from a measured rate when not given.
    pub active_coils: Option<f64>,
    /// Coils in all, counting the dead ends; two more than the active ones when not given. Closed and ground ends are taken
    /// for the solid length.
    pub total_coils: Option<f64>,
    /// Shear modulus G.
    pub shear_modulus: Pressure,
    /// Density of the wire.
    pub density: Density,
}

impl Default for WireStatement {
    /// Steel of no size: G = 79.3 GPa, 7850 kg/m³.
    fn default() -> Self {
        Self {
            wire: Length::default(),
            mean_coil: None,
            outside_coil: None,
            active_coils: None,
            total_coils: None,
            shear_modulus: Pressure(79.3e9),
            density: Density(7850.0),
        }
    }
}

/// A spring as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct SpringStatement {
    /// Rate, measured or from the wire.
    pub rate: RateStatement,
    /// Wire and coil, where known.
    pub wire: Option<WireStatement>,
    /// Mass; from wire and coil when not given.
    pub mass: Option<Mass>,
    /// Free length.
    pub free_length: Option<Length>,
    /// Solid length; total coils times wire when not given.
    pub solid_length: Option<Length>,
    /// Squeeze at rest.
    pub preload: PreloadStatement,
    /// Stiffness once the coils touch; a hundred times the rate when not given.
    pub bound_rate: Option<Stiffness>,
    /// Shear stress that the wire may bear, where known.
    pub allowable_stress: Option<Pressure>,
}

/// A prepared spring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spring {
    /// k, N/m.
    pub rate: f64,
    /// Mass, kg.
    pub mass: f64,
    /// s_j: compression at rest, m; below zero the spring lies loose.
    pub rest_squeeze: f64,
    /// Free length, m.
    pub free_length: Option<f64>,
    /// Solid length, m.
    pub solid_length: Option<f64>,
    /// k_b, N/m: added once the coils touch.
    pub bound_rate: f64,
    /// Shear stress that the wire may bear, Pa, where known.
    pub allowable_stress: Option<f64>,
    /// Wire and coil, where known.
    pub wire: Option<Wire>,
}

/// How much stiffer than the spring its touching coils are taken to be. Common practice, no source: any value that makes
/// binding a wall serves, since a bound spring is reported as a fault of the setting.
const BOUND_STIFFENING: f64 = 100.0;

impl Spring {
    /// `number` says in faults which spring it is, from 1; `gap` is the stack-up's gap at rest (m).
    ///
    /// ```
    /// use latchstroke_models::fault::Faults;
    /// use latchstroke_models::spring::{PreloadStatement, RateStatement, Spring, SpringStatement};
    /// use latchstroke_models::units::{Force, Mass, Stiffness};
    ///
    /// let stated = SpringStatement {
    ///     rate: RateStatement::Rate(Stiffness(9000.0)),
    ///     wire: None,
    ///     mass: Some(Mass(0.35)),
    ///     free_length: None,
    ///     solid_length: None,
    ///     preload: PreloadStatement::Force(Force(350.0)),
    ///     bound_rate: None,
    ///     allowable_stress: None,
    /// };
    /// let mut faults = Faults::default();
    /// let spring = Spring::prepare(&stated, 1, None, &mut faults);
    /// let spring = faults.settle(spring)?;
    /// // 10 mm more at 9 N/mm add 90 N to the 350 N at rest.
    /// assert!((spring.force(0.010) - 440.0).abs() < 1e-9);
    /// # Ok::<(), Vec<latchstroke_models::fault::Fault>>(())
    /// ```
    pub fn prepare(stated: &SpringStatement, number: usize, gap: Option<f64>, faults: &mut Faults) -> Self {
        let wire = stated.wire.and_then(|w| Wire::prepare(&w, stated.rate, number, faults));
        let rate = match (stated.rate, &wire) {
            (RateStatement::Rate(rate), _) => {
                faults.positive(field!(RateStatement::Rate, 0).of(number), rate.0)
            }
            (RateStatement::Wire, Some(wire)) => wire.rate(),
            (RateStatement::Wire, None) => {
                faults.add(
                    field!(RateStatement::Rate, 0).of(number),
                    "neither a rate nor wire and coil are given",
                    "give the rate, or wire, coil diameter and active coils",
                );
                f64::NAN
            }
        };
        let mass = match (stated.mass, &wire) {
            (Some(mass), _) => faults.not_negative(field!(SpringStatement, mass).of(number), mass.0),
            (None, Some(wire)) => wire.mass(),
            (None, None) => {
                faults.add(
                    field!(SpringStatement, mass).of(number),
                    "the spring's mass is not known",
                    "weigh it, or give wire, coil diameter and active coils",
                );
                f64::NAN
            }
        };
        let free_length =
            stated.free_length.map(|l| faults.positive(field!(SpringStatement, free_length).of(number), l.0));
        let solid_length = stated
            .solid_length
            .map(|l| faults.positive(field!(SpringStatement, solid_length).of(number), l.0))
            .or_else(|| wire.as_ref().map(Wire::solid_length));
        let rest_squeeze = match (stated.preload, free_length, gap) {
            (PreloadStatement::Force(force), ..) => {
                faults.not_negative(field!(PreloadStatement::Force, 0).of(number), force.0) / rate
            }
            (PreloadStatement::Gap, Some(free), Some(gap)) => free - gap,
            (PreloadStatement::Gap, ..) => {
                faults.add(
                    field!(PreloadStatement::Force, 0).of(number),
                    "the preload is not known",
                    "give its force at rest, or its free length together with the gap it stands in",
                );
                f64::NAN
            }
        };
        let bound_rate = stated.bound_rate.map_or(BOUND_STIFFENING * rate, |k| {
            faults.positive(field!(SpringStatement, bound_rate).of(number), k.0)
        });
        let allowable_stress = stated
            .allowable_stress
            .map(|stress| faults.positive(field!(SpringStatement, allowable_stress).of(number), stress.0));
        let spring =
            Self { rate, mass, rest_squeeze, free_length, solid_length, bound_rate, allowable_stress, wire };
        spring.gets_shorter(stated, number, faults);
        spring
    }

    /// Compression left from rest until the coils touch, m, where both lengths are known.
    pub fn room(&self) -> Option<f64> {
        Some(self.free_length? - self.solid_length? - self.rest_squeeze)
    }

    /// Force, N, with the abutment `closing` (m) nearer to the nut than at rest:
    /// k·max(0, s + closing), and k_b more for each metre past the touch of the coils.
    pub fn force(&self, closing: f64) -> f64 {
        let past = self.room().map_or(0.0, |room| (closing - room).max(0.0));
        self.rate * (self.rest_squeeze + closing).max(0.0) + self.bound_rate * past
    }

    /// Slope of the force by `closing` (m), N/m.
    pub fn stiffness(&self, closing: f64) -> f64 {
        let own = if self.rest_squeeze + closing > 0.0 { self.rate } else { 0.0 };
        let bound = if self.room().is_some_and(|room| closing > room) { self.bound_rate } else { 0.0 };
        own + bound
    }

    /// Energy held, J, at the same `closing` (m), counted from the free spring.
    pub fn energy(&self, closing: f64) -> f64 {
        let past = self.room().map_or(0.0, |room| (closing - room).max(0.0));
        0.5 * self.rate * (self.rest_squeeze + closing).max(0.0).powi(2) + 0.5 * self.bound_rate * past * past
    }

    /// Surge frequency with both ends held, Hz: ½·√(k/m).
    pub fn surge_frequency(&self) -> f64 {
        0.5 * (self.rate / self.mass).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Force, Length, Mass, Stiffness};

    #[test]
    fn coils_that_touch_are_a_wall() {
        let stated = SpringStatement {
            rate: RateStatement::Rate(Stiffness(9000.0)),
            mass: Some(Mass(0.3)),
            preload: PreloadStatement::Force(Force(90.0)),
            free_length: Some(Length(0.100)),
            solid_length: Some(Length(0.060)),
            ..SpringStatement::default()
        };
        let mut faults = Faults::default();
        let spring = Spring::prepare(&stated, 1, None, &mut faults);
        faults.settle(()).expect("a spring");
        // 100 mm long, 10 mm squeezed at rest, 30 mm left until its coils touch.
        let per_millimetre = |at: f64| spring.force(at + 1e-3) - spring.force(at);
        assert!((per_millimetre(0.028) / 9.0 - 1.0).abs() < 1e-9);
        assert!(per_millimetre(0.031) > 50.0 * 9.0);
    }
}
