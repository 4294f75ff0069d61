//! One setting of the rod nut: the cast with the latch aside and set, and what the springs bear.

use super::super::judge::{Judgement, judge};
use super::{Nut, Question};
use crate::limits::{Does, Limit};
use crate::turn::{Finding, Turn};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;

/// One setting of the nut.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// How much further down than now the nut stands, m.
    pub advance: f64,
    /// Turns down from the reference, where the pitch is known.
    pub turns: Option<f64>,
    /// Force of the springs at rest, N.
    pub preload: f64,
    /// The cast, latch aside and set.
    pub judgement: Judgement,
    /// What each spring bears in the heavier of the two turns.
    pub springs: Vec<SpringLoad>,
    /// Closing left until coils touch, m, at the greatest of the heavier turn.
    pub room: Option<f64>,
}

/// What one spring bears in a turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpringLoad {
    /// Force at rest, N.
    pub rest: f64,
    /// Greatest force, N.
    pub greatest: f64,
    /// Stresses, where wire and coil are known.
    pub stress: Option<Stress>,
}

/// Shear stress of a wire at its greatest force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stress {
    /// With Wahl's factor, Pa.
    pub wahl: f64,
    /// With the factor of EN 13906-1, Pa.
    pub en: f64,
    /// What it may bear, Pa, where stated.
    pub allowable: Option<f64>,
    /// Safety against fatigue after Goodman, where the allowable stress is stated and there are data.
    pub fatigue: Option<f64>,
}

impl Stress {
    /// The stress with Wahl's factor, the greater of both, as a share of what the wire may bear.
    pub fn share(&self) -> Option<f64> {
        Some(self.wahl / self.allowable?)
    }
}

impl Setting {
    /// The turn with the latch as given.
    pub fn turn(&self, latch: LatchSetting) -> &Turn {
        match latch {
            LatchSetting::Aside => &self.judgement.aside,
            LatchSetting::Set => &self.judgement.set,
        }
    }

    /// Whether all limits are kept with the latch as given.
    pub fn will_do(&self, latch: LatchSetting) -> bool {
        self.judgement.standing(latch).does() == Does::Yes
    }

    /// Force left until the matrix lifts with the latch as given, N, where the hold-down is known.
    pub fn hold_down_left(&self, latch: LatchSetting) -> Option<f64> {
        let margin = self.judgement.standing(latch).margin(Limit::MatrixHeld)?;
        Some(margin.bound? - margin.value?)
    }

    /// The first finding, latch aside or set, that faults the setting itself.
    pub fn fault(&self) -> Option<Finding> {
        let turns = [&self.judgement.set, &self.judgement.aside];
        turns.into_iter().flat_map(|turn| &turn.findings).copied().find(Finding::faults_setting)
    }

    /// The greatest share of what its wire may bear that a spring reaches.
    pub fn stress_share(&self) -> Option<f64> {
        self.springs.iter().filter_map(|spring| spring.stress?.share()).reduce(f64::max)
    }
}

/// Solves the setting with the nut `advance` (m) further down than now.
///
/// # Errors
/// The faults of the statement.
pub fn at_advance(question: &Question<'_>, nut: &Nut, advance: f64) -> Result<Setting, Vec<Fault>> {
    let stated = nut.advanced(question.stated, advance);
    let cast = question.cast;
    let judgement = judge(&stated, cast, &question.terms)?;
    let machine = Machine::prepare(&stated, cast.sort, cast.pace, LatchSetting::Set)?;
    let turns = [&judgement.aside, &judgement.set];
    let closings = turns.map(|turn| turn.peaks.spring_closing);
    let closing = closings[0].max(closings[1]);
    Ok(Setting {
        advance,
        turns: nut.turns_at(advance),
        preload: machine.preload(),
        springs: loads(&machine, closing),
        room: machine.coil_room().map(|room| room - closing),
        judgement,
    })
}

/// What each spring bears at a greatest `closing` (m) from rest.
fn loads(machine: &Machine, closing: f64) -> Vec<SpringLoad> {
    machine
        .springs
        .iter()
        .map(|spring| {
            let allowable = spring.allowable_stress;
            let (rest, greatest) = (spring.force(0.0), spring.force(closing));
            let stress = spring.wire.map(|wire| Stress {
                wahl: wire.wahl_factor() * wire.stress(greatest),
                en: wire.en_factor() * wire.stress(greatest),
                allowable,
                fatigue: allowable.and_then(|allowable| wire.fatigue_safety(rest, greatest, allowable)),
            });
            SpringLoad { rest, greatest, stress }
        })
        .collect()
}
