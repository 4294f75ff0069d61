//! How far a setting stays from what would spoil it: touching coils and a lifting matrix.

use crate::turn::Turn;
use latchstroke_models::machine::Machine;

/// The share of a spring's greatest squeeze that must be left before its coils touch. Customary in spring design (Shigley,
/// chapter 10, from memory: fractional overrun to closure of at least 0.15), since coils do not all close at once.
pub const OVERRUN: f64 = 0.15;

/// The share of the hold-down kept in hand when a length is recommended. Common practice, no source: the peak as the mould fills
/// is the least certain of the model's figures.
pub const HOLD_DOWN_RESERVE: f64 = 0.05;

/// Closing left, m, until the springs are squeezed so far that less than [`OVERRUN`] of their squeeze is left to the touch of
/// the coils, at a `closing` (m) from rest; the least of all springs whose free and solid lengths are known. Below zero the
/// margin is not kept.
pub fn coil_margin(machine: &Machine, closing: f64) -> Option<f64> {
    machine
        .springs
        .iter()
        .filter_map(|spring| {
            let solid_squeeze = spring.free_length? - spring.solid_length?;
            Some(solid_squeeze / (1.0 + OVERRUN) - (spring.rest_squeeze + closing))
        })
        .reduce(f64::min)
}

/// Force left, N, until the pressure lifts the matrix, be it for a moment; below zero it does. None where the hold-down is not
/// known.
pub fn hold_down_margin(machine: &Machine, turn: &Turn) -> Option<f64> {
    Some(machine.mould.hold_down? - turn.peaks.lifting_force.max(turn.hold_lifting_force))
}
