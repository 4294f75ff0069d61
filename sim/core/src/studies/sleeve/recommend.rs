//! The sleeve to make: as long as it may be while the springs alone still fill the largest size.
//!
//! A shorter sleeve gives a longer throw, and a heavier load on the latch with it. So the best length is the longest at which
//! the snap volume i·A_p·y_trip covers V_prime + V of the largest size, kept away from both ends of the window by a reserve
//! of lift, and from coil binding and a lifting matrix by their margins.

use super::{Question, Step, Window, at_length};
use crate::roots::crossing;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::mould::Sort;

/// Lengths tried for the margins between the length wanted and the long end.
const TRIALS: u32 = 12;
/// How closely a length is found, m.
const CLOSENESS: f64 = 1e-5;

/// Why this length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// The longest whose snap covers priming and filling of the largest size.
    SpringsFill,
    /// Even the longest covers it: the longest is taken, which loads the latch least.
    LongestCovers,
    /// None covers it within the margins: the longest snap that keeps them. This stands in the way of a longer one.
    LongestSnap(Hindrance),
}

/// What stands in the way of a shorter sleeve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hindrance {
    /// It would trip with less than the reserve of lift.
    Trip,
    /// The springs would come too near to coil binding.
    Coils,
    /// The matrix would be too near to lifting.
    Matrix,
}

/// The sleeve to make.
#[derive(Debug, Clone, PartialEq)]
pub struct Recommendation {
    /// What it does; its sleeve and extension are the lengths to make.
    pub step: Step,
    /// Why.
    pub ground: Ground,
    /// The largest size asked for.
    pub largest: Sort,
    /// V_prime + V of the largest size, m³.
    pub needed: f64,
}

/// Why no length is recommended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refusal {
    /// The prongs travel further than the cross block lifts: no sleeve works.
    NoWindow,
    /// The window is narrower than the reserve at both its ends.
    TooNarrow,
    /// No length keeps the margins to coil binding and a lifting matrix.
    NoMargin,
}

/// Finds the length to make, `reserve` (m) away from the ends of the window.
///
/// # Errors
/// The faults of the statement.
pub fn recommend(
    question: &Question<'_>,
    window: Window,
    reserve: f64,
) -> Result<Result<Recommendation, Refusal>, Vec<Fault>> {
    if window.is_empty() {
        return Ok(Err(Refusal::NoWindow));
    }
    let low = (window.longest + window.prong_travel - window.block_lift + reserve).max(0.0);
    let high = window.longest - reserve;
    let Some(largest) = question.largest().filter(|_| low <= high) else {
        return Ok(Err(Refusal::TooNarrow));
    };
    let machine = question.machine(&question.with_sleeve(high), largest, LatchSetting::Set)?;
    let needed = machine.mould.priming_volume + machine.mould.volume;
    let covering = window.longest + window.prong_travel - needed / (machine.rod.ratio * machine.piston.area);
    let wanted = covering.clamp(low, high);
    let made = |length: f64, ground: Ground| -> Result<Result<Recommendation, Refusal>, Vec<Fault>> {
        Ok(Ok(Recommendation { step: at_length(question, length)?, ground, largest, needed }))
    };
    let first = at_length(question, wanted)?;
    if first.margin() >= 0.0 {
        let ground = if covering < low {
            Ground::LongestSnap(Hindrance::Trip)
        } else if covering > high {
            Ground::LongestCovers
        } else {
            Ground::SpringsFill
        };
        return made(wanted, ground);
    }
    // The margins ask for a shorter throw: the first length above the one wanted that keeps them.
    let mut before = first;
    for n in 1..=TRIALS {
        let length = wanted + (high - wanted) * f64::from(n) / f64::from(TRIALS);
        let step = at_length(question, length)?;
        if step.margin() >= 0.0 {
            let margin = |length: f64| at_length(question, length).map_or(f64::NAN, |step| step.margin());
            let found = crossing(margin, before.sleeve, length, CLOSENESS);
            let coils = before.coil_margin() < before.hold_down_margin();
            let hindrance = if coils { Hindrance::Coils } else { Hindrance::Matrix };
            return made(found.unwrap_or(length), Ground::LongestSnap(hindrance));
        }
        before = step;
    }
    Ok(Err(Refusal::NoMargin))
}
