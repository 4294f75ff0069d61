//! A job at a glance: each size at the pace it is cast at and at others, the sizes between, and what would change the verdicts.

use super::cooling::{Cooling, fastest_solid};
use super::judge::{
    Acceptance, Appraisal, Cast, Judgement, Onset, Terms, appraise_all, judge_all, judge_traced,
    slowest_pace_aside, smallest_size_wanting_latch,
};
use super::real_pace::{coolings, real_pace};
use super::remedy::{Remedy, remedies};
use crate::parallel::prelude::*;
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};

/// How many sizes the curve of fill times runs through.
const CURVE: u32 = 32;
/// How far it goes on below the smallest size and above the largest, as ratios.
const BEYOND: (f64, f64) = (0.8, 1.2);
/// The accepted skins for which the size that wants the latch is sought, as multiples of the stated one.
const SKINS: [f64; 3] = [0.5, 1.0, 2.0];

/// What is asked of a job.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The machine.
    pub stated: &'a MachineStatement,
    /// What is asked of every cast.
    pub terms: &'a Terms,
    /// The fastest pace at which the machine is run.
    pub fastest: Pace,
    /// The sizes.
    pub sorts: &'a [Sort],
    /// The size that is looked at most closely; one of `sorts`.
    pub own: Sort,
    /// The pace at which every size is cast; where it is none, each is cast at its real pace.
    pub pace: Option<Pace>,
    /// The paces that are compared.
    pub paces: &'a [Pace],
}

/// A job at a glance.
#[derive(Debug, Clone, PartialEq)]
pub struct Overview {
    /// The one pace of all sizes; none where each is cast at its real pace.
    pub pace: Option<Pace>,
    /// The size looked at most closely, at its pace, solved instant by instant.
    pub own: Judgement,
    /// Each size at its pace.
    pub sizes: Vec<Appraisal>,
    /// Each size at each of the paces compared, size by size.
    pub grid: Vec<Appraisal>,
    /// Sizes from below the smallest to above the largest, each at its pace.
    pub curve: Vec<Judgement>,
    /// For each size, the slowest pace that does with the latch aside.
    pub slowest: Vec<(Sort, Onset)>,
    /// For half, once and twice the accepted skin (m): the size from which the latch is wanted.
    pub thresholds: Vec<(f64, Onset)>,
    /// The smallest size that cannot be cast, or the one looked at most closely; and what would change its verdict.
    pub told: Option<(Appraisal, Vec<Remedy>)>,
}

/// Looks at a job.
///
/// # Errors
/// The faults of the statement.
pub fn overview(question: &Question) -> Result<Overview, Vec<Fault>> {
    let Question { stated, terms, sorts, own, paces, .. } = *question;
    let (acceptance, accuracy) = (terms.acceptance, terms.accuracy);
    let proportion = own.set.0 / own.body.0;
    let cooled: Vec<(Sort, Option<Cooling>)> =
        sorts.iter().copied().zip(coolings(stated, sorts, terms.shut)?).collect();
    let at_pace: Vec<(Cast, Option<Cooling>)> = cooled
        .iter()
        .map(|&(sort, cooling)| (Cast { sort, pace: question.pace_of(cooling) }, cooling))
        .collect();
    let compared: Vec<(Cast, Option<Cooling>)> = cooled
        .iter()
        .flat_map(|&(sort, cooling)| paces.iter().map(move |&pace| (Cast { sort, pace }, cooling)))
        .collect();
    let sizes = appraise_all(stated, &at_pace, terms)?;
    let slowest = sorts
        .par_iter()
        .map(|&sort| Ok((sort, slowest_pace_aside(stated, sort, acceptance, accuracy)?)))
        .collect::<Result<_, Vec<Fault>>>()?;
    let thresholds = SKINS
        .par_iter()
        .map(|factor| {
            let skin = factor * acceptance.skin;
            let acceptance = Acceptance { skin, ..acceptance };
            let pace = |sort| question.solved_pace(sort);
            Ok((skin, smallest_size_wanting_latch(stated, proportion, pace, acceptance, accuracy)?))
        })
        .collect::<Result<_, Vec<Fault>>>()?;
    let told = sizes
        .iter()
        .filter(|size| !size.can_be_cast())
        .min_by(|a, b| a.judgement.cast.sort.body.0.total_cmp(&b.judgement.cast.sort.body.0))
        .or_else(|| sizes.iter().find(|size| size.judgement.cast.sort == own));
    let told = match told {
        Some(appraisal) => Some((appraisal.clone(), remedies(stated, appraisal, terms)?)),
        None => None,
    };
    let own = Cast { sort: own, pace: question.solved_pace(own)? };
    Ok(Overview {
        pace: question.pace,
        own: judge_traced(stated, own, acceptance, accuracy)?,
        grid: appraise_all(stated, &compared, terms)?,
        curve: judge_all(stated, &question.curve(proportion)?, acceptance, accuracy)?,
        sizes,
        slowest,
        thresholds,
        told,
    })
}

impl Question<'_> {
    /// The pace of a size that cools so.
    fn pace_of(&self, cooling: Option<Cooling>) -> Pace {
        self.pace.unwrap_or_else(|| real_pace(cooling, self.fastest).pace)
    }

    /// The pace of a size, its cooling solved where it counts.
    fn solved_pace(&self, sort: Sort) -> Result<Pace, Vec<Fault>> {
        match self.pace {
            Some(pace) => Ok(pace),
            None => Ok(self.pace_of(fastest_solid(self.stated, sort, self.terms.shut)?)),
        }
    }

    /// Casts evenly from below the smallest size to above the largest.
    fn curve(&self, proportion: f64) -> Result<Vec<Cast>, Vec<Fault>> {
        let bodies = self.sorts.iter().map(|sort| sort.body.0);
        let low = BEYOND.0 * bodies.clone().fold(f64::INFINITY, f64::min);
        let high = BEYOND.1 * bodies.fold(0.0, f64::max);
        (0..CURVE)
            .into_par_iter()
            .map(|n| {
                let body = low + (high - low) * f64::from(n) / f64::from(CURVE - 1);
                let sort = Sort { body: Length(body), set: Length(body * proportion) };
                Ok(Cast { sort, pace: self.solved_pace(sort)? })
            })
            .collect()
    }
}
