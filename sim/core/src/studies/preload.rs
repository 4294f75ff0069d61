//! What the rod nut does: speed, loads and stresses against the springs' force at rest.
//!
//! Turning the nut down by n turns moves it n·pitch nearer to the abutment and squeezes every spring by as much. That advance
//! a (m, from the present setting) is the one variable: the preload is Σ k_j·max(0, s_j + a), so each turn of a nut over tight
//! springs adds Σ k_j times the pitch.

mod reach;
mod setting;

pub use reach::{Bound, End, Reach, reach};
pub use setting::{Setting, SpringLoad, Stress, at_advance};

use super::judge::{Cast, Terms};
use crate::parallel::prelude::*;
use crate::roots::crossing;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::spring::PreloadStatement;
use latchstroke_models::units::{Force, Length};

/// The greatest preload tried, as a multiple of the present one.
const MOST_PRELOAD: f64 = 3.0;
/// How closely an advance of the nut is found, m.
const CLOSENESS: f64 = 1e-9;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The machine.
    pub stated: &'a MachineStatement,
    /// The cast.
    pub cast: Cast,
    /// What is asked of every cast.
    pub terms: Terms,
}

/// The rod nut of a machine, with the springs on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Nut {
    /// The machine as it is, latch set.
    pub machine: Machine,
    /// Pitch of the thread, m, where stated.
    pub pitch: Option<f64>,
    /// Turns down from the reference at present; nought where preloads are stated as forces.
    pub turns: f64,
}

impl Nut {
    /// The nut of a machine about to cast.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn of(stated: &MachineStatement, cast: Cast) -> Result<Self, Vec<Fault>> {
        Ok(Self {
            machine: Machine::prepare(stated, cast.sort, cast.pace, LatchSetting::Set)?,
            pitch: stated.abutment.thread_pitch.map(|pitch| pitch.0),
            turns: stated.abutment.nut_turns,
        })
    }

    /// Force of the springs at rest, N, with the nut `advance` (m) further down than now.
    pub fn preload(&self, advance: f64) -> f64 {
        self.machine.spring_force(advance)
    }

    /// Turns down from the reference, with the nut `advance` (m) further down than now; none without a pitch.
    pub fn turns_at(&self, advance: f64) -> Option<f64> {
        Some(self.turns + advance / self.pitch?)
    }

    /// The advance, m, at which the first of the springs that are tight now lies loose at rest.
    pub fn loose(&self) -> f64 {
        let tight =
            self.machine.springs.iter().map(|spring| spring.rest_squeeze).filter(|&squeeze| squeeze > 0.0);
        -tight.reduce(f64::min).unwrap_or(0.0)
    }

    /// The greatest advance tried, m: three times the present preload, but not so far that the coils would touch before the
    /// latch lets go.
    pub fn furthest(&self) -> f64 {
        let rate: f64 = self.machine.springs.iter().map(|spring| spring.rate).sum();
        // Springs that are loose now are tried up to a squeeze of the cam's own lift.
        let more = ((MOST_PRELOAD - 1.0) * self.preload(0.0) / rate).max(self.machine.cam.lift());
        let room = self.machine.coil_room().map_or(f64::INFINITY, |room| room - self.machine.latch.trip_lift);
        more.min(room.max(0.0))
    }

    /// The advance, m, that gives a `preload` (N) above zero; none where the springs would be solid first.
    pub fn advance_for(&self, preload: f64) -> Option<f64> {
        let rate: f64 = self.machine.springs.iter().map(|spring| spring.rate).sum();
        let loosest = -self.machine.springs.iter().map(|spring| spring.rest_squeeze).reduce(f64::max)?;
        // The softest the nest can be is its softest spring alone.
        let softest = self.machine.springs.iter().map(|spring| spring.rate).fold(rate, f64::min);
        let solid = self.machine.coil_room().unwrap_or(f64::INFINITY);
        let furthest = (loosest + preload / softest + CLOSENESS).min(solid);
        crossing(|advance| self.preload(advance) - preload, loosest, furthest, CLOSENESS)
    }

    /// `stated` with the nut `advance` (m) further down.
    pub fn advanced(&self, stated: &MachineStatement, advance: f64) -> MachineStatement {
        let mut changed = stated.clone();
        changed.abutment.bare_gap = stated.abutment.bare_gap.map(|gap| Length(gap.0 - advance));
        for (spring, prepared) in changed.springs.iter_mut().zip(&self.machine.springs) {
            if matches!(spring.preload, PreloadStatement::Force(_)) {
                let squeeze = (prepared.rest_squeeze + advance).max(0.0);
                spring.preload = PreloadStatement::Force(Force(prepared.rate * squeeze));
            }
        }
        changed
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The nut and the machine as it is.
    pub nut: Nut,
    /// The settings solved, the least preload first.
    pub settings: Vec<Setting>,
    /// Over which preloads each setting of the latch casts sound in time, if over any: aside, then set.
    pub reaches: [Option<Reach>; 2],
    /// The preload asked for, N, and what it does; none where the springs would be solid first.
    pub asked: Option<(f64, Option<Setting>)>,
}

impl Answer {
    /// The setting of the nut as it is, where it is among those solved.
    pub fn present(&self) -> Option<&Setting> {
        self.settings.iter().find(|setting| setting.advance.abs() < SAME)
    }
}

/// Settings closer than this are one, m of the nut's way.
const SAME: f64 = 1e-7;

/// Solves the settings at each of `advances` (m, rising) and finds the range that will do; `asked` is a preload (N) to look at.
///
/// # Errors
/// The faults of the statement.
pub fn study(
    question: &Question<'_>,
    nut: Nut,
    advances: &[f64],
    asked: Option<f64>,
) -> Result<Answer, Vec<Fault>> {
    let settings = advances
        .par_iter()
        .map(|&advance| at_advance(question, &nut, advance))
        .collect::<Result<Vec<_>, Vec<Fault>>>()?;
    let asked = match asked {
        Some(preload) => {
            let advance = nut.advance_for(preload);
            Some((preload, advance.map(|advance| at_advance(question, &nut, advance)).transpose()?))
        }
        None => None,
    };
    let reaches =
        [LatchSetting::Aside, LatchSetting::Set].map(|setting| reach(question, &nut, &settings, setting));
    Ok(Answer { nut, settings, reaches, asked })
}
