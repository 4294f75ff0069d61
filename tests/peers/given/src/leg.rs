//! The equations of one mode, as the guards of the solver's own events want them.

use latchstroke_models::machine::Machine;
use latchstroke_models::mode::Mode;
use latchstroke_models::state::Scales;

/// The equations of one mode.
pub struct Equations<'a> {
    pub machine: &'a Machine,
    pub mode: Mode,
    pub scales: Scales,
}

impl Equations<'_> {
    /// The shaft's angle at `t` (s), rad.
    pub fn angle(&self, t: f64) -> f64 {
        self.machine.shaft_speed * t
    }
}
