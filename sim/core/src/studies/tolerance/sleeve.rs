//! How closely the sleeve must be made, so that the verdict stands in so many machines of a hundred.
//!
//! The tolerance sought is one of making; how well the present sleeve was measured says nothing of it.

use super::{Case, Input, Vary, drawn};
use crate::parallel::prelude::*;
use crate::roots::crossing;
use crate::studies::distribution::Distribution;
use crate::studies::judge::Verdict;
use crate::studies::sensitivity::coordinate;
use crate::studies::spread::Share;
use crate::studies::watch::Watch;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::spring::PreloadStatement;

/// The widest tolerance tried, as a share of the cam's lift: no sleeve is made worse than that.
const WIDEST: f64 = 0.5;
/// The closest tolerance tried, m. Common practice, no source: nobody makes a sleeve more closely than to 0.01 mm.
const CLOSEST: f64 = 10e-6;
/// How closely the tolerance is found, as a share of itself.
const CLOSENESS: f64 = 0.02;

/// The answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sleeve {
    /// There is no sleeve, or nothing follows from its length.
    NotInPlay,
    /// The machine as stated does not cast, so there is no verdict worth keeping.
    NothingToKeep,
    /// The work was called off.
    CalledOff,
    /// The tolerance was sought.
    Sought {
        /// The share with the sleeve as long as stated, off by no more than it was measured.
        as_stated: Share,
        /// The share with the sleeve exactly as long as stated.
        perfect: Share,
        /// What would do.
        fit: Fit,
    },
}

/// How closely the sleeve must be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fit {
    /// To within ± this length, m, which gives the share beside it.
    Within(f64, Share),
    /// Even ± this length, m, the widest tried, gives the share beside it, which is enough.
    Any(f64, Share),
    /// Not even a perfect sleeve gives the chance asked for.
    NotEvenPerfect,
}

/// The widest tolerance of the sleeve with which `verdict` stands with a chance of at least `chance`, the other values varied
/// within their stated tolerances. `own` is the sleeve's length.
///
/// Every tolerance of the sleeve is tried on the same `points` draws of all values, so that the chance falls smoothly as the
/// tolerance widens and its root can be found; and no draw is judged twice of which the answer follows from tolerances tried
/// before (`Tried`).
pub fn sleeve(
    case: &Case,
    vary: &impl Vary,
    (own, inputs): (&Input, &[Input]),
    (verdict, chance): (Verdict, f64),
    (points, seed): (usize, u32),
    watch: &impl Watch,
) -> Sleeve {
    let fitted = own.stated > 0.0 && matters(&case.machine);
    let (true, Ok(machine)) = (fitted, case.prepared()) else { return Sleeve::NotInPlay };
    let widest = WIDEST * machine.cam.lift();
    if verdict.setting().is_none() {
        return Sleeve::NothingToKeep;
    }
    let others = inputs.iter().filter(|input| input.path != own.path).cloned();
    let with = |half_width: f64| -> Vec<Input> {
        let distribution = Distribution::within(own.stated, half_width);
        let own = Input { distribution, ..own.clone() };
        std::iter::once(own).chain(others.clone()).collect()
    };
    let mut tried = vec![Tried::default(); points];
    // None once the work is called off, which ends the search.
    let mut share_with = |half_width: f64| -> Option<Share> {
        let inputs = with(half_width);
        let judged = |point: usize| {
            let shares: Vec<f64> = (0..inputs.len()).map(|input| coordinate(point, input, seed)).collect();
            drawn(vary, &inputs, &shares).and_then(|case| case.verdict()).is_ok_and(|found| found == verdict)
        };
        let stand: Option<Vec<bool>> = (0..points)
            .into_par_iter()
            .map(|point| {
                let stands = match tried[point].stands(half_width) {
                    Some(known) => known,
                    None if watch.called_off() => return None,
                    None => judged(point),
                };
                watch.advance(1);
                Some(stands)
            })
            .collect();
        let stand = stand?;
        for (tried, &stands) in tried.iter_mut().zip(&stand) {
            tried.0.push((half_width, stands));
        }
        Some(Share::new(stand.iter().filter(|stands| **stands).count(), points, points))
    };
    let mut seek = || {
        let as_stated = share_with(own.half_width())?;
        let perfect = share_with(0.0)?;
        let sought = |fit| Some(Sleeve::Sought { as_stated, perfect, fit });
        if perfect.value() < chance {
            return sought(Fit::NotEvenPerfect);
        }
        let at_widest = share_with(widest)?;
        if at_widest.value() >= chance {
            return sought(Fit::Any(widest, at_widest));
        }
        let over = |log: f64| share_with(libm::exp(log)).map_or(f64::NAN, |share| share.value() - chance);
        let root = crossing(over, libm::log(widest), libm::log(CLOSEST), CLOSENESS);
        if watch.called_off() {
            return None;
        }
        let Some(half_width) = root.map(libm::exp) else { return sought(Fit::NotEvenPerfect) };
        sought(Fit::Within(half_width, share_with(half_width)?))
    };
    seek().unwrap_or(Sleeve::CalledOff)
}

