//! Strength against a force that comes and goes.

/// How much a cut thread weakens mild steel against fatigue.
///
/// Source: R. G. Budynas and J. K. Nisbett, *Shigley's Mechanical Engineering Design*, table of fatigue stress-concentration
/// factors for threaded elements: SAE grades 0 to 2, cut threads 2.8 (from memory). It covers notch and surface.
const CUT_THREAD_NOTCH_FACTOR: f64 = 2.8;

/// Endurance limit of a polished steel specimen in bending as a share of the tensile strength (Shigley, chapter 6; from memory).
const ENDURANCE: f64 = 0.5;
/// Endurance in push and pull as a share of that in bending (Shigley, chapter 6, load factor for axial loading; from memory).
const AXIAL: f64 = 0.85;

/// A stress that swings between two values once a turn, Pa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cycle {
    /// The lesser stress, Pa.
    pub least: f64,
    /// The greater stress, Pa.
    pub greatest: f64,
}

impl Cycle {
    /// Half the swing σ_a, Pa.
    pub fn amplitude(&self) -> f64 {
        0.5 * (self.greatest - self.least)
    }

    /// The mean σ_m, Pa.
    pub fn mean(&self) -> f64 {
        0.5 * (self.greatest + self.least)
    }
}

/// Endurance limit, Pa, of a cut thread in steel of `tensile_strength` (Pa) under an axial load: 0.85·0.5·S_u/2.8.
pub fn cut_thread_endurance(tensile_strength: f64) -> f64 {
    AXIAL * ENDURANCE * tensile_strength / CUT_THREAD_NOTCH_FACTOR
}

/// Safety against fatigue by the modified Goodman line, 1/(σ_a/S_e + σ_m/S_u), for an `endurance` limit S_e and a
/// `tensile_strength` S_u (Pa). Above one, the swing can go on for ever.
///
/// Source: Shigley, equation 8-42 for bolts.
pub fn goodman_safety(cycle: Cycle, endurance: f64, tensile_strength: f64) -> f64 {
    1.0 / (cycle.amplitude() / endurance + cycle.mean() / tensile_strength)
}
