//! The length that would be made for each of many machines that differ a little from one: the middle of the window in which every cast that
//! wants the latch keeps all limits, tolerances left out, found from where the windows of the machine as stated end.

use super::recommend::{LOOKS, Tried, widest_common};
use super::{Question, Unknown, served, window};
use crate::limits::Freezings;
use crate::roots::crossing_between;
use latchstroke_models::latch::TripStatement;
use latchstroke_models::machine::MachineStatement;

/// How closely the ends of a window are found, and to what a length is told, m: a fifth of what a rule tells apart.
const CLOSENESS: f64 = 0.1e-3;
/// How far beyond the end of the stated machine's window the end is looked for first, m.
const STEP: f64 = 0.5e-3;

/// Where the windows of the machine as stated end.
#[derive(Debug, Clone, PartialEq)]
pub struct About {
    /// The widest window of each cast, m.
    windows: Vec<Option<(f64, f64)>>,
    /// c_0 + t, m: by what this is longer in another machine its windows lie higher, as far as they hang on the trip lift alone.
    reach: f64,
}

impl About {
    /// Of the machine as stated.
    ///
    /// # Errors
    /// As [`window`].
    pub fn new(question: &Question<'_>) -> Result<Self, Unknown> {
        let window = window(question)?;
        let served = served(question, &window).into_iter();
        let windows = served.map(|served| widest_common(std::iter::once(served.lengths))).collect();
        Ok(Self { windows, reach: reach(question.stated).ok_or(Unknown::TripStated)? })
    }

    /// The length of another machine for the same casts, m, to the tenth of a millimetre; none where no one length does.
    pub fn middle(&self, question: &Question<'_>) -> Option<f64> {
        let freezings = Freezings::on(&question.terms);
        let longest = question.stated.abutment.bare_clearance?.0;
        let all: Vec<Tried<'_>> =
            question.casts.iter().map(|&cast| Tried::new(question, &freezings, cast)).collect();
        let mut wanting: Vec<bool> = all.iter().map(|tried| tried.wants_latch(longest)).collect();
        // As [`super::made_for`]: for all where none wants it.
        if !wanting.contains(&true) {
            wanting.fill(true);
        }
        let wanting = all.iter().zip(&self.windows).zip(wanting).filter(|(_, wants)| *wants);
        let lengths = wanting.map(|((tried, window), _)| self.lengths(question, tried, *window));
        let (low, high) = widest_common(lengths)?;
        Some((f64::midpoint(low, high) / CLOSENESS).round() * CLOSENESS)
    }

    /// With which lengths a cast keeps all limits.
    fn lengths(
        &self,
        question: &Question<'_>,
        tried: &Tried<'_>,
        about: Option<(f64, f64)>,
    ) -> Vec<(f64, f64)> {
        let stated = question.stated;
        let (Some(longest), Some(reach), Some(lift)) =
            (stated.abutment.bare_clearance, reach(stated), tried.cam_lift())
        else {
            return Vec::new();
        };
        // Shorter and the cam does not lift the prongs out; a little is left to the search, since the lever train may overshoot.
        let ends = ((reach - lift - STEP).max(0.0), longest.0);
        if ends.0 >= ends.1 {
            return Vec::new();
        }
        let inside = |length: f64| length.clamp(ends.0, ends.1);
        let moved = |length: f64| inside(length + reach - self.reach);
        if let Some((low, high)) = about {
            let middle = moved(f64::midpoint(low, high));
            let kept = tried.kept(middle);
            if kept >= 0.0 {
                let end =
                    |guess: f64, last: f64| end(|length| tried.kept(length), (middle, kept), guess, last);
                return vec![(end(moved(low), ends.0), end(moved(high), ends.1))];
            }
        }
        tried.stretches(ends, LOOKS / 2, CLOSENESS).0
    }
}

/// Where `f`, not below nought at `inside`, falls below it on the way to `last`, looked for about `guess`; `last` where it does not.
fn end(f: impl Fn(f64) -> f64, inside: (f64, f64), guess: f64, last: f64) -> f64 {
    let way = (last - inside.0).signum();
    let (mut known, mut next, mut step) = (inside, guess, STEP);
    loop {
        let value = f(next);
        if value < 0.0 {
            return crossing_between(&f, (next, value), known, CLOSENESS);
        }
        if (last - next) * way <= 0.0 {
            return last;
        }
        known = (next, value);
        next = if (last - next).abs() < step { last } else { next + way * step };
        step *= 4.0;
    }
}

/// c_0 + t, m.
fn reach(stated: &MachineStatement) -> Option<f64> {
    let TripStatement::Prongs(travel) = stated.latch.trip else { return None };
    Some(stated.abutment.bare_clearance?.0 + travel.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: 4 − x² is not below nought from −2 to 2, wherever the search begins.
    #[test]
    fn closed_form_an_end_is_found_from_any_guess() {
        let f = |x: f64| 4.0 - x * x;
        for guess in [0.001, 1.0, 1.9999, 2.0001, 2.5] {
            for way in [-1.0, 1.0] {
                let found = end(f, (0.0, 4.0), way * guess, way * 3.0);
                assert!(f(found) >= 0.0 && (found - way * 2.0).abs() <= CLOSENESS, "{guess} {way}: {found}");
            }
        }
        assert!((end(f, (0.0, 4.0), 1.0, 1.5) - 1.5).abs() < CLOSENESS);
    }
}