/// The tolerances of the sleeve tried on one draw, and whether the verdict stood with each.
///
/// As the tolerance widens the sleeve of a draw moves one way, away from its length as stated. The lengths with which a verdict
/// stands are taken to lie side by side: between two tolerances with which it stands it stands, and beyond one with which it no
/// longer does it does not again.
#[derive(Debug, Clone, Default)]
struct Tried(Vec<(f64, bool)>);

impl Tried {
    /// Whether the verdict stands with a tolerance, where that follows from those tried.
    fn stands(&self, half_width: f64) -> Option<bool> {
        if let Some(&(_, stands)) = self.0.iter().find(|(tried, _)| tried.total_cmp(&half_width).is_eq()) {
            return Some(stands);
        }
        let stood = self.0.iter().filter(|(_, stands)| *stands).map(|(tried, _)| *tried);
        let (least, most) =
            (stood.clone().fold(f64::INFINITY, f64::min), stood.fold(f64::NEG_INFINITY, f64::max));
        if (least..=most).contains(&half_width) {
            return Some(true);
        }
        let mut failed = self.0.iter().filter(|(_, stands)| !*stands).map(|(tried, _)| *tried);
        let beyond =
            |failed: f64| (half_width > failed && failed > most) || (half_width < failed && failed < least);
        (least <= most && failed.any(beyond)).then_some(false)
    }
}

/// Whether anything follows from the sleeve's length: the trip lift, or the preload of a spring.
fn matters(machine: &MachineStatement) -> bool {
    machine.abutment.bare_clearance.is_some()
        || (machine.abutment.bare_gap.is_some()
            && machine.springs.iter().any(|spring| spring.preload == PreloadStatement::Gap))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_follows_from_tolerances_tried_is_not_asked_again() {
        let asked = |tried: &[(f64, bool)], width: f64| Tried(tried.to_vec()).stands(width);
        assert_eq!(asked(&[], 1.0), None);
        assert_eq!(asked(&[(1.0, false)], 1.0), Some(false));
        // Failing on both sides leaves a window between, or none.
        assert_eq!(asked(&[(0.0, false), (4.0, false)], 1.0), None);
        let one_side = [(0.0, true), (1.0, true), (4.0, false)];
        assert_eq!([0.5, 2.0, 5.0].map(|width| asked(&one_side, width)), [Some(true), None, Some(false)]);
        let window = [(0.0, false), (1.0, true), (2.0, true), (4.0, false)];
        let known = [-1.0, 0.5, 1.5, 3.0, 5.0].map(|width| asked(&window, width));
        assert_eq!(known, [Some(false), None, Some(true), None, Some(false)]);
    }
}
