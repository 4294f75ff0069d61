//! The hold-down: the pressure in the mould lifts the matrix, its spring or toggle holds it.

use crate::mould::Mould;

/// Lifting force on the matrix, N: p_cav × body × set, at cavity pressure `pressure` (Pa, gauge).
pub fn lifting_force(mould: &Mould, pressure: f64) -> f64 {
    pressure * mould.body * mould.set
}
