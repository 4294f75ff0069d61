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
use super::step::{Start, Step, Trial, blend};
use latchstroke_models::tangent::Tangent;

const GAMMA: f64 = 0.25;
/// a_ij of the transformed scheme, row by row; the sixth stage starts from the fifth and what the fifth gave, and the solution from the
/// sixth likewise.
const A2: [f64; 1] = [3.0];
const A3: [f64; 2] = [1.831036793486759, 0.4955183967433795];
const A4: [f64; 3] = [2.304376582692669, -0.05249275245743001, -1.176798761832782];
const A5: [f64; 4] = [-7.170454962423024, -4.741636671481785, -16.31002631330971, -1.062004044111401];
/// c_ij of the transformed scheme, row by row.
const C2: [f64; 1] = [-12.0];
const C3: [f64; 2] = [-8.791795173947035, -2.207865586973518];
const C4: [f64; 3] = [10.81793056857153, 6.780270611428266, 19.5348594464241];
const C5: [f64; 4] = [34.19095006749676, 15.49671153725963, 54.7476087596413, 14.16005392148534];
const C6: [f64; 5] =
    [34.62605830930532, 15.30084976114473, 56.99955578662667, 18.40807009793095, -5.714285714285717];
/// Nodes of the second to the fourth stage; the first lies at the start of the step, the last two at its end.
const NODES: [f64; 3] = [0.75, 0.21, 0.63];
/// Weights of ∂f/∂t in the stages.
const TIME: [f64; 4] = [0.25, -0.5, -0.023504, -0.0362];
/// Continuous extension: its two terms, stage by stage.
const D1: [f64; 4] = [25.09876703708589, 11.62013104361867, 28.49148307714626, -5.664021568594133];
const D2: [f64; 5] =
    [1.638054557396973, -0.7373619806678748, 8.47791821923899, 15.9925314877952, -1.882352941176471];

/// Tries a step from `start` and lays it down in `step`; answers the size of its error, not a number where its matrix cannot be
/// solved for.
pub(super) fn attempt(
    equations: &Equations<'_>,
    start: &Start,
    tangent: &Tangent,
    trial: &Trial,
    step: &mut Step,
) -> f64 {
    let h = trial.length;
    let per_h = 1.0 / h;
    let Some(factors) = Factors::of(per_h / GAMMA, &tangent.slopes) else { return f64::NAN };
    let drift = Vector::from(tangent.by_time) * h;
    let rates = |node: f64, y: &Vector| equations.rates_on(trial.cam.at(node), y);
    let k1 = &factors.solve(&(start.slope + drift * TIME[0]));
    let y = start.y + blend(&A2, [k1]);
    let k2 = &factors.solve(&(rates(NODES[0], &y) + drift * TIME[1] + blend(&C2, [k1]) * per_h));
    let y = start.y + blend(&A3, [k1, k2]);
    let k3 = &factors.solve(&(rates(NODES[1], &y) + drift * TIME[2] + blend(&C3, [k1, k2]) * per_h));
    let y = start.y + blend(&A4, [k1, k2, k3]);
    let k4 = &factors.solve(&(rates(NODES[2], &y) + drift * TIME[3] + blend(&C4, [k1, k2, k3]) * per_h));
    let y = start.y + blend(&A5, [k1, k2, k3, k4]);
    let k5 = &factors.solve(&(rates(1.0, &y) + blend(&C5, [k1, k2, k3, k4]) * per_h));
    let y = y + k5;
    let k6 = &factors.solve(&(rates(1.0, &y) + blend(&C6, [k1, k2, k3, k4, k5]) * per_h));
    let after = y + k6;
    let error = trial.size(k6, &start.y, &after);
    if error <= 1.0 {
        let bend = [blend(&D1, [k1, k2, k3, k4]), blend(&D2, [k1, k2, k3, k4, k5]), Vector::zeros()];
        step.lead(start, &after, trial, bend);
    }
    error
}
