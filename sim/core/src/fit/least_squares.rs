//! Nonlinear least squares after Levenberg and Marquardt, within bounds and with priors.
//!
//! Sought is the least of ½·Σρ(r_i(p)²) + ½·Σ((p_j − m_j)/s_j)² over the box of the bounds. A step p solves the linearised problem
//! with |D·p| ≤ Δ (J. J. Moré, "The Levenberg–Marquardt algorithm: implementation and theory", 1978): D holds the greatest norm each
//! column of the slopes has had, Δ grows and shrinks with what the last step gained of what it promised. The slopes are
//! taken apart once for each point (QR, then the singular values of the small triangle), so that the damping for a Δ is a root in
//! one number. A value at its bound that the slope would push beyond it is held there for the step, and steps end at the bounds.
//!
//! It is ours because the library there is for it, levenberg-marquardt, knows neither bounds nor priors nor a robust loss, and the
//! three together are most of what stands here. `tests/reference/certified_fits.rs` holds it to certified answers.

use crate::parallel::prelude::*;
use nalgebra::{DMatrix, DVector};

/// How a residual counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Loss {
    /// By its square.
    Square,
    /// By its square up to so many standard deviations, and in a straight line beyond (P. J. Huber, 1964).
    Huber(f64),
}

impl Loss {
    /// ρ of a residual.
    fn of(self, residual: f64) -> f64 {
        match self {
            Self::Huber(most) if residual.abs() > most => most * (2.0 * residual.abs() - most),
            Self::Square | Self::Huber(_) => residual * residual,
        }
    }

    /// The root of ρ' by the square of the residual: what its row is multiplied by.
    fn weight(self, residual: f64) -> f64 {
        match self {
            Self::Huber(most) if residual.abs() > most => (most / residual.abs()).sqrt(),
            Self::Square | Self::Huber(_) => 1.0,
        }
    }
}

/// One value that is sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parameter {
    /// Where the search begins.
    pub start: f64,
    /// The least and the greatest it may be.
    pub bounds: (f64, f64),
    /// Mean and standard deviation of what is known of it beforehand; none where nothing is.
    pub prior: Option<(f64, f64)>,
    /// By how much it is moved to see the slope; a share of its size where none is given.
    pub step: Option<f64>,
}

impl Parameter {
    /// A value of which nothing is known.
    pub fn free(start: f64) -> Self {
        Self { start, bounds: (f64::NEG_INFINITY, f64::INFINITY), prior: None, step: None }
    }

    /// By how much a value is moved either way. The error of a central difference is least near the cube root of the rounding.
    fn nudge(&self, at: f64) -> f64 {
        let size = if at == 0.0 { self.start.abs().max(1e-8) } else { at.abs() };
        self.step.unwrap_or(libm::cbrt(f64::EPSILON) * size)
    }
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The values.
    pub at: Vec<f64>,
    /// The residuals there.
    pub residuals: Vec<f64>,
    /// The slopes of the residuals there, each row as it was weighed by the loss; without the priors' rows.
    pub slopes: DMatrix<f64>,
    /// Σρ of residuals and priors.
    pub cost: f64,
    /// How many steps it took.
    pub steps: usize,
}

impl Fitted {
    /// (JᵀJ + priors)⁻¹: the covariance of the values where each residual has a standard deviation of one; none where something is
    /// not told by residuals or priors.
    pub fn covariance(&self, parameters: &[Parameter]) -> Option<DMatrix<f64>> {
        let mut whole = stacked(&self.slopes, parameters);
        let sizes = scaled(&mut whole);
        let svd = whole.qr().r().svd(false, true);
        let turned = svd.v_t?;
        let most = svd.singular_values.max();
        if svd.singular_values.iter().any(|value| *value <= most * f64::EPSILON) {
            return None;
        }
        let over = DMatrix::from_diagonal(&svd.singular_values.map(|value| value.powi(-2)));
        let mut covariance = turned.transpose() * over * turned;
        for i in 0..sizes.len() {
            for j in 0..sizes.len() {
                covariance[(i, j)] /= sizes[i] * sizes[j];
            }
        }
        Some(covariance)
    }
}

/// Why there is no fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfit {
    /// There are no residuals at the start, or they are no numbers.
    NoStart,
    /// The slopes cannot be seen.
    NoSlopes,
    /// It was still improving after the most steps allowed.
    TooManySteps,
}

const MOST_STEPS: usize = 2000;
/// The first step goes no further than so many times the size of the start. (A hundred, as in MINPACK, throws a saturating curve into the
/// plain beyond it, where nothing has a slope any more.)
const FIRST_REACH: f64 = 1.0;
/// A step is taken where it gains at least so much of what it promised.
const LEAST_GAIN: f64 = 1e-4;

