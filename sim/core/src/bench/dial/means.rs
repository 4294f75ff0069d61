//! The means of a dial's readings and the noughts of its runs.

use super::super::{median, of_rounding};
use super::Look;
use std::f64::consts::TAU;

/// Angles this near to each other are the same, rad.
pub(super) const SAME: f64 = 1e-4;
/// A reading is off where it lies so many times the scatter from the others at its angle, and by no less than this, m.
const OFF: (f64, f64) = (6.0, 0.1e-3);

/// The means of the angles and the noughts of the runs.
pub(super) struct Means {
    /// In growing order, rad.
    pub angles: Vec<f64>,
    /// The mean of each, m.
    pub lifts: Vec<f64>,
    /// How many readings it has.
    pub counts: Vec<usize>,
    /// Of which angle each reading is.
    place: Vec<usize>,
    /// What is left of each reading.
    left: Vec<f64>,
}

impl Means {
    /// Those for which what is left is least.
    pub fn of(looks: &[(usize, Look)], runs: usize) -> Self {
        let inside = |angle: f64| {
            let angle = angle.rem_euclid(TAU);
            if TAU - angle < SAME { 0.0 } else { angle }
        };
        let mut angles: Vec<f64> = looks.iter().map(|(_, look)| inside(look.angle)).collect();
        angles.sort_by(f64::total_cmp);
        angles.dedup_by(|a, b| (*a - *b).abs() < SAME);
        let nearest = |look: &Look| {
            let angle = inside(look.angle);
            angles.partition_point(|known| *known <= angle + SAME).saturating_sub(1)
        };
        let place: Vec<usize> = looks.iter().map(|(_, look)| nearest(look)).collect();
        let mut counts = vec![0; angles.len()];
        for place in &place {
            counts[*place] += 1;
        }
        let mut noughts = vec![0.0; runs];
        let mut lifts = vec![0.0; angles.len()];
        let mean_of = |key: &dyn Fn(usize) -> usize, size: usize, of: &dyn Fn(usize) -> f64| -> Vec<f64> {
            let mut sums = vec![(0.0, 0.0); size];
            for n in 0..looks.len() {
                sums[key(n)].0 += of(n);
                sums[key(n)].1 += 1.0;
            }
            sums.into_iter().map(|(sum, count): (f64, f64)| sum / count.max(1.0)).collect()
        };
        // Each of the two kinds in turn: settled at once where every run has every angle, and soon where they share some.
        for _ in 0..200 {
            lifts = mean_of(&|n| place[n], lifts.len(), &|n| looks[n].1.lift - noughts[looks[n].1.run]);
            let new = mean_of(&|n| looks[n].1.run, runs, &|n| looks[n].1.lift - lifts[place[n]]);
            let middle = new.iter().sum::<f64>() / new.len().max(1) as f64;
            let new: Vec<f64> = new.into_iter().map(|nought| nought - middle).collect();
            let change = new.iter().zip(&noughts).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            noughts = new;
            if change < 1e-12 {
                break;
            }
        }
        let left =
            looks.iter().zip(&place).map(|((_, look), place)| look.lift - lifts[*place] - noughts[look.run]);
        let left = left.collect();
        Self { angles, lifts, counts, place, left }
    }

    /// Standard deviation of a reading.
    pub fn scatter(&self, looks: &[(usize, Look)], runs: usize) -> Option<f64> {
        let told = self.angles.len() + runs.saturating_sub(1);
        let freedom = looks.len().checked_sub(told).filter(|freedom| *freedom > 0)?;
        Some((self.left.iter().map(|left| left * left).sum::<f64>() / freedom as f64).sqrt())
    }

    /// How far off a reading may be: many times what half of those do that were taken again.
    fn most(&self, step: f64) -> f64 {
        let again = self.left.iter().zip(&self.place).filter(|(_, place)| self.counts[**place] > 1);
        let usual = 1.4826 * median(again.map(|(left, _)| left.abs()).collect());
        OFF.1.max(OFF.0 * usual.max(of_rounding(step)))
    }

    /// The reading that is furthest off the others at its angle, of which there are two or more, and by how much.
    pub fn worst(&self, looks: &[(usize, Look)], step: f64) -> Option<(usize, f64)> {
        let most = self.most(step);
        let off = (0..looks.len()).filter(|n| self.counts[self.place[*n]] > 2).map(|n| {
            let count = self.counts[self.place[n]] as f64;
            (n, self.left[n] * count / (count - 1.0))
        });
        off.filter(|(_, by)| by.abs() > most).max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
    }

    /// The angles with two readings that differ by more than they may.
    pub fn apart(&self, looks: &[(usize, Look)], step: f64) -> Vec<(usize, f64)> {
        let most = self.most(step);
        let pairs = (0..looks.len()).filter(|n| self.counts[self.place[*n]] == 2 && self.left[*n] > 0.0);
        pairs.map(|n| (self.place[n], 2.0 * self.left[n])).filter(|(_, by)| *by > most).collect()
    }
}
