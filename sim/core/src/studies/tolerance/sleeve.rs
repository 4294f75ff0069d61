//! How closely the sleeve must be made, so that the verdict stands in so many machines of a hundred.

use super::{Case, Input, Vary, draw};
use crate::parallel::prelude::*;
use crate::roots::crossing;
use crate::studies::judge::Verdict;
use crate::studies::sensitivity::coordinate;
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
        /// The chance with the sleeve made to the tolerance stated for it, or exactly if none is.
        as_stated: f64,
        /// The chance with a perfect sleeve.
        perfect: f64,
        /// What would do.
        fit: Fit,
    },
}

/// How closely the sleeve must be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fit {
    /// To within ± this length, m, which gives the chance beside it.
    Within(f64, f64),
    /// Even ± this length, m, the widest tried, gives the chance beside it, which is enough.
    Any(f64, f64),
    /// Not even a perfect sleeve gives the chance asked for.
    NotEvenPerfect,
}

/// The widest tolerance of the sleeve with which `verdict` stands with a chance of at least `chance`, the other values varied
/// within their stated tolerances. `own` is the sleeve's length.
///
/// Every tolerance of the sleeve is tried on the same `points` draws of all values, so that the chance falls smoothly as the
/// tolerance widens and its root can be found.
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
        let own = Input { half_width, ..own.clone() };
        std::iter::once(own).chain(others.clone()).collect()
    };
    // Not a number once the work is called off, which ends the search.
    let chance_with = |half_width: f64| -> f64 {
        let inputs = with(half_width);
        let stands: Option<usize> = (0..points)
            .into_par_iter()
            .map(|point| {
                if watch.called_off() {
                    return None;
                }
                let shares: Vec<f64> =
                    (0..inputs.len()).map(|input| coordinate(point, input, seed)).collect();
                let drawn = draw(vary, &inputs, &shares);
                watch.advance(1);
                Some(usize::from(drawn.is_ok_and(|outcome| outcome.verdict == verdict)))
            })
            .sum();
        stands.map_or(f64::NAN, |count| count as f64 / points.max(1) as f64)
    };
    let as_stated = chance_with(own.half_width);
    let perfect = chance_with(0.0);
    if perfect < chance {
        return Sleeve::Sought { as_stated, perfect, fit: Fit::NotEvenPerfect };
    }
    let at_widest = chance_with(widest);
    if at_widest >= chance {
        return Sleeve::Sought { as_stated, perfect, fit: Fit::Any(widest, at_widest) };
    }
    let root = crossing(|log| chance_with(log.exp()) - chance, widest.ln(), CLOSEST.ln(), CLOSENESS);
    if watch.called_off() {
        return Sleeve::CalledOff;
    }
    let fit = root.map_or(Fit::NotEvenPerfect, |log| Fit::Within(log.exp(), chance_with(log.exp())));
    Sleeve::Sought { as_stated, perfect, fit }
}

/// Whether anything follows from the sleeve's length: the trip lift, or the preload of a spring.
fn matters(machine: &MachineStatement) -> bool {
    machine.abutment.bare_clearance.is_some()
        || (machine.abutment.bare_gap.is_some()
            && machine.springs.iter().any(|spring| spring.preload == PreloadStatement::Gap))
}
