//! A stiff integrator: the linearly implicit Rosenbrock method RODASP, order 4 with an embedded order 3, L-stable.
//!
//! It is the member of its family that keeps its order where a stiff part only follows a slow one, as the lever train and the
//! shoulder follow the cam here; its older sister takes three times the steps on these equations.
//!
//! Source: G. Steinebach, *Order reduction of ROW methods for DAEs and method of lines applications*, Preprint 1741, TH
//! Darmstadt (1995); E. Hairer and G. Wanner, *Solving Ordinary Differential Equations II*, section IV.7. The coefficients
//! were re-read in several public codes; `tests/reference/closed_order.rs` turns red with any one of them wrong.

use super::elimination::Factors;
use super::leg::{Equations, Vector};
use latchstroke_models::state::STATE_SIZE;
use nalgebra::SMatrix;

pub(super) type Matrix = SMatrix<f64, STATE_SIZE, STATE_SIZE>;

const GAMMA: f64 = 0.25;
/// a_ij of the transformed scheme, row by row.
const A: [[f64; 4]; 4] = [
    [3.0, 0.0, 0.0, 0.0],
    [1.831036793486759, 0.4955183967433795, 0.0, 0.0],
    [2.304376582692669, -0.05249275245743001, -1.176798761832782, 0.0],
    [-7.170454962423024, -4.741636671481785, -16.31002631330971, -1.062004044111401],
];
/// c_ij of the transformed scheme, row by row.
const C: [[f64; 5]; 5] = [
    [-12.0, 0.0, 0.0, 0.0, 0.0],
    [-8.791795173947035, -2.207865586973518, 0.0, 0.0, 0.0],
    [10.81793056857153, 6.780270611428266, 19.5348594464241, 0.0, 0.0],
    [34.19095006749676, 15.49671153725963, 54.7476087596413, 14.16005392148534, 0.0],
    [34.62605830930532, 15.30084976114473, 56.99955578662667, 18.40807009793095, -5.714285714285717],
];
/// Nodes of the stages.
const NODES: [f64; 6] = [0.0, 0.75, 0.21, 0.63, 1.0, 1.0];
/// Weights of ∂f/∂t in the stages.
const TIME: [f64; 4] = [0.25, -0.5, -0.023504, -0.0362];
/// Continuous extension.
const D: [[f64; 5]; 2] = [
    [25.09876703708589, 11.62013104361867, 28.49148307714626, -5.664021568594133, 0.0],
    [1.638054557396973, -0.7373619806678748, 8.47791821923899, 15.9925314877952, -1.882352941176471],
];

/// One accepted step with its continuous extension.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    /// Start, s.
    pub start: f64,
    /// Length, s.
    pub length: f64,
    before: Vector,
    after: Vector,
    bend: [Vector; 2],
}

impl Step {
    /// The solution at `t` within the step.
    pub fn at(&self, t: f64) -> Vector {
        let s = (t - self.start) / self.length;
        let r = 1.0 - s;
        self.before * r + (self.after + (self.bend[0] + self.bend[1] * s) * r) * s
    }
}

/// Why a stiff integration stopped short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Failure {
    /// The step became smaller than the clock can show, at this time (s).
    StepTooSmall(f64),
    /// More steps than a turn can need, at this time (s).
    TooManySteps(f64),
}

/// How a stiff integration is to go.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    /// Start, s.
    pub start: f64,
    /// End, s.
    pub end: f64,
    /// Greatest step, s.
    pub longest: f64,
    /// Relative tolerance, on numbers of size one.
    pub tolerance: f64,
}

const MOST_STEPS: usize = 200_000;

