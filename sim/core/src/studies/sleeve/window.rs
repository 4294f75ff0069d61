//! The window of sleeve lengths: shorter and the latch never trips, longer and it never holds.

use super::{Question, prepared};
use crate::roots::crossing;
use crate::turn::solve;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::{LatchSetting, TripStatement};
use latchstroke_models::units::Length;

/// How closely the short end is found, m.
const CLOSENESS: f64 = 1e-6;
/// How far about the lift of a held turn the short end is looked for, m.
const ABOUT: f64 = 0.2e-3;

/// The lengths of sleeve that work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// The shortest with which the latch trips, m; nought where it trips without a sleeve.
    pub shortest: f64,
    /// The longest with which it holds, m: c_0.
    pub longest: f64,
    /// t, m.
    pub prong_travel: f64,
    /// h: the cam's lift, m.
    pub cam_lift: f64,
    /// How far the cross block lifts with the rod held: h less what the lever train gives, m.
    pub block_lift: f64,
}

impl Window {
    /// Whether no length at all works.
    pub fn is_empty(&self) -> bool {
        self.shortest > self.longest
    }

    /// Trip lift with a sleeve of `length` (m), m: c_0 − S + t.
    pub fn trip_lift(&self, length: f64) -> f64 {
        self.longest - length + self.prong_travel
    }

    /// Lift left past the trip with a sleeve of `length` (m), m.
    pub fn lift_left(&self, length: f64) -> f64 {
        self.block_lift - self.trip_lift(length)
    }

    /// Clearance at rest from the abutment to the prongs with a sleeve of `length` (m), m.
    pub fn clearance(&self, length: f64) -> f64 {
        self.longest - length
    }
}

/// Why there is no window to tell of.
#[derive(Debug, Clone, PartialEq)]
pub enum Unknown {
    /// The trip lift was read directly: nothing says how it hangs on the sleeve.
    TripStated,
    /// The statement has faults.
    Faults(Vec<Fault>),
}

/// Finds the window. The long end is the clearance c_0. The short end is c_0 + t − h, but for the lever train: squeezed by the
/// springs it lifts the cross block less than the cam lifts, and at speed it may overshoot. So a turn with the latch held all
/// through tells the lift, and turns with sleeves about the length that follows from it tell which still trip.
///
/// # Errors
/// When the trip lift was stated directly, or the statement has faults.
pub fn window(question: &Question<'_>) -> Result<Window, Unknown> {
    let (TripStatement::Prongs(travel), Some(clearance)) =
        (question.stated.latch.trip, question.stated.abutment.bare_clearance)
    else {
        return Err(Unknown::TripStated);
    };
    let (travel, longest) = (travel.0, clearance.0);
    let Some(&cast) = question.casts.first() else {
        return Err(Unknown::Faults(Vec::new()));
    };
    let plain = question.with_sleeve(0.0);
    let machine = prepared(&plain, cast, LatchSetting::Set).map_err(Unknown::Faults)?;
    let cam_lift = machine.cam.lift();
    let mut held = plain;
    // Out of the reach of any block.
    held.latch.trip = TripStatement::Lift(Length(3.0 * cam_lift));
    let held = prepared(&held, cast, LatchSetting::Set).map_err(Unknown::Faults)?;
    let block_lift = solve(&held, question.terms.accuracy).peaks.block_lift;
    let near = longest + travel - block_lift;
    // Above zero where the latch trips, below where it does not; a length that cannot be stated counts by the closed form.
    let lift_left = |length: f64| {
        let left = block_lift - (longest - length + travel);
        let machine = prepared(&question.with_sleeve(length), cast, LatchSetting::Set);
        match machine.map(|machine| solve(&machine, question.terms.accuracy).throw) {
            Ok(Some(_)) => left.max(f64::MIN_POSITIVE),
            Ok(None) => left.min(-f64::MIN_POSITIVE),
            Err(_) => left,
        }
    };
    let (low, high) = ((near - ABOUT).max(0.0), (near + ABOUT).min(longest));
    let shortest = if near <= 0.0 && lift_left(0.0) > 0.0 {
        0.0
    } else if low < high {
        crossing(lift_left, low, high, CLOSENESS).unwrap_or(near)
    } else {
        near
    };
    Ok(Window { shortest, longest, prong_travel: travel, cam_lift, block_lift })
}
