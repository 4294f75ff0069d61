//! How long the mould takes to fill, pace by pace.

use super::window::{Window, paces};
use super::{Terms, fastest_solid};
use crate::limits::Clocks;
use crate::parallel::prelude::*;
use crate::studies::cooling::Cooling;
use crate::studies::judge::PACES;
use crate::turn::{Finding, Turn, solve};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Pace;

/// Fill times of a size over [`PACES`].
#[derive(Debug, Clone, PartialEq)]
pub struct FillTimes {
    /// The size.
    pub sort: Sort,
    /// When its middle is solid, and the fastest pace for that.
    pub cooling: Option<Cooling>,
    /// The paces, slowest first.
    pub points: Vec<Point>,
    /// The turns at the fastest pace that leaves the type solid.
    pub at_cooling_limit: Option<Point>,
}

/// Fill times at one pace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// The pace, turns/s.
    pub pace: f64,
    /// Fill time with the latch aside, s; none where the cast is spoilt or the setting cannot work.
    pub aside: Option<f64>,
    /// Fill time with the latch set, s.
    pub set: Option<f64>,
    /// How long the fill may take, s.
    pub allowed: f64,
}

impl Point {
    /// Whether a fill time is within what is allowed.
    pub fn in_time(&self, time: Option<f64>) -> bool {
        time.is_some_and(|time| time <= self.allowed)
    }
}

/// Fill times for a size, on all cores.
///
/// # Errors
/// The faults of the statement.
pub fn fill_times(stated: &MachineStatement, sort: Sort, terms: Terms) -> Result<FillTimes, Vec<Fault>> {
    let cooling = fastest_solid(stated, sort, terms.shut)?;
    let all: Vec<f64> = paces(Window { from: PACES.0, to: PACES.1 }).collect();
    let points = all
        .into_par_iter()
        .map(|pace| point(stated, sort, pace, terms))
        .collect::<Result<_, Vec<Fault>>>()?;
    let limit = cooling.map(|cooling| cooling.pace.min(PACES.1));
    let at_cooling_limit = limit.map(|pace| point(stated, sort, pace, terms)).transpose()?;
    Ok(FillTimes { sort, cooling, points, at_cooling_limit })
}

fn point(stated: &MachineStatement, sort: Sort, pace: f64, terms: Terms) -> Result<Point, Vec<Fault>> {
    let machine = Machine::prepare(stated, sort, Pace(pace), LatchSetting::Aside)?;
    let allowed = Clocks::of(&machine, terms.acceptance).allowed;
    let aside = time(&solve(&machine, terms.accuracy));
    let set = time(&solve(&Machine { setting: LatchSetting::Set, ..machine }, terms.accuracy));
    Ok(Point { pace, aside, set, allowed })
}

/// Fill time, s, of a sound cast with a setting that can work.
fn time(turn: &Turn) -> Option<f64> {
    let works = !turn.findings.iter().any(Finding::faults_setting);
    turn.sound_fill_time().filter(|_| works)
}