/// The values for which the residuals, each over its standard deviation, are least. `closeness` is the share of every value below which
/// a step no longer counts, and its square the share of the cost below which a gain does not.
///
/// # Errors
/// Where there is no fit, and why.
pub fn least_squares(
    residuals: impl Fn(&[f64]) -> Option<Vec<f64>> + Sync,
    parameters: &[Parameter],
    loss: Loss,
    closeness: f64,
) -> Result<Fitted, Unfit> {
    let finite = |at: &[f64]| residuals(at).filter(|all| all.iter().all(|one| one.is_finite()));
    let priced = |at: &[f64]| {
        let all = finite(at)?;
        let cost =
            all.iter().map(|r| loss.of(*r)).sum::<f64>() + priors(at, parameters).map(|r| r * r).sum::<f64>();
        Some((all, cost))
    };
    let mut at: Vec<f64> = parameters.iter().map(|p| p.start.clamp(p.bounds.0, p.bounds.1)).collect();
    let (mut here, mut cost) = priced(&at).ok_or(Unfit::NoStart)?;
    let mut scale = vec![0.0_f64; at.len()];
    let mut reach: Option<f64> = None;
    let mut steps = 0;
    loop {
        let slopes = weighed(&finite, &at, &here, parameters, loss).ok_or(Unfit::NoSlopes)?;
        let mut whole = stacked(&slopes, parameters);
        let values: Vec<f64> =
            here.iter().map(|r| loss.weight(*r) * r).chain(priors(&at, parameters)).collect();
        let values = DVector::from_vec(values);
        let gradient = whole.tr_mul(&values);
        for j in 0..at.len() {
            let (low, high) = parameters[j].bounds;
            if at[j] <= low && gradient[j] > 0.0 || at[j] >= high && gradient[j] < 0.0 {
                whole.column_mut(j).fill(0.0);
            }
            scale[j] = scale[j].max(whole.column(j).norm());
        }
        let sizes: Vec<f64> = scale.iter().map(|s| if *s > 0.0 { *s } else { 1.0 }).collect();
        let linear = Linear::new(whole, &values, &sizes);
        let size = |of: &[f64]| of.iter().zip(&sizes).map(|(v, s)| (v * s).powi(2)).sum::<f64>().sqrt();
        let mut radius = reach.unwrap_or_else(|| FIRST_REACH * size(&at).max(1e-3));
        loop {
            if steps >= MOST_STEPS {
                return Err(Unfit::TooManySteps);
            }
            steps += 1;
            let (step, promised) = linear.step(radius);
            let next: Vec<f64> = (0..at.len())
                .map(|j| (at[j] + step[j] / sizes[j]).clamp(parameters[j].bounds.0, parameters[j].bounds.1))
                .collect();
            let moved: Vec<f64> = next.iter().zip(&at).map(|(a, b)| a - b).collect();
            // Each by its own size: one that is large beside its slope would hide the others.
            let still = moved.iter().zip(&at).all(|(moved, at)| moved.abs() <= closeness * at.abs());
            let done = still || promised <= closeness * closeness * cost;
            let tried = priced(&next);
            let gained =
                tried.as_ref().map_or(-1.0, |(_, new)| (cost - new) / promised.max(f64::MIN_POSITIVE));
            radius = if gained < 0.25 {
                0.25 * size(&moved).min(radius)
            } else if gained > 0.75 {
                radius.max(2.0 * size(&moved))
            } else {
                radius
            };
            let ends = done || radius <= f64::EPSILON * size(&at);
            if let Some((all, new)) = tried.filter(|_| gained > LEAST_GAIN) {
                (at, here, cost) = (next, all, new);
                reach = Some(radius);
                if !ends {
                    break;
                }
            }
            if ends {
                let slopes = weighed(&finite, &at, &here, parameters, loss).ok_or(Unfit::NoSlopes)?;
                return Ok(Fitted { at, residuals: here, slopes, cost, steps });
            }
        }
    }
}

/// (p − m)/s of each value with a prior.
fn priors<'a>(at: &'a [f64], parameters: &'a [Parameter]) -> impl Iterator<Item = f64> + 'a {
    at.iter().zip(parameters).filter_map(|(at, p)| p.prior.map(|(mean, deviation)| (at - mean) / deviation))
}

