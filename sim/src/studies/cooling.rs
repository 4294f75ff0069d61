//! How fast the machine may turn for the type to be solid through its middle before the mould opens.
//!
//! The clock starts as the mould is full, all of the metal still at the pot's temperature. Half the lesser of body and set
//! then cools against the mould's wall through its heat transfer, as [`Slab`] solves it. The mould stays shut for the angle α
//! of the main shaft, so with the middle solid after t_s the fastest pace is n = α/(2π·t_s) turns/s.
//!
//! On the slow side: a square sort loses heat through all four sides and is solid in about half the time where the interface
//! rules. On the fast side: the casting stays against the wall (no gap opens), and the metal is solid in its middle but no
//! colder.

use super::judge::PACES;
use latchstroke_models::fault::Fault;
use latchstroke_models::freezing::interface::Interface;
use latchstroke_models::freezing::slab::{End, Slab, Walls};
use latchstroke_models::freezing::substance::Substance;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Angle, Pace};
use std::f64::consts::TAU;

/// How a sort cools in the shut mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    /// t_s, s: from mould full until the middle is at its solidus.
    pub time: f64,
    /// The fastest pace at which the mould stays shut that long, turns/s.
    pub pace: f64,
}

/// Cooling of the sort a machine is prepared for, the mould staying `shut` for an angle of the main shaft from mould full.
///
/// None where the middle is still not solid at the slowest of [`PACES`].
///
/// # Errors
/// The faults of the slab; a machine that was prepared has none.
pub fn cooling(machine: &Machine, shut: Angle) -> Result<Option<Cooling>, Vec<Fault>> {
    let mould = &machine.mould;
    let walls =
        Walls { temperature: mould.wall_temperature, interface: Interface::Constant(mould.heat_transfer) };
    let half = 0.5 * mould.body.min(mould.set);
    let slab = Slab::new(Substance::of_metal(&machine.metal), walls, half)?;
    let share = shut.0 / TAU;
    let end = End::MiddleSolid { give_up: share / PACES.0 };
    let course = slab.course(|_| machine.metal.pot_heat, machine.metal.sealing_fraction, end);
    Ok(course.middle_solid.map(|time| Cooling { time, pace: share / time }))
}

/// Cooling of a sort at the fastest pace that leaves it solid through its middle.
///
/// None where the middle is still not solid at the slowest of [`PACES`].
///
/// # Errors
/// The faults of the statement.
pub fn fastest_solid(
    stated: &MachineStatement,
    sort: Sort,
    shut: Angle,
) -> Result<Option<Cooling>, Vec<Fault>> {
    cooling(&Machine::prepare(stated, sort, Pace(PACES.0), LatchSetting::Aside)?, shut)
}
