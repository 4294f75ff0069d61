//! Fatigue of a spring's wire between its force at rest and its greatest force.
//!
//! Goodman's line in shear, 1/n = τ_a/S_se + τ_m/S_su, drawn through the endurance that F. P. Zimmerli measured on springs of
//! steel wire below 10 mm that were not shot-peened: amplitude 241 MPa about a mean of 379 MPa, whatever the steel. The line's
//! foot on the amplitude axis is then S_se = 241 MPa/(1 − 379 MPa/S_su). Source: R. G. Budynas and J. K. Nisbett, *Shigley's
//! Mechanical Engineering Design*, chapter 10. Left out: rust, heat, nicks in the wire, and wire of anything but steel, each of
//! which may halve a spring's life or worse.

use super::Wire;

/// Shear stress amplitude that springs not shot-peened stand for ever about [`ENDURED_MEAN`], Pa (35 kpsi).
pub const ENDURED_AMPLITUDE: f64 = 241e6;
/// The mean shear stress that goes with it, Pa (55 kpsi).
pub const ENDURED_MEAN: f64 = 379e6;
/// Torsional strength of spring wire over its torsional yield strength, 0.67 S_ut over 0.45 S_ut (music wire and hard-drawn
/// wire).
pub const STRENGTH_OVER_YIELD: f64 = 0.67 / 0.45;

/// Foot S_se of Goodman's line on the amplitude axis, Pa, for wire of torsional strength `strength` S_su (Pa); none for wire
/// no stronger than the mean stress of the measured endurance, for which there are no data.
pub fn endurance(strength: f64) -> Option<f64> {
    (strength > ENDURED_MEAN).then(|| ENDURED_AMPLITUDE / (1.0 - ENDURED_MEAN / strength))
}

/// Goodman's safety factor 1/(τ_a/S_se + τ_m/S_su) for a stress amplitude and a mean stress, all Pa. Above 1 the wire should
/// last for ever.
pub fn goodman(amplitude: f64, mean: f64, endurance: f64, strength: f64) -> f64 {
    1.0 / (amplitude / endurance + mean / strength)
}

impl Wire {
    /// Safety against fatigue as the force swings between `least` and `greatest` (N), each stress with the factor of EN 13906-1.
    /// `allowable` (Pa) is the shear stress the wire may bear, taken for its torsional yield strength; the strength is
    /// [`STRENGTH_OVER_YIELD`] times that. None where there are no data for so weak a wire.
    pub fn fatigue_safety(&self, least: f64, greatest: f64, allowable: f64) -> Option<f64> {
        let strength = STRENGTH_OVER_YIELD * allowable;
        let stress = |force: f64| self.en_factor() * self.stress(force);
        let (amplitude, mean) = (stress(0.5 * (greatest - least)), stress(0.5 * (greatest + least)));
        Some(goodman(amplitude, mean, endurance(strength)?, strength))
    }
}
