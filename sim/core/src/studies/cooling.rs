//! How fast the machine may turn for the type to be solid through its middle before the mould opens.
//!
//! The type cools as [`Casting`] has it, from the mould being full. The mould stays shut for the angle α of the main shaft, so
//! with the middle solid after t_s the fastest pace is n = α/(2π·t_s) turns/s. On the fast side: the casting stays against the
//! wall (no gap opens), and the metal is solid in its middle but no colder.

use super::judge::PACES;
use crate::roots::crossing;
use latchstroke_models::cooling_water::Balance;
use latchstroke_models::fault::Fault;
use latchstroke_models::freezing::casting::{Casting, Cooled};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Angle, Pace};
use std::f64::consts::TAU;

/// How closely the wall's temperature is found where the pace and it follow from each other, K: a ten-thousandth of the pace
/// with the wall some ten kelvin below where nothing freezes any more.
const CLOSENESS: f64 = 1e-3;

/// How a sort cools in the shut mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    /// t_s, s: from mould full until the middle is at its solidus.
    pub time: f64,
    /// The fastest pace at which the mould stays shut that long, turns/s.
    pub pace: f64,
    /// Ejection temperature at that pace, K: the mean of the type as the mould opens.
    pub ejection: f64,
    /// Heat of a cast at that pace, J.
    pub heat: f64,
}

impl Cooling {
    /// With the mould shut for `share` of a turn.
    fn of(solid: Cooled, share: f64) -> Self {
        Self {
            time: solid.time,
            pace: share / solid.time,
            ejection: solid.mean_temperature,
            heat: solid.heat,
        }
    }
}

/// Cooling of the sort a machine is prepared for, at the wall temperature it is prepared with, the mould staying `shut` for an
/// angle of the main shaft from mould full.
///
/// None where the middle is still not solid at the slowest of [`PACES`].
pub fn cooling(machine: &Machine, shut: Angle) -> Option<Cooling> {
    let share = shut.0 / TAU;
    let solid =
        Casting::of(&machine.metal, &machine.mould).solid(machine.mould.wall_temperature, share / PACES.0)?;
    Some(Cooling::of(solid, share))
}

/// Heat, J, that a cast of the sort and pace a machine is prepared for gives its mould.
pub fn heat_of_cast(machine: &Machine, shut: Angle) -> f64 {
    let casting = Casting::of(&machine.metal, &machine.mould);
    casting.heat_given(machine.mould.wall_temperature, shut.0 / machine.shaft_speed)
}

/// Cooling of a sort at the fastest pace that leaves it solid through its middle.
///
/// Where water cools the mould, its temperature rises with the pace ([`Balance`]), the time to a solid middle with it, and the
/// time for which the mould stays shut falls: one pace divides those that leave the type solid from those that do not. At it
/// the wall is as warm as the casts that are just solid make it, n·Q = U·(T − T_0) with n = α/(2π·t_s(T)) and Q the heat given
/// by t_s, so the wall's temperature is found as the root of that. A type still solid at the fastest of [`PACES`] has that for
/// its pace. `shut` must be the angle of the mould's cooling water.
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
    fastest_solid_by(stated, sort, shut, |machine| cooling(machine, shut))
}

/// The same, the [`cooling`] of a machine asked of whoever may know it.
pub(crate) fn fastest_solid_by(
    stated: &MachineStatement,
    sort: Sort,
    shut: Angle,
    cooling: impl FnOnce(&Machine) -> Option<Cooling>,
) -> Result<Option<Cooling>, Vec<Fault>> {
    let prepared = |pace: f64| Machine::prepare(stated, sort, Pace(pace), LatchSetting::Aside);
    let machine = prepared(PACES.0)?;
    let slowest = cooling(&machine);
    let Some(balance) = machine.mould.balance else { return Ok(slowest) };
    if slowest.is_none_or(|cooling| cooling.pace < PACES.0) {
        return Ok(None);
    }
    // A mould too hot to freeze anything at the fastest pace is a fault, and lets nothing become solid.
    let fastest = prepared(PACES.1).ok().and_then(|machine| solid_at(&machine, PACES.1, shut));
    Ok(fastest.or_else(|| settled(&machine, &balance, shut)))
}

/// The cooling of a machine prepared for `pace` (turns/s), where the type is solid before the mould opens at it.
fn solid_at(machine: &Machine, pace: f64, shut: Angle) -> Option<Cooling> {
    let open = shut.0 / TAU / pace;
    let casting = Casting::of(&machine.metal, &machine.mould);
    let solid = casting.solid(machine.mould.wall_temperature, open)?;
    let opened = casting.after(machine.mould.wall_temperature, open)?;
    Some(Cooling { time: solid.time, pace, ejection: opened.mean_temperature, heat: opened.heat })
}

/// The cooling whose own pace keeps the wall as warm as it is.
fn settled(machine: &Machine, balance: &Balance, shut: Angle) -> Option<Cooling> {
    let casting = Casting::of(&machine.metal, &machine.mould);
    let share = shut.0 / TAU;
    let at = |wall: f64| casting.solid(wall, share / PACES.0).map(|solid| Cooling::of(solid, share));
    // Heat gained over heat lost, W; a wall against which nothing becomes solid gains none.
    let gain = |wall: f64| {
        let gained = at(wall).map_or(0.0, |cooling| cooling.pace * cooling.heat);
        gained - balance.water.loss() * (wall - balance.water.idle())
    };
    let (cold, hot) = (machine.mould.wall_temperature, machine.metal.solidus);
    // From the cold end, so that the answer lies where the mould would rather be cooler, and the type is solid.
    at(crossing(gain, cold, hot, CLOSENESS)?)
}
