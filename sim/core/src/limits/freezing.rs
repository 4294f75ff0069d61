//! The freezing of metal, solved once for each mould and metal: the paces and settings of one size share it.

use super::Clocks;
use crate::studies::cooling::{Cooling, cooling};
use crate::studies::judge::{Solid, Terms};
use latchstroke_models::machine::Machine;
use latchstroke_models::metal::Metal;
use latchstroke_models::mould::Mould;
use latchstroke_models::units::Pace;
use std::sync::{Mutex, PoisonError};

/// The clocks and the cooling of every mould and metal met so far, on one set of terms.
///
/// Neither hangs on how the machine moves; where cooling water sets the wall's temperature, that is part of the mould.
pub struct Freezings<'a> {
    /// What is asked of every cast alike.
    pub terms: &'a Terms,
    known: Mutex<Vec<Known>>,
}

#[derive(Clone)]
struct Known {
    metal: Metal,
    mould: Mould,
    clocks: Clocks,
    cooling: Option<Cooling>,
}

impl<'a> Freezings<'a> {
    /// None met yet.
    pub fn on(terms: &'a Terms) -> Self {
        Self { terms, known: Mutex::default() }
    }

    /// The clocks of a machine prepared for its cast at a pace, and whether the type is solid in time.
    pub fn of(&self, machine: &Machine, pace: Pace) -> (Clocks, Solid) {
        let is_it = |known: &&Known| known.mould == machine.mould && known.metal == machine.metal;
        let met = self.list().iter().find(is_it).cloned();
        let known = met.unwrap_or_else(|| {
            // Solved without the lock: two threads may solve the same, and come to the same.
            let known = Known {
                metal: machine.metal,
                mould: machine.mould,
                clocks: Clocks::of(machine, self.terms.acceptance),
                cooling: cooling(machine, self.terms.shut),
            };
            self.list().push(known.clone());
            known
        });
        (known.clocks, Solid::at(known.cooling, self.terms.shut, pace))
    }

    fn list(&self) -> std::sync::MutexGuard<'_, Vec<Known>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
