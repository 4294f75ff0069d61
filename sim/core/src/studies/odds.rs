//! How sure a verdict is: the machine drawn many times, every value that is not known exactly as its distribution has it, and judged
//! each time; and which one value would settle it.
//!
//! Each machine drawn casts a size at the pace at which *it* would really cast it, unless a pace is asked for: the owner slows down
//! until the type comes out solid, whatever the reason it does not.
//!
//! What a value would settle is the mutual information of value and verdict, I(V; X) = H(V) − H(V | X), as a share of the entropy H(V):
//! nought if knowing X tells nothing of V, one if it tells all. X is cut into four equally likely parts, and what chance alone
//! would give, 3(kinds − 1)/2N nats (G. A. Miller, 1955; from memory), is taken off.

use super::calibrate::Posterior;
use super::judge::{Cast, Verdict, verdict};
use super::remedy::Pacing;
use super::sensitivity::coordinate;
use super::sleeve::{self, About};
use super::spread::Share;
use super::tolerance::{Case, Input, Vary};
use super::watch::Watch;
use crate::limits::Freezings;
use crate::parallel::prelude::*;
use latchstroke_models::fault::Fault;
use latchstroke_models::mould::Sort;
use std::collections::BTreeSet;

/// Into how many equally likely parts a value is cut.
const BINS: usize = 4;

/// What remembered casts tell of the two values they bear on, in place of these values' own distributions.
#[derive(Debug, Clone, Copy)]
pub struct Believed<'a> {
    /// What is believed of both.
    pub posterior: &'a Posterior,
    /// Which of the inputs is the interface coefficient.
    pub film: usize,
    /// Which of them is the accepted skin.
    pub skin: usize,
}

/// What is drawn, and what is asked of it.
pub struct Question<'a, V> {
    /// The machine with other values.
    pub vary: &'a V,
    /// The values at play.
    pub inputs: &'a [Input],
    /// What casts tell, where there are any.
    pub believed: Option<Believed<'a>>,
    /// The casts asked about; with [`Pacing::Real`] their paces follow from each machine drawn.
    pub casts: &'a [Cast],
    /// At which pace a machine drawn casts.
    pub pacing: Pacing,
}

/// One machine drawn.
///
/// Values that are drawn one by one may not go together. A machine that cannot be is left out and counts nowhere, so that each of the
/// others is as likely as it is among machines that can be; how many such there are is told ([`impossible`]).
#[derive(Debug, Clone, PartialEq)]
pub struct Draw<T> {
    /// The values of its inputs, SI.
    pub values: Vec<f64>,
    /// What was asked of it; none where there can be no such machine.
    pub answer: Option<T>,
}

/// How many of the machines drawn cannot be.
pub fn impossible<T>(draws: &[Draw<T>]) -> usize {
    draws.iter().filter(|draw| draw.answer.is_none()).count()
}

/// The machines drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Odds {
    /// In the order of the sequence, each with the verdict on every cast.
    pub draws: Vec<Draw<Vec<Verdict>>>,
}

impl<V: Vary> Question<'_, V> {
    /// Draws machines and judges each for every cast; none once the work is called off.
    pub fn draw(&self, count: usize, seed: u32, watch: &impl Watch) -> Option<Odds> {
        let verdicts = |case: &Case| {
            let at = |cast: &Cast| verdict(&case.machine, *cast, &case.terms, self.pacing);
            self.casts.iter().map(at).collect::<Result<Vec<Verdict>, _>>()
        };
        self.draw_for(verdicts, (count, seed), watch).map(|draws| Odds { draws })
    }

    /// How long each machine drawn wants its sleeve to be for the casts, m; within none where no one length does. None once the work
    /// is called off.
    pub fn lengths(
        &self,
        about: &About,
        (count, seed): (usize, u32),
        watch: &impl Watch,
    ) -> Option<Vec<Draw<Option<f64>>>> {
        let length = |case: &Case| {
            let freezings = Freezings::on(&case.terms);
            let paced = self.casts.iter().map(|cast| self.pacing.cast(&case.machine, *cast, &freezings));
            let casts = paced.collect::<Result<Vec<Cast>, _>>()?;
            let (stated, terms) = (&case.machine, case.terms);
            Ok(about.middle(&sleeve::Question { stated, casts: &casts, terms, tolerance: 0.0 }))
        };
        self.draw_for(length, (count, seed), watch)
    }

    /// Draws machines on all cores, the same whatever their number, and asks each something; none once the work is called off.
    fn draw_for<T: Send>(
        &self,
        ask: impl Fn(&Case) -> Result<T, Vec<Fault>> + Sync,
        (count, seed): (usize, u32),
        watch: &impl Watch,
    ) -> Option<Vec<Draw<T>>> {
        let draws = (0..count).into_par_iter().map(|n| {
            if watch.called_off() {
                return None;
            }
            let shares: Vec<f64> = (0..self.inputs.len()).map(|i| coordinate(n, i, seed)).collect();
            let values = self.values(&shares);
            let named: Vec<(&str, f64)> =
                self.inputs.iter().zip(&values).map(|(input, &value)| (input.path.as_str(), value)).collect();
            let answer = (self.vary)(&named).and_then(|case| ask(&case)).ok();
            watch.advance(1);
            Some(Draw { values, answer })
        });
        draws.collect()
    }

    /// The values of a machine, SI, each so far through its distribution.
    fn values(&self, shares: &[f64]) -> Vec<f64> {
        let mut values: Vec<f64> =
            self.inputs.iter().zip(shares).map(|(input, &share)| input.at(share)).collect();
        if let Some(Believed { posterior, film, skin }) = self.believed
            && let (Some(&of_film), Some(&of_skin)) = (shares.get(film), shares.get(skin))
        {
            (values[film], values[skin]) = posterior.quantile(of_film, of_skin);
        }
        values
    }
}

