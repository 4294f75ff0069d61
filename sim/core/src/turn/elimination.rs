//! Elimination for the stiff integrator's small system, which knows what hangs on what.
//!
//! The matrix is D = 1/(γh) on the diagonal less the slopes of the equations. Squeeze, depth, metal past the nozzle and air follow
//! from the speeds and the flow by one equation each, and nothing follows from the metal's heat; what is left between them is a
//! system of four: ẏ, ẋ, σ and Q, in which ẏ meets ẋ alone. Every pair (lift and speed, pressure and flow) is damped, so the
//! pivots stay above zero in this order and no rows need to be exchanged. A pivot that does not is answered as failure, and the
//! step is taken shorter.

use super::leg::Vector;
use latchstroke_models::state::place::{AIR, DEPTH, FLOW, HEAT, PAST, PRESSED, SQUEEZE, VX, VY};
use latchstroke_models::tangent::Slopes;

/// The system taken apart, ready to be solved for any right-hand side.
pub(super) struct Factors {
    slopes: Slopes,
    /// One over D, and over the pivots of air and heat.
    inverse: f64,
    inverse_air: f64,
    inverse_heat: f64,
    /// Slopes of the rate of Q by V_n with the air eliminated.
    flow_by_past: f64,
    /// One over the pivots of ẏ, ẋ, σ and Q.
    inverse_pivots: [f64; 4],
    /// What of the equation of ẏ goes into that of ẋ, of ẋ into σ and Q, and of σ into Q.
    vx_from_vy: f64,
    pressed_from_vx: f64,
    flow_from_vx: f64,
    flow_from_pressed: f64,
    /// What is left above the diagonal.
    vy_vx: f64,
    vx_pressed: f64,
    vx_flow: f64,
    pressed_flow: f64,
}

/// One over a pivot; none when it is not above zero.
fn invert(pivot: f64) -> Option<f64> {
    (pivot > 0.0).then(|| 1.0 / pivot)
}

impl Factors {
    /// Takes `diagonal` on the diagonal less `slopes` apart; none when a pivot is not above zero.
    pub fn of(diagonal: f64, slopes: &Slopes) -> Option<Self> {
        let j = slopes;
        let inverse = invert(diagonal)?;
        let inverse_air = invert(diagonal - j.air_by_air)?;
        let inverse_heat = invert(diagonal - j.heat_by_heat)?;
        let flow_by_past = j.flow_by_past + j.flow_by_air * inverse_air * j.air_by_past;
        let (vy_by_depth, vx_by_depth) = (j.vy_by_depth * inverse, j.vx_by_depth * inverse);
        let vy_vy =
            diagonal - j.vy_by_vy - j.vy_by_squeeze * inverse * j.squeeze_by_vy - vy_by_depth * j.depth_by_vy;
        let vy_vx = -j.vy_by_vx - vy_by_depth * j.depth_by_vx;
        let inverse_vy = invert(vy_vy)?;
        let vx_from_vy = (-j.vx_by_vy - vx_by_depth * j.depth_by_vy) * inverse_vy;
        let inverse_vx = invert(diagonal - j.vx_by_vx - vx_by_depth * j.depth_by_vx - vx_from_vy * vy_vx)?;
        let (vx_pressed, vx_flow) = (-j.vx_by_pressed, -j.vx_by_flow);
        let pressed_from_vx = -j.pressed_by_vx * inverse_vx;
        let inverse_pressed = invert(diagonal - j.pressed_by_pressed - pressed_from_vx * vx_pressed)?;
        let pressed_flow = -j.pressed_by_flow - pressed_from_vx * vx_flow;
        let flow_from_vx = -j.flow_by_vx * inverse_vx;
        let flow_from_pressed = (-j.flow_by_pressed - flow_from_vx * vx_pressed) * inverse_pressed;
        let inverse_flow = invert(
            diagonal
                - j.flow_by_flow
                - flow_by_past * inverse * j.past_by_flow
                - flow_from_vx * vx_flow
                - flow_from_pressed * pressed_flow,
        )?;
        Some(Self {
            slopes: *j,
            inverse,
            inverse_air,
            inverse_heat,
            flow_by_past,
            inverse_pivots: [inverse_vy, inverse_vx, inverse_pressed, inverse_flow],
            vx_from_vy,
            pressed_from_vx,
            flow_from_vx,
            flow_from_pressed,
            vy_vx,
            vx_pressed,
            vx_flow,
            pressed_flow,
        })
    }

