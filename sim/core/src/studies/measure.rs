//! What to measure next: how much of the doubt about a question a measurement is expected to take away.
//!
//! The machines drawn for the odds ([`super::odds`]) are used again. A measurement does not tell the value X itself but a reading
//! Y = X + e, with an error e anywhere within what the tool and the hand can do, all alike. What it is expected to tell of the
//! question V is the mutual information I(V; Y) = H(V) − H(V | Y), nats: never more than I(V; X), and nought for a reading that is
//! coarser than the doubt itself. The errors are drawn on a further coordinate of the sequence, so that they hang on none of the
//! values.

use super::judge::Verdict;
use super::odds::{Odds, entropy, information};
use super::sensitivity::coordinate;

/// What is asked of the machines drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// What to do with the latch.
    Verdict,
    /// Whether the sleeve that is fitted does: a size can be cast with it, whether it wants the latch or not.
    Sleeve,
}

impl Asked {
    /// The answer that a verdict gives.
    fn answer(self, verdict: Verdict) -> Verdict {
        match (self, verdict) {
            (Self::Sleeve, Verdict::LeaveAside) => Verdict::Set,
            (_, verdict) => verdict,
        }
    }
}

/// How closely a value can be read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading {
    /// To within so much, SI.
    Within(f64),
    /// To within this share of the value.
    Share(f64),
}

impl Reading {
    /// How far a reading of a value may be off, SI.
    pub fn half_width(self, value: f64) -> f64 {
        match self {
            Self::Within(half) => half,
            Self::Share(share) => share * value.abs(),
        }
    }
}

/// What a measurement is expected to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Gain {
    /// The place of the value among the inputs.
    pub input: usize,
    /// How much of the doubt about each cast it takes away, nats.
    pub told: Vec<f64>,
    /// How much of the doubt about all casts together: 0 to 1.
    pub share: f64,
}

/// The machines drawn, and what is asked of them.
#[derive(Debug, Clone, Copy)]
pub struct Doubted<'a> {
    /// The machines.
    pub odds: &'a Odds,
    /// For how many casts each was judged.
    pub casts: usize,
    /// The question.
    pub asked: Asked,
    /// Which of the sequences of draws the errors of readings are taken from.
    pub seed: u32,
}

impl Doubted<'_> {
    /// The doubt about each cast, H(V), nats.
    pub fn doubt(&self) -> Vec<f64> {
        let of = |cast: usize| {
            let answers = self.odds.draws.iter().filter_map(|draw| draw.verdicts.as_ref()?.get(cast));
            entropy(answers.map(|verdict| self.asked.answer(*verdict)))
        };
        (0..self.casts).map(of).collect()
    }

    /// What a reading of the input at a place is expected to tell.
    pub fn gain(&self, input: usize, reading: Reading) -> Gain {
        let told: Vec<f64> = (0..self.casts).map(|cast| self.told(cast, input, reading)).collect();
        let whole: f64 = self.doubt().iter().sum();
        let share = if whole > 0.0 { told.iter().sum::<f64>() / whole } else { 0.0 };
        Gain { input, told, share: share.min(1.0) }
    }

    /// I(V; Y) of one cast, nats.
    fn told(&self, cast: usize, input: usize, reading: Reading) -> f64 {
        let draws = self.odds.draws.iter().enumerate();
        let pairs = draws.filter_map(|(n, draw)| {
            let (verdict, value) = (*draw.verdicts.as_ref()?.get(cast)?, *draw.values.get(input)?);
            let error = 2.0 * coordinate(n, draw.values.len(), self.seed) - 1.0;
            Some((value + error * reading.half_width(value), self.asked.answer(verdict)))
        });
        information(pairs.collect())
    }
}

#[cfg(test)]
mod tests {
    use super::super::odds::Draw;
    use super::*;

    /// X even from 0 to 1 and two casts: the verdict on the first turns at a half; of the second, the lowest quarter will not do at all.
    fn machines() -> Odds {
        let draw = |n: usize| {
            let x = coordinate(n, 0, 1);
            let verdict = if x < 0.5 { Verdict::LeaveAside } else { Verdict::Set };
            let other = if x < 0.25 { Verdict::Neither } else { verdict };
            Draw { values: vec![x], verdicts: Some(vec![verdict, other]) }
        };
        Odds { draws: (0..8192).map(draw).collect() }
    }

    #[test]
    fn closed_form_information_of_a_blurred_reading() {
        let odds = machines();
        let doubted = Doubted { odds: &odds, casts: 2, asked: Asked::Verdict, seed: 1 };
        let ln2 = 2.0_f64.ln();
        assert!((doubted.doubt()[0] - ln2).abs() < 1e-4);
        // Read exactly, X tells all there is.
        assert!((doubted.gain(0, Reading::Within(0.0)).told[0] - ln2).abs() < 1e-3);
        // Read to within half its range, Y = X + e has a triangular distribution about 1/2, whose quarters end at 1/2 ± (1 − 1/√2).
        // Of the readings in the lowest quarter, (√2 − 1)²/2 over 1/4 come of an X above a half; of those in the next, the rest of the
        // eighth that lies above a half and is read below it.
        let split = |p: f64| -p * p.ln() - (1.0 - p) * (1.0 - p).ln();
        let outer = 2.0 * (0.5_f64.sqrt() - 0.5).powi(2);
        let left = 0.5 * (split(outer) + split(0.5 - outer));
        let told = doubted.gain(0, Reading::Within(0.5)).told[0];
        assert!((told - (ln2 - left)).abs() < 4e-3, "{told} {}", ln2 - left);
        // A reading as coarse as a hundred times the range tells nothing.
        assert!(doubted.gain(0, Reading::Within(100.0)).told[0] < 1e-3);
    }

    #[test]
    fn closed_form_the_sleeve_does_whatever_the_latch() {
        let odds = machines();
        let doubted = Doubted { odds: &odds, casts: 2, asked: Asked::Sleeve, seed: 1 };
        // Leaving aside and setting are one answer: no doubt about the first cast, a quarter against three about the other.
        let quarter = -0.25 * 0.25_f64.ln() - 0.75 * 0.75_f64.ln();
        let doubt = doubted.doubt();
        assert!(doubt[0].abs() < 1e-12 && (doubt[1] - quarter).abs() < 1e-3, "{doubt:?}");
        let gain = doubted.gain(0, Reading::Share(0.0));
        assert!(gain.told[0].abs() < 1e-12 && (gain.share - 1.0).abs() < 2e-3, "{gain:?}");
    }
}
