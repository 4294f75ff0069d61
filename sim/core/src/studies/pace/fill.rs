//! How long the mould takes to fill, pace by pace.

use super::window::{Window, paces};
use super::{Terms, fastest_solid, known_up_to, lost_of};
use crate::limits::{Clocks, Freezings, Limit, Reading, Standing, State, Unknown};
use crate::parallel::prelude::*;
use crate::studies::cooling::Cooling;
use crate::studies::judge::PACES;
use crate::studies::real_pace::CastAt;
use crate::turn::solve_for_limits;
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
    /// The turns at the pace at which the size is cast.
    pub at_pace: Option<Point>,
}

/// The fills at one pace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// The pace, turns/s.
    pub pace: f64,
    /// With the latch aside.
    pub aside: Side,
    /// With the latch set.
    pub set: Side,
    /// How long the fill may take.
    pub clocks: Clocks,
}

/// The fill with one setting of the latch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Fill time, s; none where the cast is spoilt or a limit of the machine is missed.
    pub time: Option<f64>,
    /// The limit, but for that of cooling, that stands most in the way; none where all are kept.
    pub lost: Option<Limit>,
    /// Whether the turn could be solved so that it can be trusted.
    pub is_known: bool,
}

impl Side {
    /// Whether all limits but that of cooling are kept.
    pub fn is_kept(&self) -> bool {
        self.lost.is_none() && self.is_known
    }
}

/// Fill times for a size, on all cores, up to the fastest pace at which there is such a machine.
///
/// # Errors
/// The faults of the statement.
pub fn fill_times(
    stated: &MachineStatement,
    sort: Sort,
    terms: Terms,
    at: CastAt,
) -> Result<FillTimes, Vec<Fault>> {
    let cooling = fastest_solid(stated, sort, terms.shut)?;
    let known = known_up_to(stated, sort).map_or(PACES.1, |(pace, _)| pace);
    let all: Vec<f64> =
        if known > PACES.0 { paces(Window { from: PACES.0, to: known }).collect() } else { vec![PACES.0] };
    let freezings = Freezings::on(&terms);
    let points = all
        .into_par_iter()
        .map(|pace| point(stated, sort, pace, &freezings))
        .collect::<Result<_, Vec<Fault>>>()?;
    let own = cooling.map(|_| at.pace(stated, sort)).transpose()?;
    let at_pace = own.map(|pace| point(stated, sort, pace.0, &freezings)).transpose()?;
    Ok(FillTimes { sort, cooling, points, at_pace })
}

fn point(
    stated: &MachineStatement,
    sort: Sort,
    pace: f64,
    freezings: &Freezings<'_>,
) -> Result<Point, Vec<Fault>> {
    let aside = Machine::prepare(stated, sort, Pace(pace), LatchSetting::Aside)?;
    let set = Machine { setting: LatchSetting::Set, ..aside.clone() };
    let terms = freezings.terms;
    let (clocks, solid) = freezings.of(&aside, Pace(pace));
    let side = |machine: &Machine| {
        let turn = solve_for_limits(machine, terms.accuracy);
        let standing = Standing::of((machine, &turn), &clocks, &solid, terms, Reading::Still);
        let works = !standing.in_the_way().any(|margin| margin.limit.is_of_machine());
        Side {
            time: turn.sound_fill_time().filter(|_| works),
            lost: lost_of(&standing),
            is_known: !standing.margins.iter().any(|m| m.state == State::NotKnown(Unknown::Untrusted)),
        }
    };
    Ok(Point { pace, aside: side(&aside), set: side(&set), clocks })
}
