//! At which paces can a size be cast, and with the latch aside or set?
//!
//! Two things bound the pace. The mould must fill in time, which with the latch aside takes a fast cam; and the type must be
//! solid through its middle before the mould opens, which takes a slow turn ([`super::cooling`]). Whether a setting fills in
//! time is [`will_do`], as the judge has it, so both agree.

mod fill;
mod map;
mod window;

pub use fill::{FillTimes, Point, fill_times};
pub use map::{ROWS, SizeMap, size_map};
pub use window::Window;

use super::cooling::{Cooling, fastest_solid};
use super::judge::{Acceptance, Limits, PACES, will_do};
use super::watch::Watch;
use crate::parallel::prelude::*;
use crate::roots::crossing;
use crate::turn::{Accuracy, Turn, solve};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Angle, Length, POINT, Pace};
use window::{CLOSENESS, search, within, without};

/// What is asked of every size alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// α: angle of the main shaft for which the mould stays shut after it is full.
    pub shut: Angle,
    /// How closely turns are solved.
    pub accuracy: Accuracy,
}

/// The paces for one size, within [`PACES`]; windows slowest first.
#[derive(Debug, Clone, PartialEq)]
pub struct SizePaces {
    /// The size.
    pub sort: Sort,
    /// When its middle is solid, and the fastest pace for that; none when even the slowest pace is too fast.
    pub cooling: Option<Cooling>,
    /// Where the mould fills in time with the latch aside, solid in the end or not.
    pub fills_aside: Vec<Window>,
    /// Where it does with the latch set.
    pub fills_set: Vec<Window>,
    /// Where the latch may stand aside: it fills in time and the type is solid.
    pub aside: Vec<Window>,
    /// Where the latch must be set: aside does not fill in time, set does, and the type is solid.
    pub set: Vec<Window>,
    /// Where the type would be solid but neither setting fills in time.
    pub gaps: Vec<Window>,
}

impl SizePaces {
    /// Whether some pace does.
    pub fn can_be_cast(&self) -> bool {
        !(self.aside.is_empty() && self.set.is_empty())
    }

    /// Where the type is not solid as the mould opens.
    pub fn too_fast(&self) -> Option<Window> {
        let from = self.cooling.map_or(PACES.0, |cooling| cooling.pace);
        (from < PACES.1).then_some(Window { from, to: PACES.1 })
    }
}

/// The paces for each size, on all cores; the answers stand in the order of the sizes.
///
/// # Errors
/// The faults of the statement.
pub fn size_paces(
    stated: &MachineStatement,
    sorts: &[Sort],
    terms: Terms,
) -> Result<Vec<SizePaces>, Vec<Fault>> {
    sorts.par_iter().map(|&sort| paces_of(stated, sort, terms)).collect()
}

/// As [`size_paces`], with someone who follows it size by size; none when it was called off.
///
/// # Errors
/// The faults of the statement.
pub fn size_paces_watched(
    stated: &MachineStatement,
    sorts: &[Sort],
    terms: Terms,
    watch: &dyn Watch,
) -> Result<Option<Vec<SizePaces>>, Vec<Fault>> {
    sorts
        .par_iter()
        .map(|&sort| {
            if watch.called_off() {
                return Ok(None);
            }
            let paces = paces_of(stated, sort, terms)?;
            watch.advance(1);
            Ok(Some(paces))
        })
        .collect()
}

fn paces_of(stated: &MachineStatement, sort: Sort, terms: Terms) -> Result<SizePaces, Vec<Fault>> {
    let all = Window { from: PACES.0, to: PACES.1 };
    let cooling = fastest_solid(stated, sort, terms.shut)?;
    let fills = |setting| search(|pace| slack(stated, sort, setting, pace, terms), all);
    let (fills_aside, fills_set) = (fills(LatchSetting::Aside), fills(LatchSetting::Set));
    let solid = cooling.map(|cooling| Window { to: cooling.pace.min(PACES.1), ..all });
    let up_to_solid = |windows: &[Window]| solid.map_or(Vec::new(), |range| within(windows, range));
    let aside = up_to_solid(&fills_aside);
    let set = without(&up_to_solid(&fills_set), &fills_aside);
    let gaps = without(&without(&up_to_solid(&[all]), &fills_aside), &fills_set);
    Ok(SizePaces { sort, cooling, fills_aside, fills_set, aside, set, gaps })
}

/// What a cast that never fills, or a setting that cannot work, lacks: as if ten times too late.
const HOPELESS: f64 = -std::f64::consts::LN_10;

/// How much sooner than it must a setting fills at a pace (turns/s), as a logarithm; below zero it does not do.
fn slack(stated: &MachineStatement, sort: Sort, setting: LatchSetting, pace: f64, terms: Terms) -> f64 {
    let Ok(machine) = Machine::prepare(stated, sort, Pace(pace), setting) else { return HOPELESS };
    let allowed = Limits::of(&machine, terms.acceptance).allowed;
    let turn: Turn = solve(&machine, terms.accuracy);
    let early = turn.sound_fill_time().map_or(HOPELESS, |time| (allowed / time).ln().clamp(HOPELESS, 5.0));
    if early >= 0.0 && !will_do(&turn, allowed) { HOPELESS } else { early }
}

/// The bodies searched for the largest, m: 3 to 100 points.
const BODIES: (f64, f64) = (3.0 * POINT, 100.0 * POINT);

/// How large a setting reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reach {
    /// Not even the smallest body searched (3 points).
    NoSize,
    /// Up to this body, m.
    UpTo(f64),
    /// Even the largest body searched (100 points).
    EverySize,
}

/// The largest size a setting casts at the fastest pace that leaves the type solid, the pace at which the cam drives hardest.
/// Sizes have the set width `proportion` × body.
///
/// # Errors
/// The faults of the statement.
pub fn largest_size(
    stated: &MachineStatement,
    proportion: f64,
    setting: LatchSetting,
    terms: Terms,
) -> Result<Reach, Vec<Fault>> {
    let at = |body: f64| -> Result<f64, Vec<Fault>> {
        let sort = Sort { body: Length(body), set: Length(body * proportion) };
        Ok(fastest_solid(stated, sort, terms.shut)?
            .map_or(HOPELESS, |cooling| slack(stated, sort, setting, cooling.pace.min(PACES.1), terms)))
    };
    if at(BODIES.0)? < 0.0 {
        return Ok(Reach::NoSize);
    }
    // The statement holds at one end; sizes further on differ in nothing that could be at fault.
    let value = |log: f64| at(log.exp()).unwrap_or(f64::NAN);
    // From the large end to the small, so that the answer lies where the setting does.
    Ok(crossing(value, BODIES.1.ln(), BODIES.0.ln(), CLOSENESS)
        .map_or(Reach::EverySize, |log| Reach::UpTo(log.exp())))
}