    /// The solution for the right-hand side `b`.
    pub fn solve(&self, b: &Vector) -> Vector {
        let j = &self.slopes;
        // Followers into the four.
        let (squeeze, depth, past) =
            (b[SQUEEZE] * self.inverse, b[DEPTH] * self.inverse, b[PAST] * self.inverse);
        let air = b[AIR] * self.inverse_air;
        let vy = b[VY] + j.vy_by_squeeze * squeeze + j.vy_by_depth * depth;
        let vx = b[VX] + j.vx_by_depth * depth - self.vx_from_vy * vy;
        let pressed = b[PRESSED] - self.pressed_from_vx * vx;
        let flow = b[FLOW] + self.flow_by_past * past + j.flow_by_air * air
            - self.flow_from_vx * vx
            - self.flow_from_pressed * pressed;
        // The four, last to first.
        let [by_vy, by_vx, by_pressed, by_flow] = self.inverse_pivots;
        let flow = flow * by_flow;
        let pressed = (pressed - self.pressed_flow * flow) * by_pressed;
        let vx = (vx - self.vx_pressed * pressed - self.vx_flow * flow) * by_vx;
        let vy = (vy - self.vy_vx * vx) * by_vy;
        // And what follows from them.
        let past = past + j.past_by_flow * flow * self.inverse;
        let mut k = *b;
        k[SQUEEZE] = squeeze + j.squeeze_by_vy * vy * self.inverse;
        k[VY] = vy;
        k[DEPTH] = depth + (j.depth_by_vy * vy + j.depth_by_vx * vx) * self.inverse;
        k[VX] = vx;
        k[PRESSED] = pressed;
        k[FLOW] = flow;
        k[PAST] = past;
        k[AIR] = air + j.air_by_past * past * self.inverse_air;
        k[HEAT] = (b[HEAT] + j.heat_by_flow * flow + j.heat_by_past * past) * self.inverse_heat;
        k
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use latchstroke_models::state::STATE_SIZE;
    use nalgebra::SMatrix;

    /// Slopes of mixed sizes and signs, with a dominant diagonal.
    fn slopes() -> Slopes {
        Slopes {
            squeeze_by_vy: -1.5,
            vy_by_squeeze: 4.0,
            vy_by_vy: -3.0,
            vy_by_depth: 2.5,
            vy_by_vx: 1.25,
            depth_by_vy: -2.0,
            depth_by_vx: 3.5,
            vx_by_vy: 0.75,
            vx_by_depth: -5.0,
            vx_by_vx: -7.0,
            vx_by_pressed: -4.5,
            vx_by_flow: 2.25,
            pressed_by_vx: 3.25,
            pressed_by_pressed: -1.75,
            pressed_by_flow: -2.75,
            flow_by_vx: 1.1,
            flow_by_pressed: 6.0,
            flow_by_flow: -9.0,
            flow_by_past: -8.0,
            flow_by_air: -3.0,
            past_by_flow: 1.6,
            air_by_past: -0.9,
            air_by_air: -5.5,
            heat_by_flow: -0.7,
            heat_by_past: 0.6,
            heat_by_heat: -2.2,
        }
    }

    /// Held against a general-purpose library: nalgebra's factorisation with row exchanges.
    #[test]
    fn reference_solution_agrees_with_nalgebra() {
        let slopes = slopes();
        let b = Vector::from_fn(|r, _| r as f64 - 3.5);
        let ours = Factors::of(4.0, &slopes).expect("a dominant diagonal").solve(&b);
        let rows = slopes.rows();
        let matrix = SMatrix::<f64, STATE_SIZE, STATE_SIZE>::from_fn(|r, c| {
            if r == c { 4.0 - rows[r][c] } else { -rows[r][c] }
        });
        let theirs = matrix.lu().solve(&b).expect("regular");
        assert!((ours - theirs).norm() < 1e-13 * theirs.norm());
    }

    #[test]
    fn a_pivot_that_is_not_above_zero_is_refused() {
        let growing = Slopes { vx_by_vx: 5.0, ..Slopes::default() };
        assert!(Factors::of(4.0, &growing).is_none());
        assert!(Factors::of(f64::NAN, &Slopes::default()).is_none());
    }
}