impl Odds {
    /// How many of the machines have this verdict on one of the casts.
    pub fn share(&self, cast: usize, verdict: Verdict) -> Share {
        let verdicts = self.verdicts(cast);
        let count = verdicts.iter().filter(|(_, other)| *other == verdict).count();
        Share::new(count, verdicts.len(), verdicts.len())
    }

    /// Values and verdict on one of the casts, of every machine that can be.
    fn verdicts(&self, cast: usize) -> Vec<(&[f64], Verdict)> {
        let of = |draw: &Draw<Vec<Verdict>>| draw.answer.as_ref()?.get(cast).copied();
        self.draws.iter().filter_map(|draw| Some((draw.values.as_slice(), of(draw)?))).collect()
    }

    /// H(V) of one of the casts, nats.
    pub fn doubt(&self, cast: usize) -> f64 {
        entropy(self.verdicts(cast).iter().map(|(_, verdict)| *verdict))
    }

    /// I(V; X) of the verdict on one of the casts and the input at a place, nats.
    pub fn settled(&self, cast: usize, input: usize) -> f64 {
        let of: Vec<(f64, Verdict)> = self
            .verdicts(cast)
            .into_iter()
            .filter_map(|(values, verdict)| Some((*values.get(input)?, verdict)))
            .collect();
        information(of)
    }
}

/// I(V; X), nats, of pairs of a value and an answer.
pub fn information<K: Copy + Ord>(mut pairs: Vec<(f64, K)>) -> f64 {
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let count = pairs.len();
    if count < BINS {
        return 0.0;
    }
    let whole = entropy(pairs.iter().map(|(_, answer)| *answer));
    let parts = (0..BINS).map(|bin| &pairs[bin * count / BINS..(bin + 1) * count / BINS]);
    let left: f64 = parts
        .map(|part| part.len() as f64 / count as f64 * entropy(part.iter().map(|(_, answer)| *answer)))
        .sum();
    let kinds = pairs.iter().map(|(_, answer)| *answer).collect::<BTreeSet<K>>().len();
    let by_chance = ((BINS - 1) * kinds.saturating_sub(1)) as f64 / (2.0 * count as f64);
    (whole - left - by_chance).max(0.0)
}

/// H(V), nats, of answers.
pub fn entropy<K: Ord>(answers: impl Iterator<Item = K>) -> f64 {
    let mut answers: Vec<K> = answers.collect();
    answers.sort();
    let of = |kind: &[K]| {
        let share = kind.len() as f64 / answers.len() as f64;
        -share * libm::log(share)
    };
    answers.chunk_by(|a, b| a == b).map(of).sum()
}

/// The sizes as casts whose pace is still open.
pub fn casts_of(sorts: &[Sort], fastest: latchstroke_models::units::Pace) -> Vec<Cast> {
    sorts.iter().map(|&sort| Cast { sort, pace: fastest }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_information_of_a_threshold() {
        // X even from 0 to 1, the verdict turns at a quarter: X tells all there is, H = −¼ ln ¼ − ¾ ln ¾.
        let count = 4000;
        let place = |n: usize| (n as f64 + 0.5) / count as f64;
        let verdict = |x: f64| if x < 0.25 { Verdict::Set } else { Verdict::LeaveAside };
        let pairs: Vec<_> = (0..count).map(|n| (place(n), verdict(place(n)))).collect();
        let all = -0.25 * 0.25_f64.ln() - 0.75 * 0.75_f64.ln();
        assert!((information(pairs) - all).abs() < 1e-3);
        // A value that has nothing to do with it tells nothing: the other way of a lattice.
        let other = |n: usize| (n as f64 * 0.618_033_988_75).fract();
        let pairs: Vec<_> = (0..count).map(|n| (other(n), verdict(place(n)))).collect();
        assert!(information(pairs) < 2e-3);
        // The verdict turns at the middle of a part: what is left is the doubt within that part, a quarter of ln 2.
        let verdict = |x: f64| if x < 0.375 { Verdict::Set } else { Verdict::LeaveAside };
        let pairs: Vec<_> = (0..count).map(|n| (place(n), verdict(place(n)))).collect();
        let all = -0.375 * 0.375_f64.ln() - 0.625 * 0.625_f64.ln();
        assert!((information(pairs) - (all - 0.25 * 2.0_f64.ln())).abs() < 1e-3);
    }
}
