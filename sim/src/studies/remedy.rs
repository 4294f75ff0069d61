//! What would do where neither setting of the latch does: one thing changed at a time, by as little as it takes.

use super::judge::{Acceptance, Cast, Limits, PACES, will_do};
use crate::roots::crossing;
use crate::turn::{Accuracy, Turn, solve};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::{LatchSetting, TripStatement};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::spring::PreloadStatement;
use latchstroke_models::units::{Force, Length, Pace, Temperature};
use rayon::prelude::*;

/// What may be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// A faster pace, latch aside.
    Pace,
    /// More preload on the springs, latch set.
    Preload,
    /// Another trip lift, latch set: a greater one (a shorter sleeve), or the greatest the cam can reach where the latch now
    /// never lets go.
    TripLift,
    /// A hotter pot, latch set.
    PotTemperature,
}

impl Change {
    /// Every change that is tried, in the order an owner would.
    pub const ALL: [Self; 4] = [Self::Pace, Self::TripLift, Self::Preload, Self::PotTemperature];

    /// The latch setting that goes with it.
    pub fn setting(self) -> LatchSetting {
        match self {
            Self::Pace => LatchSetting::Aside,
            Self::Preload | Self::TripLift | Self::PotTemperature => LatchSetting::Set,
        }
    }
}

/// What one change does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remedy {
    /// What is changed.
    pub change: Change,
    /// The value now, SI.
    pub now: f64,
    /// The least value that does, SI; none when even the greatest tried does not.
    pub needed: Option<f64>,
    /// The furthest value tried, SI.
    pub tried: f64,
}

/// The greatest preload tried, as a multiple of the present one.
const MOST_PRELOAD: f64 = 4.0;
/// The greatest trip lift tried, as a share of the cam's lift.
const MOST_TRIP: f64 = 0.97;
/// The hottest pot tried, K: 430 °C. Common practice, no source: hotter metal drosses and fumes.
const HOTTEST_POT: f64 = 430.0 + 273.15;
/// How closely a value is found, as a share of the range.
const CLOSENESS: f64 = 1e-3;

/// Tries every change for a cast.
///
/// # Errors
/// The faults of the statement.
pub fn remedies(
    stated: &MachineStatement,
    cast: Cast,
    acceptance: Acceptance,
    accuracy: Accuracy,
) -> Result<Vec<Remedy>, Vec<Fault>> {
    let machine = Machine::prepare(stated, cast.sort, cast.pace, LatchSetting::Set)?;
    Ok(Change::ALL
        .par_iter()
        .map(|&change| {
            let (now, tried) = range(change, &machine, cast);
            // Lateness of the cast with the value changed; a statement that cannot be is no remedy.
            let late = |value: f64| {
                let (changed, pace) = apply(stated, &machine, cast, change, value);
                Machine::prepare(&changed, cast.sort, pace, change.setting()).map_or(1.0, |machine| {
                    excess(&solve(&machine, accuracy), Limits::of(&machine, acceptance).allowed)
                })
            };
            let beyond_reach = change == Change::TripLift && now > tried;
            let needed = if beyond_reach {
                (late(tried) <= 0.0).then_some(tried)
            } else if tried > now {
                crossing(late, now, tried, CLOSENESS * (tried - now))
            } else {
                None
            };
            Remedy { change, now, needed, tried }
        })
        .collect())
}

/// Below zero when the turn will do, else above it, as smoothly as the fill time allows.
fn excess(turn: &Turn, allowed: f64) -> f64 {
    let late = turn.sound_fill_time().map_or(2.0, |t| (t / allowed).ln());
    // A setting that cannot work is no remedy, however fast it fills.
    if late <= 0.0 && !will_do(turn, allowed) { 2.0 } else { late }
}

fn range(change: Change, machine: &Machine, cast: Cast) -> (f64, f64) {
    match change {
        Change::Pace => (cast.pace.0, PACES.1),
        Change::Preload => (machine.preload(), MOST_PRELOAD * machine.preload()),
        Change::TripLift => (machine.latch.trip_lift, MOST_TRIP * machine.cam.lift()),
        Change::PotTemperature => (machine.metal.pot_temperature, HOTTEST_POT),
    }
}

fn apply(
    stated: &MachineStatement,
    machine: &Machine,
    cast: Cast,
    change: Change,
    value: f64,
) -> (MachineStatement, Pace) {
    let mut changed = stated.clone();
    let mut pace = cast.pace;
    match change {
        Change::Pace => pace = Pace(value),
        Change::Preload => {
            let share = value / machine.preload();
            for (spring, prepared) in changed.springs.iter_mut().zip(&machine.springs) {
                let force = share * prepared.rate * prepared.rest_squeeze.max(0.0);
                spring.preload = PreloadStatement::Force(Force(force));
            }
        }
        Change::TripLift => changed.latch.trip = TripStatement::Lift(Length(value)),
        Change::PotTemperature => changed.metal.pot_temperature = Temperature(value),
    }
    (changed, pace)
}