/// The slopes by central differences, one-sided at a bound, each row weighed by the loss.
fn weighed(
    residuals: &(impl Fn(&[f64]) -> Option<Vec<f64>> + Sync),
    at: &[f64],
    here: &[f64],
    parameters: &[Parameter],
    loss: Loss,
) -> Option<DMatrix<f64>> {
    let column = |j: usize| -> Option<Vec<f64>> {
        let nudge = parameters[j].nudge(at[j]);
        let (low, high) = parameters[j].bounds;
        let side = |to: f64| {
            let mut moved = at.to_vec();
            moved[j] = to.clamp(low, high);
            residuals(&moved).map(|found| (moved[j], found))
        };
        // Where the model ends within a nudge, the slope is seen from the other side.
        let standing = || (at[j], here.to_vec());
        let (above, below) = match (side(at[j] + nudge), side(at[j] - nudge)) {
            (None, None) => return None,
            (above, below) => (above.unwrap_or_else(standing), below.unwrap_or_else(standing)),
        };
        let width = above.0 - below.0;
        let slope = |(r, (above, below)): (&f64, (&f64, &f64))| {
            if width > 0.0 { loss.weight(*r) * (above - below) / width } else { 0.0 }
        };
        Some(here.iter().zip(above.1.iter().zip(&below.1)).map(slope).collect())
    };
    let columns: Option<Vec<Vec<f64>>> = (0..at.len()).into_par_iter().map(column).collect();
    Some(DMatrix::from_vec(here.len(), at.len(), columns?.concat()))
}

/// The slopes with a row for each prior below them.
fn stacked(slopes: &DMatrix<f64>, parameters: &[Parameter]) -> DMatrix<f64> {
    let known: Vec<(usize, f64)> =
        parameters.iter().enumerate().filter_map(|(j, p)| Some((j, p.prior?.1))).collect();
    // Never fewer rows than columns, so that the triangle is square.
    let rows = (slopes.nrows() + known.len()).max(slopes.ncols());
    let mut whole = DMatrix::zeros(rows, slopes.ncols());
    whole.view_mut((0, 0), slopes.shape()).copy_from(slopes);
    for (n, (j, deviation)) in known.into_iter().enumerate() {
        whole[(slopes.nrows() + n, j)] = 1.0 / deviation;
    }
    whole
}

/// Divides each column by its norm, which is answered.
fn scaled(whole: &mut DMatrix<f64>) -> Vec<f64> {
    (0..whole.ncols())
        .map(|j| {
            let norm = whole.column(j).norm();
            let norm = if norm > 0.0 { norm } else { 1.0 };
            whole.column_mut(j).unscale_mut(norm);
            norm
        })
        .collect()
}

/// The linearised problem in scaled values, taken apart: singular values, and −Uᵀr.
struct Linear {
    values: DVector<f64>,
    turned: DMatrix<f64>,
    pulls: DVector<f64>,
}

impl Linear {
    fn new(mut whole: DMatrix<f64>, residuals: &DVector<f64>, sizes: &[f64]) -> Self {
        for (j, size) in sizes.iter().enumerate() {
            whole.column_mut(j).unscale_mut(*size);
        }
        let mut padded = DVector::zeros(whole.nrows());
        padded.rows_mut(0, residuals.len()).copy_from(residuals);
        let qr = whole.qr();
        qr.q_tr_mul(&mut padded);
        let r = qr.r();
        let svd = r.svd(true, true);
        let size = svd.singular_values.len();
        let turned = svd.v_t.unwrap_or_else(|| DMatrix::identity(size, size));
        let left = svd.u.unwrap_or_else(|| DMatrix::identity(size, size));
        let pulls = -left.tr_mul(&padded.rows(0, size));
        Self { values: svd.singular_values, turned, pulls }
    }

    /// The length of the step with a damping λ.
    fn length(&self, damping: f64) -> f64 {
        self.parts(damping).norm()
    }

    fn parts(&self, damping: f64) -> DVector<f64> {
        let floor = self.values.max() * f64::EPSILON;
        self.values.zip_map(&self.pulls, |value, pull| {
            let below = value * value + damping;
            if value <= floor && damping == 0.0 { 0.0 } else { value * pull / below }
        })
    }

    /// The step, in scaled values, no longer than `radius`, and by how much it promises to lessen the cost.
    fn step(&self, radius: f64) -> (DVector<f64>, f64) {
        let mut damping = 0.0;
        if self.length(0.0) > radius {
            // |p(λ)| falls with λ; at |J'r|/Δ it is below Δ.
            let most = self.values.component_mul(&self.pulls).norm() / radius;
            let (mut low, mut high) = (0.0, most);
            for _ in 0..100 {
                damping = if low > 0.0 { (low * high).sqrt() } else { high * 1e-3 };
                let length = self.length(damping);
                if (length / radius - 1.0).abs() < 0.1 || high <= f64::MIN_POSITIVE {
                    break;
                }
                if length > radius { low = damping } else { high = damping }
            }
        }
        let parts = self.parts(damping);
        // ‖r‖² − ‖r + J·p‖² = Σ pull² − (pull − value·part)²
        let promised = self
            .values
            .iter()
            .zip(parts.iter().zip(self.pulls.iter()))
            .map(|(value, (part, pull))| value * part * (2.0 * pull - value * part))
            .sum();
        (self.turned.tr_mul(&parts), promised)
    }
}
