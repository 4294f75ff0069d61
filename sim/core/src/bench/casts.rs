//! What the weight of casts tells of the nozzle.
//!
//! A cast that comes short leaves some of the mould empty. How much, follows from a solved turn; the loss of the nozzle is sought with
//! which the turn leaves as much. Casts that are full tell only that the loss is no greater than that with which they still fill.

use super::carried::Known;
use crate::roots::crossing;
use crate::studies::tolerance::Vary;
use crate::turn::{Finding, solve_for_limits};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;

/// What is asked.
pub struct Question<'a, V> {
    /// The machine with other values, at the pace of the casts.
    pub vary: &'a V,
    /// The full key of the nozzle's loss.
    pub loss: &'a str,
    /// How the latch stood.
    pub setting: LatchSetting,
    /// The share of the mould that a cast fills, by its weight.
    pub share: Known,
    /// The greatest loss that there may be.
    pub most: f64,
}

/// What the casts tell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Told {
    /// They are full as far as can be weighed, and the loss is below this; no bound where they fill with any.
    Full(Option<f64>),
    /// They come short as with this loss, which lies within an interval.
    Short(f64, (f64, f64)),
    /// They come short, and the loss of the nozzle is not why: with the least there can be, or the greatest, this share fills.
    Elsewhere(f64),
}

/// How closely a loss is found.
const CLOSE: f64 = 1e-3;

impl<V: Vary> Question<'_, V> {
    /// The share of the mould that fills with a loss; none where the turn cannot be solved so that it can be trusted.
    pub fn filled(&self, loss: f64) -> Option<f64> {
        let case = (self.vary)(&[(self.loss, loss)]).ok()?;
        let machine = Machine::prepare(&case.machine, case.cast.sort, case.cast.pace, self.setting).ok()?;
        let turn = solve_for_limits(&machine, case.terms.accuracy);
        (!turn.findings.iter().any(Finding::makes_unreliable)).then_some(turn.filled)
    }

    /// What the casts tell; none where turns cannot be solved so that they can be trusted.
    pub fn answer(&self) -> Option<Told> {
        let Known { value, half } = self.share;
        let ends = (self.filled(0.0)?, self.filled(self.most)?);
        let at = |share: f64| {
            let off = |loss: f64| self.filled(loss).map_or(f64::NAN, |filled| share - filled);
            crossing(off, 0.0, self.most, CLOSE)
        };
        // Nothing is fuller than a full mould; the model leaves it so but for its air.
        if value + half >= ends.0.min(1.0) {
            let bound = at((value - half).min(ends.0));
            return Some(Told::Full(if ends.1 >= value - half { None } else { Some(bound?) }));
        }
        if ends.1 > value {
            return Some(Told::Elsewhere(ends.1));
        }
        let high = if ends.1 > value - half { self.most } else { at(value - half)? };
        Some(Told::Short(at(value)?, (at(value + half)?, high)))
    }
}
