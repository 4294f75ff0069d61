//! What a sleeve of a given length does for each size to be cast.

use super::super::cooling::cooling;
use super::super::judge::{Cast, Solid};
use super::{Question, prepared};
use crate::limits::{Clocks, Does, Reading, Standing};
use crate::parallel::prelude::*;
use crate::turn::{Turn, solve};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::FULL;

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
    /// The casts, latch set, in their order.
    pub casts: Vec<Thrown>,
}

/// One cast with one length, latch set.
#[derive(Debug, Clone, PartialEq)]
pub struct Thrown {
    /// The size and the pace.
    pub cast: Cast,
    /// The turn.
    pub turn: Turn,
    /// How long the fill may take, s.
    pub allowed: f64,
    /// How it stands against every limit.
    pub standing: Standing,
    /// Share of a full mould reached before the rod had caught up with the cross block, as solved; 1 where all of it.
    pub filled_by_springs: f64,
}

impl Thrown {
    /// Whether all limits are kept.
    pub fn will_do(&self) -> bool {
        self.standing.does() == Does::Yes
    }
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
        .casts
        .iter()
        .map(|&cast| Ok((cast, prepared(stated, cast, LatchSetting::Set)?)))
        .collect::<Result<Vec<(Cast, Machine)>, Vec<Fault>>>()?;
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
        casts: machines.par_iter().map(|(cast, machine)| thrown(question, *cast, machine)).collect(),
    })
}

fn thrown(question: &Question<'_>, cast: Cast, machine: &Machine) -> Thrown {
    let terms = &question.terms;
    let turn = solve(machine, terms.accuracy);
    let clocks = Clocks::of(machine, terms.acceptance);
    let solid = Solid::at(cooling(machine, terms.shut), terms.shut, cast.pace);
    Thrown {
        cast,
        allowed: clocks.allowed,
        standing: Standing::of((machine, &turn), &clocks, &solid, terms, Reading::Still),
        filled_by_springs: filled_by_springs(machine, &turn),
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
