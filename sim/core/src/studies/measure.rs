//! What to measure next: how much of the doubt about a question a measurement is expected to take away.
//!
//! The machines drawn for the odds ([`super::odds`]) are used again. A measurement does not tell the value X itself but a reading
//! Y = X + e, with an error e anywhere within what the tool and the hand can do, all alike. What it is expected to tell of the
//! answer V is the mutual information I(V; Y) = H(V) − H(V | Y), nats: never more than I(V; X), and nought for a reading that is
//! coarser than the doubt itself. The errors are drawn on a further coordinate of the sequence, so that they hang on none of the
//! values.
//!
//! Asked how long the sleeve must be, each machine drawn answers with the length that would be made for it, or that no one length does.
//! V is then in which of four equally likely parts of all lengths its own lies; lengths that differ by less than they are recommended
//! to are one, so that there is no doubt where all machines want the same.

use super::judge::Verdict;
use super::odds::{Draw, Odds, entropy, impossible, information};
use super::sensitivity::coordinate;
use super::spread::{Share, Spread, percentile};

/// Where the lengths are cut into parts, each as likely as the others.
const CUTS: [f64; 3] = [0.25, 0.5, 0.75];

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
    /// How much of the doubt about each part of the question it takes away, nats.
    pub told: Vec<f64>,
    /// How much of the doubt about all of it: 0 to 1.
    pub share: f64,
}

/// What the machines drawn answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Asked {
    /// What to do with the latch, for each of so many casts.
    Verdict(usize),
    /// How long the sleeve must be: the lengths of the machines that one does for, m, and how many those are.
    Sleeve(Spread, Share),
    /// How long the sleeve must be, where hardly a machine has a length that does.
    NoSleeve,
}

/// The machines drawn, and the answers of each.
#[derive(Debug, Clone)]
pub struct Doubted {
    /// The question.
    pub asked: Asked,
    /// The values of each machine, SI, and its answer to each part of the question: to any two alike the same number.
    machines: Vec<(Vec<f64>, Vec<usize>)>,
    /// How many machines were drawn that cannot be, and count nowhere.
    pub impossible: usize,
    /// How many parts the question has.
    parts: usize,
    /// Which of the sequences of draws the errors of readings are taken from.
    seed: u32,
}

impl Doubted {
    /// What to do with the latch, for each of the casts that the machines were judged for.
    pub fn verdicts(odds: &Odds, casts: usize, seed: u32) -> Self {
        let answered = odds.draws.iter().filter_map(|draw| {
            let verdicts: &Vec<Verdict> = draw.answer.as_ref()?;
            Some((draw.values.clone(), verdicts.iter().map(|verdict| *verdict as usize).collect()))
        });
        let impossible = impossible(&odds.draws);
        Self { asked: Asked::Verdict(casts), machines: answered.collect(), impossible, parts: casts, seed }
    }

    /// How long the sleeve must be.
    pub fn lengths(draws: &[Draw<Option<f64>>], seed: u32) -> Self {
        let mut sorted: Vec<f64> = draws.iter().filter_map(|draw| draw.answer?).collect();
        sorted.sort_by(f64::total_cmp);
        let cuts = CUTS.map(|share| percentile(&sorted, share).unwrap_or(f64::NAN));
        let part = |length: Option<f64>| {
            length.map_or(0, |length| 1 + cuts.iter().filter(|cut| length > **cut).count())
        };
        let answered = draws.iter().filter_map(|draw| Some((draw.values.clone(), vec![part(draw.answer?)])));
        let machines: Vec<_> = answered.collect();
        let share = Share::new(sorted.len(), machines.len(), machines.len());
        let asked = Spread::of(sorted).map_or(Asked::NoSleeve, |spread| Asked::Sleeve(spread, share));
        Self { asked, machines, impossible: impossible(draws), parts: 1, seed }
    }

    /// How many machines were drawn that can be.
    pub fn drawn(&self) -> usize {
        self.machines.len()
    }

