//! The freezing of metal, solved once for each mould and metal: the paces and settings of one size share it.

use super::Clocks;
use crate::studies::cooling::{Cooling, cooling, fastest_solid_by};
use crate::studies::judge::{Solid, Terms};
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::metal::Metal;
use latchstroke_models::mould::{Mould, Sort};
use latchstroke_models::units::Pace;
use std::sync::{Mutex, PoisonError};

/// The clocks and the cooling of every mould and metal met so far, on one set of terms.
///
/// Neither hangs on how the machine moves; where cooling water sets the wall's temperature, that is part of the mould.
pub struct Freezings<'a> {
    /// What is asked of every cast alike.
    pub terms: &'a Terms,
    clocks: Met<Clocks>,
    coolings: Met<Option<Cooling>>,
}

impl<'a> Freezings<'a> {
    /// None met yet.
    pub fn on(terms: &'a Terms) -> Self {
        Self { terms, clocks: Met::default(), coolings: Met::default() }
    }

    /// The clocks of a machine prepared for its cast at a pace, and whether the type is solid in time.
    pub fn of(&self, machine: &Machine, pace: Pace) -> (Clocks, Solid) {
        let clocks = self.clocks.of(machine, |machine| Clocks::of(machine, self.terms.acceptance));
        (clocks, self.solid(machine, pace))
    }

    /// Whether the type of a machine prepared for its cast at a pace is solid in time.
    pub fn solid(&self, machine: &Machine, pace: Pace) -> Solid {
        Solid::at(self.cooling(machine), self.terms.shut, pace)
    }

    /// As [`fastest_solid`](crate::studies::cooling::fastest_solid) has it.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn fastest_solid(
        &self,
        stated: &MachineStatement,
        sort: Sort,
    ) -> Result<Option<Cooling>, Vec<Fault>> {
        fastest_solid_by(stated, sort, self.terms.shut, |machine| self.cooling(machine))
    }

    fn cooling(&self, machine: &Machine) -> Option<Cooling> {
        self.coolings.of(machine, |machine| cooling(machine, self.terms.shut))
    }
}

/// What has been solved for each mould and metal.
struct Met<T>(Mutex<Vec<(Mould, Metal, T)>>);

impl<T> Default for Met<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T: Copy> Met<T> {
    fn of(&self, machine: &Machine, solve: impl FnOnce(&Machine) -> T) -> T {
        let is_it =
            |(mould, metal, _): &&(Mould, Metal, T)| *mould == machine.mould && *metal == machine.metal;
        let met = self.list().iter().find(is_it).map(|(.., solved)| *solved);
        met.unwrap_or_else(|| {
            // Solved without the lock: two threads may solve the same, and come to the same.
            let solved = solve(machine);
            self.list().push((machine.mould, machine.metal, solved));
            solved
        })
    }

    fn list(&self) -> std::sync::MutexGuard<'_, Vec<(Mould, Metal, T)>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::demo;
    use latchstroke_models::latch::LatchSetting;

    #[test]
    fn each_mould_and_metal_is_solved_once() {
        let machine = |points: f64| demo(points, 1.0, LatchSetting::Set);
        let (small, large) = (machine(8.0), machine(24.0));
        let mut other = machine(8.0);
        other.metal.pot_temperature += 10.0;
        let met = Met::<u32>::default();
        for round in 0..2 {
            for (number, machine) in [&small, &large, &other].into_iter().enumerate() {
                let solved = met.of(machine, |_| 10 * round + u32::try_from(number).expect("three"));
                assert_eq!(solved as usize, number);
            }
        }
    }
}
