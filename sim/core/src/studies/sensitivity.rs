//! Which input causes how much of the spread of a result: variance-based sensitivity indices.
//!
//! For a result f of inputs x_1 … x_k that vary independently of each other, V the variance and E the mean:
//! - first-order index S_i = V(E(f | x_i))/V(f): the share of the spread that x_i makes on its own, and by which the variance
//!   would shrink if x_i were known exactly;
//! - total index T_i = E(V(f | all but x_i))/V(f): the share it makes in all, together with the others as well.
//!
//! In a sum of independent parts S_i = T_i, and all S_i add up to one.
//!
//! Two samples A and B of N points each, and for every input the points of A with that one input taken from B, make N·(k + 2)
//! evaluations. Estimators: S_i = mean(f_B·(f_ABi − f_A))/V after A. Saltelli et al., Computer Physics Communications 181
//! (2010), with f measured from its mean; T_i = mean((f_A − f_ABi)²)/(2V) after M. J. W. Jansen, Computer Physics
//! Communications 117 (1999). The points are an Owen-scrambled Sobol sequence of 2k dimensions.
//!
//! Confidence intervals: 95 %, by resampling the N rows (percentile bootstrap, B. Efron 1979). A Sobol sequence fills its space
//! more evenly than the bootstrap supposes, so the intervals err on the wide side.

use super::spread::percentile;
use super::watch::Watch;
use crate::parallel::prelude::*;
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};

/// The longest sequence the generator has.
const MOST_ROWS: usize = 1 << 16;
/// The most dimensions the generator has.
const MOST_DIMENSIONS: usize = 256;
/// Rows evaluated between two looks at what has been finished.
const ROWS_AT_ONCE: usize = 32;
/// How often the rows are resampled.
const RESAMPLES: u64 = 1000;
/// A variance below this share of the square of the values is rounding.
const FLAT: f64 = 1e-20;

/// Which points are evaluated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Design {
    /// k: how many inputs vary.
    pub inputs: usize,
    /// N: how many rows of k + 2 points there are.
    pub rows: usize,
    /// Chooses one of the scrambled sequences.
    pub seed: u32,
}

/// The results of one row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row<T> {
    /// f_A.
    pub base: T,
    /// f_B.
    pub other: T,
    /// f_ABi: as A, but with input i from B.
    pub mixed: Vec<T>,
}

impl<T> Row<T> {
    /// Every result of the row.
    pub fn all(&self) -> impl Iterator<Item = &T> {
        [&self.base, &self.other].into_iter().chain(&self.mixed)
    }

    /// The row of what is told of each result.
    pub fn map<U>(&self, tell: impl Fn(&T) -> U) -> Row<U> {
        Row { base: tell(&self.base), other: tell(&self.other), mixed: self.mixed.iter().map(tell).collect() }
    }
}

impl Design {
    /// The design with as many rows as `evaluations` allow. None if that is not one row, if nothing varies, or if more varies
    /// than the sequence has dimensions for (128 inputs).
    pub fn within(inputs: usize, evaluations: usize, seed: u32) -> Option<Self> {
        let rows = (evaluations / (inputs + 2)).min(MOST_ROWS);
        (rows > 0 && inputs > 0 && 2 * inputs <= MOST_DIMENSIONS).then_some(Self { inputs, rows, seed })
    }

    /// N·(k + 2).
    pub fn evaluations(&self) -> usize {
        self.rows * (self.inputs + 2)
    }

    /// Point number `place` of a row, each input from 0 to 1: A, B, then A with one input from B after the other.
    pub fn point(&self, row: usize, place: usize) -> Vec<f64> {
        (0..self.inputs)
            .map(|input| {
                let from_b = place == 1 || place == input + 2;
                coordinate(row, if from_b { self.inputs + input } else { input }, self.seed)
            })
            .collect()
    }

    /// Evaluates the points on all cores. The rows come in their order, the same whatever the number of cores; if the work is
    /// called off, as many of them from the first as are complete.
    pub fn evaluate<T: Send>(&self, of: impl Fn(&[f64]) -> T + Sync, watch: &impl Watch) -> Vec<Row<T>> {
        let per_row = self.inputs + 2;
        let mut rows = Vec::with_capacity(self.rows);
        for first in (0..self.rows).step_by(ROWS_AT_ONCE) {
            let count = ROWS_AT_ONCE.min(self.rows - first);
            let results: Vec<Option<T>> = (0..count * per_row)
                .into_par_iter()
                .map(|n| {
                    if watch.called_off() {
                        return None;
                    }
                    let result = of(&self.point(first + n / per_row, n % per_row));
                    watch.advance(1);
                    Some(result)
                })
                .collect();
            let mut results = results.into_iter();
            for _ in 0..count {
                let row: Option<Vec<T>> = results.by_ref().take(per_row).collect();
                let mut row = row.into_iter().flatten();
                let (Some(base), Some(other)) = (row.next(), row.next()) else { return rows };
                rows.push(Row { base, other, mixed: row.collect() });
            }
        }
        rows
    }
}

/// One coordinate, 0 to 1, of the scrambled Sobol sequence. `point` below 65536, `dimension` below 256.
pub fn coordinate(point: usize, dimension: usize, seed: u32) -> f64 {
    let small = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    f64::from(sobol_burley::sample(small(point), small(dimension), seed))
}

