//! What a sleeve of a given length does for each size to be cast.

use super::super::judge::{Limits, will_do};
use super::super::margins::{HOLD_DOWN_RESERVE, coil_margin, hold_down_margin};
use super::Question;
use crate::parallel::prelude::*;
use crate::turn::{Finding, Turn, solve};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::{FULL, Sort};

/// What one length does.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// S, m.
    pub sleeve: f64,
    /// E, m.
    pub extension: f64,
    /// y_trip, m.
    pub trip_lift: f64,
    /// Piston travel that the springs alone can drive, i·y_trip, m.
    pub snap_travel: f64,
    /// Snap volume i·A_p·y_trip, m³.
    pub snap_volume: f64,
    /// Force of the springs at rest, N.
    pub preload: f64,
    /// Closing left from the trip until coils touch, m, where the springs' lengths are known.
    pub room_at_trip: Option<f64>,
    /// Closing left until coils touch if the rod were held over the whole lift of the cam, m.
    pub room_over_lift: Option<f64>,
    /// The casts, latch set, in the order of the sizes.
    pub casts: Vec<Cast>,
}

/// One size cast with one length, latch set.
#[derive(Debug, Clone, PartialEq)]
pub struct Cast {
    /// The size.
    pub sort: Sort,
    /// The turn.
    pub turn: Turn,
    /// How long the fill may take, s.
    pub allowed: f64,
    /// Whether it casts sound in time, with a latch that works.
    pub will_do: bool,
    /// Share of a full mould reached before the rod had caught up with the cross block, as solved; 1 where all of it.
    pub filled_by_springs: f64,
    /// Closing left until the customary margin to coil binding is used up, m.
    pub coil_margin: Option<f64>,
    /// Force left until the matrix lifts, N.
    pub hold_down_margin: Option<f64>,
    /// Hold-down force, N, where stated.
    pub hold_down: Option<f64>,
}

impl Step {
    /// Greatest load on the latch as it lets go, N; none where it never does.
    pub fn latch_load(&self) -> Option<f64> {
        self.casts.iter().filter_map(|cast| Some(cast.turn.throw?.latch_load)).reduce(f64::max)
    }

    /// Energy in the springs at let-go above that at rest, J.
    pub fn stored_energy(&self) -> Option<f64> {
        self.casts.iter().filter_map(|cast| Some(cast.turn.throw?.stored_energy)).reduce(f64::max)
    }

    /// Closing left until coils touch, m: the least over the turns of all sizes.
    pub fn room_in_turn(&self) -> Option<f64> {
        let room = self.room_at_trip? + self.trip_lift;
        let closing = self.casts.iter().map(|cast| cast.turn.peaks.spring_closing).reduce(f64::max)?;
        Some(room - closing)
    }

    /// The first finding, over all sizes, that faults the setting itself.
    pub fn fault(&self) -> Option<Finding> {
        let all = self.casts.iter().flat_map(|cast| &cast.turn.findings);
        all.copied().find(Finding::faults_setting)
    }

    /// How well the margin to coil binding is kept, over all sizes, in parts of the trip lift: at least zero where it is.
    pub fn coil_margin(&self) -> f64 {
        self.casts
            .iter()
            .filter_map(|cast| Some(cast.coil_margin? / self.trip_lift.max(1e-3)))
            .fold(1.0, f64::min)
    }

    /// How well the reserve of hold-down is kept, over all sizes, in parts of the hold-down: at least zero where it is.
    pub fn hold_down_margin(&self) -> f64 {
        self.casts.iter().filter_map(Cast::hold_down_share).fold(1.0, f64::min) - HOLD_DOWN_RESERVE
    }

    /// The lesser of both.
    pub fn margin(&self) -> f64 {
        self.coil_margin().min(self.hold_down_margin())
    }
}

impl Cast {
    /// Share of the hold-down left until the matrix lifts, where it is stated.
    pub fn hold_down_share(&self) -> Option<f64> {
        Some(self.hold_down_margin? / self.hold_down?)
    }
}

/// What each of `lengths` (m) does, the rod lengthened by as much, in their order.
///
/// # Errors
/// The faults of the statement.
pub fn sweep(question: &Question<'_>, lengths: &[f64]) -> Result<Vec<Step>, Vec<Fault>> {
    lengths.par_iter().map(|&length| at_length(question, length)).collect()
}

/// What one `length` (m) does, the rod lengthened by as much.
///
/// # Errors
/// The faults of the statement.
pub fn at_length(question: &Question<'_>, length: f64) -> Result<Step, Vec<Fault>> {
    step(question, &question.with_sleeve(length))
}

/// What the machine does with the sleeve and the extension it has.
///
/// # Errors
/// The faults of the statement.
pub fn as_stated(question: &Question<'_>) -> Result<Step, Vec<Fault>> {
    step(question, question.stated)
}

fn step(question: &Question<'_>, stated: &MachineStatement) -> Result<Step, Vec<Fault>> {
    let machines = question
        .sorts
        .iter()
        .map(|&sort| Ok((sort, question.machine(stated, sort, LatchSetting::Set)?)))
        .collect::<Result<Vec<(Sort, Machine)>, Vec<Fault>>>()?;
    let Some((_, machine)) = machines.first() else { return Err(Vec::new()) };
    let trip_lift = machine.latch.trip_lift;
    let room = machine.coil_room();
    Ok(Step {
        sleeve: machine.abutment.sleeve,
        extension: machine.abutment.extension,
        trip_lift,
        snap_travel: machine.rod.ratio * trip_lift,
        snap_volume: machine.snap_volume(),
        preload: machine.preload(),
        room_at_trip: room.map(|room| room - trip_lift),
        room_over_lift: room.map(|room| room - machine.cam.lift()),
        casts: machines.par_iter().map(|(sort, machine)| cast(question, *sort, machine)).collect(),
    })
}

fn cast(question: &Question<'_>, sort: Sort, machine: &Machine) -> Cast {
    let turn = solve(machine, question.accuracy);
    let allowed = Limits::of(machine, question.acceptance).allowed;
    Cast {
        sort,
        allowed,
        will_do: will_do(&turn, allowed),
        filled_by_springs: filled_by_springs(machine, &turn),
        coil_margin: coil_margin(machine, turn.peaks.spring_closing),
        hold_down_margin: hold_down_margin(machine, &turn),
        hold_down: machine.mould.hold_down,
        turn,
    }
}

/// Share of a full mould that the thrown rod fills before it catches up: metal in the mould at that instant over 98 % of it.
fn filled_by_springs(machine: &Machine, turn: &Turn) -> f64 {
    let Some(throw) = turn.throw else { return 0.0 };
    let filled = |past_nozzle: f64| {
        (machine.mould.metal_inside(past_nozzle) / (FULL * machine.mould.volume)).clamp(0.0, 1.0)
    };
    match throw.caught_up {
        Some(time) => {
            turn.events.iter().find(|e| e.time >= time).map_or(0.0, |e| filled(e.before.past_nozzle))
        }
        None => (turn.filled / FULL).clamp(0.0, 1.0),
    }
}
