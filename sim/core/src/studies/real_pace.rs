//! The pace at which a size is really cast: as fast as its metal cools, and as the machine runs.
//!
//! n = min(n_s/r, n_max), n_s the fastest pace that leaves the type solid through its middle ([`super::cooling`]), r a
//! reserve, n_max the fastest pace at which the machine is run.

use super::cooling::{Cooling, fastest_solid};
use super::judge::PACES;
use crate::parallel::prelude::*;
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Angle, Pace};

/// r: how far below the cooling limit a careful caster stays. Common practice, no source: a mould warms up by some degrees in a
/// run, and a caster who has found the pace at which types break hollow slows down by about a tenth.
pub const RESERVE: f64 = 1.1;

/// What keeps a pace from being faster.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetBy {
    /// The type must be solid before the mould opens.
    Cooling,
    /// The machine is not run faster.
    Machine,
    /// Not even the slowest of [`PACES`] leaves the type solid; that one stands in its place.
    Nothing,
}

/// The pace at which a size is really cast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RealPace {
    /// The pace.
    pub pace: Pace,
    /// What keeps it from being faster.
    pub set_by: SetBy,
}

/// The real pace of a sort that cools so, on a machine run no faster than `fastest`.
pub fn real_pace(cooling: Option<Cooling>, fastest: Pace) -> RealPace {
    let Some(cooling) = cooling else {
        return RealPace { pace: Pace(PACES.0.min(fastest.0)), set_by: SetBy::Nothing };
    };
    let cooled = cooling.pace / RESERVE;
    if cooled <= fastest.0 {
        RealPace { pace: Pace(cooled), set_by: SetBy::Cooling }
    } else {
        RealPace { pace: fastest, set_by: SetBy::Machine }
    }
}

/// How each sort cools, on all cores; the answers stand in the order of the sorts.
///
/// # Errors
/// The faults of the statement.
pub fn coolings(
    stated: &MachineStatement,
    sorts: &[Sort],
    shut: Angle,
) -> Result<Vec<Option<Cooling>>, Vec<Fault>> {
    sorts.par_iter().map(|&sort| fastest_solid(stated, sort, shut)).collect()
}
