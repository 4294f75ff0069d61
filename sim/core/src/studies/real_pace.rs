//! The pace at which a size is really cast: as fast as its metal cools, and as the machine runs.
//!
//! n = min(n_s/r, n_max), n_s the fastest pace that leaves the type solid through its middle ([`super::cooling`]), r a
//! reserve, n_max the fastest pace at which the machine is run.

use super::cooling::{Cooling, fastest_solid};
use super::judge::{Cast, PACES};
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

/// At which pace each size is cast: the one asked for, or where none is, its real pace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CastAt {
    /// The pace asked for.
    pub asked: Option<Pace>,
    /// The fastest pace at which the machine is run.
    pub fastest: Pace,
    /// Angle of the main shaft for which the mould stays shut after it is full.
    pub shut: Angle,
}

impl CastAt {
    /// The real pace of a size, whatever is asked.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn real(&self, stated: &MachineStatement, sort: Sort) -> Result<RealPace, Vec<Fault>> {
        Ok(real_pace(fastest_solid(stated, sort, self.shut)?, self.fastest))
    }

    /// The pace of a size.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn pace(&self, stated: &MachineStatement, sort: Sort) -> Result<Pace, Vec<Fault>> {
        self.asked.map_or_else(|| Ok(self.real(stated, sort)?.pace), Ok)
    }

    /// Each size at its pace, on all cores, in their order.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn casts(&self, stated: &MachineStatement, sorts: &[Sort]) -> Result<Vec<Cast>, Vec<Fault>> {
        sorts.par_iter().map(|&sort| Ok(Cast { sort, pace: self.pace(stated, sort)? })).collect()
    }
}
