//! A periodic cubic spline that smooths: the least of Σw(y − z)² + λ·∫z″².
//!
//! ∫z″² = zᵀKz with K = Q·R⁻¹·Qᵀ: Q takes second differences round the turn, R holds the widths between (C. H. Reinsch, *Numerische
//! Mathematik* 10 (1967) 177; periodic as in P. J. Green and B. W. Silverman, *Nonparametric Regression and Generalized Linear Models*,
//! chapter 2). In the eigenvectors of W^(−1/2)·K·W^(−1/2) each share of the lifts shrinks by 1/(1 + λd) alone, so that λ is found by looking:
//! where the scatter s of a reading is known, the least of RSS + 2s²·tr H (C. L. Mallows' measure), and where it is not, the
//! least of RSS/(n − tr H)² (generalised cross-validation, P. Craven and G. Wahba, 1979).

use nalgebra::{DMatrix, DVector};
use std::f64::consts::TAU;

/// Values of λ that are tried, from hardly any smoothing to hardly any cam, in equal steps of its logarithm.
const TRIED: u32 = 200;

/// The lifts of readings (angle in rad, rising within one turn; lift in m) of which each is the mean of so many, smoothed; `scatter` that of
/// a single reading where it is known. As they were where nothing can be made of them.
pub(super) fn smoothed(readings: &[(f64, f64)], counts: &[usize], scatter: Option<f64>) -> Vec<f64> {
    let plain: Vec<f64> = readings.iter().map(|reading| reading.1).collect();
    solved(readings, counts, scatter)
        .filter(|lifts| lifts.iter().all(|lift| lift.is_finite()))
        .unwrap_or(plain)
}

fn solved(readings: &[(f64, f64)], counts: &[usize], scatter: Option<f64>) -> Option<Vec<f64>> {
    let count = readings.len();
    let next = |n: usize| (n + 1) % count;
    let width = |n: usize| (readings[next(n)].0 - readings[n].0).rem_euclid(TAU);
    let mut q: DMatrix<f64> = DMatrix::zeros(count, count);
    let mut r: DMatrix<f64> = DMatrix::zeros(count, count);
    for n in 0..count {
        let (before, after) = (width((n + count - 1) % count), width(n));
        let prior = (n + count - 1) % count;
        q[(prior, n)] += 1.0 / before;
        q[(n, n)] -= 1.0 / before + 1.0 / after;
        q[(next(n), n)] += 1.0 / after;
        r[(n, n)] += (before + after) / 3.0;
        r[(n, next(n))] += after / 6.0;
        r[(next(n), n)] += after / 6.0;
    }
    let roughness: DMatrix<f64> = &q * r.cholesky()?.solve(&q.transpose());
    let root = DVector::from_iterator(count, counts.iter().map(|count| (*count as f64).sqrt()));
    let weighed = DMatrix::from_fn(count, count, |i, j| {
        0.5 * (roughness[(i, j)] + roughness[(j, i)]) / (root[i] * root[j])
    });
    let parts = weighed.symmetric_eigen();
    let lifts = DVector::from_iterator(count, readings.iter().map(|reading| reading.1)).component_mul(&root);
    let shares = parts.eigenvectors.tr_mul(&lifts);
    let largest = parts.eigenvalues.max();
    let keep = |strength: f64, n: usize| 1.0 / (1.0 + strength * parts.eigenvalues[n].max(0.0));
    let price = |strength: f64| {
        let left: f64 = (0..count).map(|n| ((1.0 - keep(strength, n)) * shares[n]).powi(2)).sum();
        let free: f64 = (0..count).map(|n| keep(strength, n)).sum();
        match scatter {
            Some(scatter) => left + 2.0 * scatter * scatter * free,
            None => left / (count as f64 - free).powi(2),
        }
    };
    // From where the roughest share is halved a hundred times over to where it is hardly touched.
    let tried = (0..TRIED).map(|n| libm::exp(f64::from(n) / f64::from(TRIED - 1) * 30.0) * 1e-3 / largest);
    let best = tried.min_by(|a, b| price(*a).total_cmp(&price(*b)))?;
    let kept = DVector::from_fn(count, |n, _| keep(best, n) * shares[n]);
    Some((&parts.eigenvectors * kept).component_div(&root).iter().copied().collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: of lifts evenly apart by h each harmonic shrinks by itself, by 1/(1 + λ·d) with
    /// d = 3(2 − 2·cos kh)²/(h³·(2 + cos kh)), since Q and R are the same round the turn; what λ is does not matter for their ratios.
    #[test]
    fn closed_form_harmonics_shrink_each_by_itself() {
        let count = 24_usize;
        let h = TAU / count as f64;
        let lift =
            |angle: f64| 10.0 + 4.0 * angle.cos() + 0.5 * (3.0 * angle).sin() + 0.2 * (5.0 * angle).cos();
        let readings: Vec<(f64, f64)> = (0..count).map(|n| (n as f64 * h, lift(n as f64 * h))).collect();
        let lifts = smoothed(&readings, &vec![2; count], Some(0.6));
        let part = |of: &dyn Fn(f64) -> f64| {
            lifts.iter().zip(&readings).map(|(lift, reading)| lift * of(reading.0)).sum::<f64>() * 2.0
                / count as f64
        };
        let shrunk = |kept: f64, was: f64| was / kept - 1.0;
        let first = shrunk(part(&f64::cos), 4.0);
        let third = shrunk(part(&|angle| (3.0 * angle).sin()), 0.5);
        let fifth = shrunk(part(&|angle| (5.0 * angle).cos()), 0.2);
        let d = |k: f64| (2.0 - 2.0 * (k * h).cos()).powi(2) / (2.0 + (k * h).cos());
        assert!((third / first / (d(3.0) / d(1.0)) - 1.0).abs() < 1e-6, "{first} {third}");
        assert!((fifth / first / (d(5.0) / d(1.0)) - 1.0).abs() < 1e-6, "{first} {fifth}");
        assert!(third > 0.05, "hardly anything was smoothed: {third}");
        let mean = lifts.iter().sum::<f64>() / count as f64;
        assert!((mean - 10.0).abs() < 1e-9);
    }
}