/// Integrates over `span` from `y`, step by step, until `watch` (called inside and at the end of each accepted step, in
/// rising order of time) answers true.
pub(super) fn integrate(
    equations: &Equations<'_>,
    span: Span,
    y: Vector,
    mut watch: impl FnMut(f64, &Vector) -> bool,
) -> Result<Vec<Step>, Failure> {
    let mut steps = Vec::with_capacity(32);
    let (mut t, mut y) = (span.start, y);
    let mut slope = equations.rates(t, &y);
    let mut h = first_step(equations, &y, &slope, span);
    let (mut jacobian, mut drift) = equations.tangent(t, &y);
    let mut grown = true;
    loop {
        if steps.len() >= MOST_STEPS {
            return Err(Failure::TooManySteps(t));
        }
        let last = t + 1.0001 * h >= span.end;
        if last {
            h = span.end - t;
        }
        if h <= 4.0 * f64::EPSILON * t.max(1e-6) {
            return Err(Failure::StepTooSmall(t));
        }
        let (step, error) = attempt(equations, (t, h), &y, &slope, (&jacobian, &drift), span.tolerance);
        let factor = (0.9 * error.powf(-0.25)).clamp(0.2, if grown { 5.0 } else { 1.0 });
        if error.is_finite() && error <= 1.0 {
            let stop = watch(t + 0.5 * h, &step.at(t + 0.5 * h)) || watch(t + h, &step.after);
            t = if last { span.end } else { t + h };
            y = step.after;
            steps.push(step);
            if last || stop {
                return Ok(steps);
            }
            slope = equations.rates(t, &y);
            (jacobian, drift) = equations.tangent(t, &y);
            h = (h * factor).min(span.longest);
            grown = true;
        } else {
            h *= if error.is_finite() { factor.min(0.9) } else { 0.1 };
            grown = false;
        }
    }
}

/// The first step, after Hairer, Nørsett and Wanner, *Solving Ordinary Differential Equations I*, section II.4: from the size
/// of the slope, and of its change over a trial step.
fn first_step(equations: &Equations<'_>, y: &Vector, slope: &Vector, span: Span) -> f64 {
    let size = |v: &Vector| {
        let total: f64 = v.iter().zip(y.iter()).map(|(v, y)| (v / (1.0 + y.abs())).powi(2)).sum();
        (total / STATE_SIZE as f64).sqrt() / span.tolerance
    };
    let limit = span.longest.min(span.end - span.start);
    let first = size(slope);
    // A leg may be shorter than the least trial step.
    let trial = if first > 1e-5 { (0.01 * size(y) / first).clamp(limit.min(1e-9), limit) } else { limit };
    let moved = equations.rates(span.start + trial, &(y + slope * trial));
    let second = size(&(moved - slope)) / trial;
    let steepest = first.max(second);
    let guess = if steepest > 1e-15 { (0.01 / steepest).powf(1.0 / 4.0) } else { limit };
    guess.min(100.0 * trial).min(limit)
}

/// Tries a step of length `h` from `t`; answers it with its error, which is at most one when the step is good enough.
fn attempt(
    equations: &Equations<'_>,
    (t, h): (f64, f64),
    y: &Vector,
    slope: &Vector,
    (jacobian, drift): (&Matrix, &Vector),
    tolerance: f64,
) -> (Step, f64) {
    let failed = Step { start: t, length: h, before: *y, after: *y, bend: [Vector::zeros(); 2] };
    let Some(factors) = Factors::of(1.0 / (GAMMA * h), jacobian) else {
        return (failed, f64::NAN);
    };
    let mut k = [Vector::zeros(); 6];
    k[0] = factors.solve(slope + drift * (h * TIME[0]));
    let mut after = *y;
    for stage in 1..6 {
        after =
            if stage < 5 { (0..stage).fold(*y, |sum, j| sum + k[j] * A[stage - 1][j]) } else { after + k[4] };
        let pull = (0..stage).fold(Vector::zeros(), |sum, j| sum + k[j] * C[stage - 1][j]) / h;
        let mut right = equations.rates(t + NODES[stage] * h, &after) + pull;
        if stage < 4 {
            right += drift * (h * TIME[stage]);
        }
        k[stage] = factors.solve(right);
    }
    after += k[5];
    let sum = |row: &[f64; 5]| (0..5).fold(Vector::zeros(), |sum, j| sum + k[j] * row[j]);
    let mut total = 0.0;
    for i in 0..STATE_SIZE {
        let scale = tolerance * (1.0 + y[i].abs().max(after[i].abs()));
        total += (k[5][i] / scale).powi(2);
    }
    let step = Step { after, bend: [sum(&D[0]), sum(&D[1])], ..failed };
    (step, (total / STATE_SIZE as f64).sqrt().max(1e-8))
}
