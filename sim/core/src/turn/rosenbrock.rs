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
use latchstroke_models::cam::Motion;
use latchstroke_models::state::STATE_SIZE;
use latchstroke_models::tangent::Tangent;

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
/// Nodes of the second to the fourth stage; the first lies at the start of the step, the last two at its end.
const NODES: [f64; 3] = [0.75, 0.21, 0.63];
/// Weights of ∂f/∂t in the stages.
const TIME: [f64; 4] = [0.25, -0.5, -0.023504, -0.0362];
/// Continuous extension, stage by stage.
const D: [[f64; 2]; 5] = [
    [25.09876703708589, 1.638054557396973],
    [11.62013104361867, -0.7373619806678748],
    [28.49148307714626, 8.47791821923899],
    [-5.664021568594133, 15.9925314877952],
    [0.0, -1.882352941176471],
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

/// Where a step starts, and all that is known there.
struct Start {
    t: f64,
    y: Vector,
    slope: Vector,
    tangent: Tangent,
}

impl Start {
    fn at(equations: &Equations<'_>, t: f64, cam: Motion, y: Vector) -> Self {
        Self { t, y, slope: equations.rates_on(cam, &y), tangent: equations.tangent_on(cam, &y) }
    }
}

/// Integrates over `span` from `y`, step by step, until `watch` (called inside and at the end of each accepted step, in
/// rising order of time) answers true.
pub(super) fn integrate(
    equations: &Equations<'_>,
    span: Span,
    y: Vector,
    mut watch: impl FnMut(f64, &Vector) -> bool,
) -> Result<Vec<Step>, Failure> {
    let mut steps = Vec::with_capacity(32);
    let mut start = Start::at(equations, span.start, equations.cam(span.start), y);
    let mut h = first_step(equations, &start, span);
    let mut grown = true;
    loop {
        let t = start.t;
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
        let end_cam = equations.cam(t + h);
        let tried = attempt(equations, &start, h, end_cam, span.tolerance);
        let error = tried.as_ref().map_or(f64::NAN, |tried| tried.error);
        let factor = (0.9 / error.sqrt().sqrt()).clamp(0.2, if grown { 5.0 } else { 1.0 });
        match tried {
            Some(tried) if error <= 1.0 => {
                let step = tried.step(&start, h);
                let stop = watch(t + 0.5 * h, &step.at(t + 0.5 * h)) || watch(t + h, &step.after);
                steps.push(step);
                if last || stop {
                    return Ok(steps);
                }
                start = Start::at(equations, t + h, end_cam, tried.after);
                h = (h * factor).min(span.longest);
                grown = true;
            }
            _ => {
                h *= if error.is_finite() { factor.min(0.9) } else { 0.1 };
                grown = false;
            }
        }
    }
}

/// The first step, after Hairer, Nørsett and Wanner, *Solving Ordinary Differential Equations I*, section II.4: from the size
/// of the slope, and of its change over a trial step.
fn first_step(equations: &Equations<'_>, start: &Start, span: Span) -> f64 {
    let Start { y, slope, .. } = start;
    let size = |v: &Vector| {
        let total: f64 = v.iter().zip(y.iter()).map(|(v, y)| (v / (1.0 + y.abs())).powi(2)).sum();
        (total / STATE_SIZE as f64).sqrt() / span.tolerance
    };
    let limit = span.longest.min(span.end - span.start);
    let first = size(slope);
    // A leg may be shorter than the least trial step.
    let trial = if first > 1e-5 { (0.01 * size(y) / first).clamp(limit.min(1e-9), limit) } else { limit };
    let moved = equations.rates_on(equations.cam(span.start + trial), &(y + slope * trial));
    let second = size(&(moved - slope)) / trial;
    let steepest = first.max(second);
    let guess = if steepest > 1e-15 { (0.01 / steepest).powf(1.0 / 4.0) } else { limit };
    guess.min(100.0 * trial).min(limit)
}

/// A step that was tried: its stages, where it leads, and its error, which is at most one when it is good enough.
struct Tried {
    k: [Vector; 6],
    after: Vector,
    error: f64,
}

impl Tried {
    /// The step from `start` over `h` (s), with its continuous extension.
    fn step(&self, start: &Start, h: f64) -> Step {
        let mut bend = [Vector::zeros(); 2];
        for (k, [first, second]) in self.k.iter().zip(D) {
            add(&mut bend[0], first, k);
            add(&mut bend[1], second, k);
        }
        Step { start: start.t, length: h, before: start.y, after: self.after, bend }
    }
}

/// Adds so much of a vector to another.
fn add(to: &mut Vector, share: f64, vector: &Vector) {
    for (to, number) in to.as_mut_slice().iter_mut().zip(vector.as_slice()) {
        *to += share * number;
    }
}

/// Tries a step of length `h` from `start`, to where the cam stands at `end_cam`; none where its matrix cannot be solved for.
fn attempt(
    equations: &Equations<'_>,
    start: &Start,
    h: f64,
    end_cam: Motion,
    tolerance: f64,
) -> Option<Tried> {
    let factors = Factors::of(1.0 / (GAMMA * h), &start.tangent.slopes)?;
    let drift = Vector::from(start.tangent.by_time);
    let mut k = [Vector::zeros(); 6];
    k[0] = factors.solve(&(start.slope + drift * (h * TIME[0])));
    let mut after = start.y;
    for stage in 1..6 {
        let mut pull = Vector::zeros();
        for (k, c) in k[..stage].iter().zip(C[stage - 1]) {
            add(&mut pull, c, k);
        }
        if stage < 5 {
            after = start.y;
            for (k, a) in k[..stage].iter().zip(A[stage - 1]) {
                add(&mut after, a, k);
            }
        } else {
            after += k[4];
        }
        let cam = if stage < 4 { equations.cam(start.t + NODES[stage - 1] * h) } else { end_cam };
        let rates = equations.rates_on(cam, &after);
        let mut right = rates + pull / h;
        if stage < 4 {
            right += drift * (h * TIME[stage]);
        }
        k[stage] = factors.solve(&right);
    }
    after += k[5];
    let mut total = 0.0;
    for i in 0..STATE_SIZE {
        let scale = tolerance * (1.0 + start.y[i].abs().max(after[i].abs()));
        total += (k[5][i] / scale).powi(2);
    }
    Some(Tried { k, after, error: (total / STATE_SIZE as f64).sqrt().max(1e-8) })
}