    /// The doubt about each part of the question, H(V), nats.
    pub fn doubt(&self) -> Vec<f64> {
        let of = |part: usize| entropy(self.machines.iter().filter_map(|(_, answers)| answers.get(part)));
        (0..self.parts).map(of).collect()
    }

    /// What a reading of the input at a place is expected to tell.
    pub fn gain(&self, input: usize, reading: Reading) -> Gain {
        let told: Vec<f64> = (0..self.parts).map(|part| self.told(part, input, reading)).collect();
        let whole: f64 = self.doubt().iter().sum();
        let share = if whole > 0.0 { told.iter().sum::<f64>() / whole } else { 0.0 };
        Gain { input, told, share: share.min(1.0) }
    }

    /// I(V; Y) of one part, nats.
    fn told(&self, part: usize, input: usize, reading: Reading) -> f64 {
        let machines = self.machines.iter().enumerate();
        let pairs = machines.filter_map(|(n, (values, answers))| {
            let (answer, value) = (*answers.get(part)?, *values.get(input)?);
            let error = 2.0 * coordinate(n, values.len(), self.seed) - 1.0;
            Some((value + error * reading.half_width(value), answer))
        });
        information(pairs.collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// X even from 0 to 1 and two casts: the verdict on the first turns at a half; of the second, the lowest quarter will not do at all.
    fn machines() -> Odds {
        let draw = |n: usize| {
            let x = coordinate(n, 0, 1);
            let verdict = if x < 0.5 { Verdict::LeaveAside } else { Verdict::Set };
            let other = if x < 0.25 { Verdict::Neither } else { verdict };
            Draw { values: vec![x], answer: Some(vec![verdict, other]) }
        };
        Odds { draws: (0..8192).map(draw).collect() }
    }

    #[test]
    fn closed_form_information_of_a_blurred_reading() {
        let doubted = Doubted::verdicts(&machines(), 2, 1);
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
    fn closed_form_information_about_a_length() {
        // The length goes with X and not with the other value; the longest quarter of the machines has none. The parts of the rest are
        // three in sixteen each: H = −¼ ln ¼ − 4·(3/16) ln(3/16).
        let machine = |n: usize| {
            let x = coordinate(n, 0, 1);
            let length = (x < 0.75).then_some(0.06 + 0.001 * x);
            Draw { values: vec![x, coordinate(n, 1, 1)], answer: Some(length) }
        };
        let drawn: Vec<_> = (0..8192).map(machine).collect();
        let doubted = Doubted::lengths(&drawn, 1);
        let share = |p: f64| -p * p.ln();
        let doubt = share(0.25) + 4.0 * share(3.0 / 16.0);
        assert!((doubted.doubt()[0] - doubt).abs() < 2e-3, "{:?}", doubted.doubt());
        // X cut at the quarters tells the quarter without a length, and of the others their parts as far as the cuts fall together:
        // the lowest quarter holds three parts of four of the lowest part and one of the next, and so on.
        let mixed = |p: f64| share(p) + share(1.0 - p);
        let left = 0.25 * (mixed(0.75) + mixed(0.5) + mixed(0.25));
        let told = doubted.gain(0, Reading::Within(0.0)).told[0];
        assert!((told - (doubt - left)).abs() < 4e-3, "{told} {}", doubt - left);
        assert!(doubted.gain(1, Reading::Within(0.0)).told[0] < 2e-3);
        let Asked::Sleeve(spread, with) = doubted.asked else { panic!("{:?}", doubted.asked) };
        assert!((with.value() - 0.75).abs() < 1e-3 && (spread.p50 - 0.060_375).abs() < 1e-6);
        // All of one length leave no doubt.
        let same = drawn.iter().map(|draw| Draw { answer: Some(Some(0.06)), ..draw.clone() });
        assert!(Doubted::lengths(&same.collect::<Vec<_>>(), 1).doubt()[0].abs() < 1e-12);
    }
}
