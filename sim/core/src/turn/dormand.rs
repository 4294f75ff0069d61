//! An explicit integrator: Dormand and Prince's pair of order 5 with an embedded order 4.
//!
//! Source: E. Hairer, S. P. Nørsett and G. Wanner, *Solving Ordinary Differential Equations I*, sections II.5 and II.6 (table 5.2
//! and the continuous extension of order 4). `tests/reference/closed_order.rs` turns red with a wrong coefficient.

use super::leg::{Equations, Vector};
use super::step::{Start, Step, Trial, blend};

/// a_ij, row by row; the last row is the solution of order 5.
const A2: [f64; 1] = [1.0 / 5.0];
const A3: [f64; 2] = [3.0 / 40.0, 9.0 / 40.0];
const A4: [f64; 3] = [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0];
const A5: [f64; 4] = [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0];
const A6: [f64; 5] = [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0];
const A7: [f64; 5] = [35.0 / 384.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0];
/// Nodes of the stages.
const NODES: [f64; 4] = [1.0 / 5.0, 3.0 / 10.0, 4.0 / 5.0, 8.0 / 9.0];
/// Order 5 less order 4, of all stages but the second.
const ERROR: [f64; 6] =
    [71.0 / 57600.0, -71.0 / 16695.0, 71.0 / 1920.0, -17253.0 / 339200.0, 22.0 / 525.0, -1.0 / 40.0];
/// The last term of the continuous extension, of all stages but the second.
const DENSE: [f64; 6] = [
    -12715105075.0 / 11282082432.0,
    87487479700.0 / 32700410799.0,
    -10690763975.0 / 1880347072.0,
    701980252875.0 / 199316789632.0,
    -1453857185.0 / 822651844.0,
    69997945.0 / 29380423.0,
];

/// Tries a step from `start` and lays it down in `step`; answers the size of its error.
pub(super) fn attempt(equations: &Equations<'_>, start: &Start, trial: &Trial, step: &mut Step) -> f64 {
    let h = trial.length;
    // The stretch is of an order lower than this method.
    let cam = |node: f64| trial.law.at(equations.angle(start.look.time + node * h));
    let rates = |node: f64, y: &Vector| equations.rates_on(cam(node), y);
    let stage = |node: f64, way: Vector| rates(node, &(start.y + way * h));
    let k1 = &start.slope;
    let k2 = &stage(NODES[0], blend(&A2, [k1]));
    let k3 = &stage(NODES[1], blend(&A3, [k1, k2]));
    let k4 = &stage(NODES[2], blend(&A4, [k1, k2, k3]));
    let k5 = &stage(NODES[3], blend(&A5, [k1, k2, k3, k4]));
    let k6 = &stage(1.0, blend(&A6, [k1, k2, k3, k4, k5]));
    let way = blend(&A7, [k1, k3, k4, k5, k6]) * h;
    let after = start.y + way;
    let k7 = &rates(1.0, &after);
    let error = trial.size(&(blend(&ERROR, [k1, k3, k4, k5, k6, k7]) * h), &start.y, &after);
    let at_start = k1 * h - way;
    let bend = [at_start, way - k7 * h - at_start, blend(&DENSE, [k1, k3, k4, k5, k6, k7]) * h];
    step.lead(start, &after, trial, bend);
    error
}