/// A figure with its 95 % confidence interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The figure.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

/// What one input does to the spread of a result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// S_i, which an estimate may leave a little below zero.
    pub first: Estimate,
    /// T_i.
    pub total: Estimate,
}

/// What every input does to the spread of a result.
#[derive(Debug, Clone, PartialEq)]
pub struct Effects {
    /// Input by input.
    pub of: Vec<Effect>,
    /// The rows they are estimated from: those in which every result is a finite number.
    pub rows: usize,
}

/// Evaluates `of` over ranges of its inputs (low, high), each uniform between, and estimates what every input does.
/// `evaluations` is the most that may be spent; none when they are too few, or the result does not vary.
pub fn effects_of(
    of: impl Fn(&[f64]) -> f64 + Sync,
    ranges: &[(f64, f64)],
    evaluations: usize,
    seed: u32,
    watch: &impl Watch,
) -> Option<Effects> {
    let within = |shares: &[f64]| -> Vec<f64> {
        shares.iter().zip(ranges).map(|(share, (low, high))| low + share * (high - low)).collect()
    };
    let design = Design::within(ranges.len(), evaluations, seed)?;
    effects(&design.evaluate(|shares| of(&within(shares)), watch), seed)
}

/// What every input does to the spread, from evaluated rows. None of fewer than two rows of finite numbers, or when they do
/// not vary.
pub fn effects(rows: &[Row<f64>], seed: u32) -> Option<Effects> {
    let usable: Vec<&Row<f64>> = rows.iter().filter(|row| row.all().all(|value| value.is_finite())).collect();
    let inputs = usable.first()?.mixed.len();
    let count = usable.len();
    let ends = || usable.iter().flat_map(|row| [row.base, row.other]);
    let mean = ends().sum::<f64>() / (2 * count) as f64;
    let size = ends().map(|value| value * value).sum::<f64>() / (2 * count) as f64;
    let terms: Vec<Terms> = usable.iter().map(|row| Terms::of(row, mean)).collect();
    let found = Sums::over(terms.iter(), inputs);
    if count < 2 || found.variance() <= FLAT * size {
        return None;
    }
    let resampled: Vec<Vec<(f64, f64)>> = (0..RESAMPLES)
        .into_par_iter()
        .map(|turn| {
            let mut random = ChaCha8Rng::seed_from_u64((u64::from(seed) << 32) | turn);
            let drawn = (0..count).filter_map(|_| terms.get(random.random_range(0..count)));
            Sums::over(drawn, inputs).indices()
        })
        .collect();
    let of = found.indices().into_iter().enumerate().map(|(input, (first, total))| {
        let interval = |value: f64, pick: fn(&(f64, f64)) -> f64| {
            let mut sorted: Vec<f64> = resampled
                .iter()
                .filter_map(|turn| turn.get(input))
                .map(pick)
                .filter(|v| v.is_finite())
                .collect();
            sorted.sort_by(f64::total_cmp);
            let end = |share: f64| percentile(&sorted, share).unwrap_or(value);
            Estimate { value, low: end(0.025), high: end(0.975) }
        };
        Effect { first: interval(first, |pair| pair.0), total: interval(total, |pair| pair.1) }
    });
    Some(Effects { of: of.collect(), rows: count })
}

/// What one row adds to the sums.
struct Terms {
    /// (f_A + f_B)/2 and (f_A² + f_B²)/2, for mean and variance.
    moments: (f64, f64),
    /// For every input: f_ABi − f_A, f_B·(f_ABi − f_A), (f_ABi − f_A)²/2.
    inputs: Vec<(f64, f64, f64)>,
}

impl Terms {
    /// Values are measured from `mean`, so that no digits cancel.
    fn of(row: &Row<f64>, mean: f64) -> Self {
        let (base, other) = (row.base - mean, row.other - mean);
        Self {
            moments: (0.5 * (base + other), 0.5 * (base * base + other * other)),
            inputs: row
                .mixed
                .iter()
                .map(|mixed| {
                    let change = mixed - row.base;
                    (change, other * change, 0.5 * change * change)
                })
                .collect(),
        }
    }
}

/// Sums over rows.
struct Sums {
    count: f64,
    moments: (f64, f64),
    inputs: Vec<(f64, f64, f64)>,
}

impl Sums {
    fn over<'a>(rows: impl Iterator<Item = &'a Terms>, inputs: usize) -> Self {
        let mut sums = Self { count: 0.0, moments: (0.0, 0.0), inputs: vec![(0.0, 0.0, 0.0); inputs] };
        for row in rows {
            sums.count += 1.0;
            sums.moments.0 += row.moments.0;
            sums.moments.1 += row.moments.1;
            for (sum, term) in sums.inputs.iter_mut().zip(&row.inputs) {
                *sum = (sum.0 + term.0, sum.1 + term.1, sum.2 + term.2);
            }
        }
        sums
    }

    fn variance(&self) -> f64 {
        self.moments.1 / self.count - (self.moments.0 / self.count).powi(2)
    }

    /// S and T of every input.
    fn indices(&self) -> Vec<(f64, f64)> {
        let (mean, spread) = (self.moments.0 / self.count, self.count * self.variance());
        self.inputs
            .iter()
            .map(|(change, product, half)| ((product - mean * change) / spread, half / spread))
            .collect()
    }
}
