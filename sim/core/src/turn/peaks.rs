//! The greatest of each load over a turn.

use super::leg::{Equations, Look};
use super::step::Step;
use latchstroke_models::mode::MouldMode;
use latchstroke_models::mould::lifting_force;

/// Greatest values over a turn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Peaks {
    /// Piston speed forwards until the entry seals, m/s.
    pub piston_speed: f64,
    /// Jet speed at the nozzle while the mould fills, m/s.
    pub jet_speed: f64,
    /// Reynolds number in the nozzle while the mould fills.
    pub reynolds: f64,
    /// Well pressure, Pa.
    pub well_pressure: f64,
    /// Cavity pressure, Pa.
    pub cavity_pressure: f64,
    /// Force lifting the matrix, N.
    pub lifting_force: f64,
    /// Cam contact force, N.
    pub cam_force: f64,
    /// Cam torque F_cam·dy_c/dθ, N·m.
    pub cam_torque: f64,
    /// Spring force, N.
    pub spring_force: f64,
    /// Closing of the springs from rest, m.
    pub spring_closing: f64,
    /// Lift of the cross block, m.
    pub block_lift: f64,
}

/// A sample beside a peak is not below the peak by more than to this share of it.
const NEARLY: f64 = 0.95;

/// The greatest of each load at one instant, in the order of the fields of [`Peaks`]; those that do not count then stand below
/// everything.
pub(super) type Sample = [f64; 11];

/// The greatest of each load so far.
#[derive(Default)]
pub(super) struct Greatest(Sample);

impl Greatest {
    pub fn peaks(&self) -> Peaks {
        let [
            piston_speed,
            jet_speed,
            reynolds,
            well_pressure,
            cavity_pressure,
            lifting_force,
            cam_force,
            cam_torque,
            spring_force,
            spring_closing,
            block_lift,
        ] = self.0;
        Peaks {
            piston_speed,
            jet_speed,
            reynolds,
            well_pressure,
            cavity_pressure,
            lifting_force,
            cam_force,
            cam_torque,
            spring_force,
            spring_closing,
            block_lift,
        }
    }

    /// Where the middle one of three samples is greater than both its neighbours in something, and than nearly all before, the peak
    /// itself is looked up: at the top of the parabola through the three. The first two lie in the first step, the last two in the second.
    pub fn look_up(
        &mut self,
        equations: &Equations<'_>,
        steps: [&Step; 2],
        times: [f64; 3],
        [early, top, late]: [&Sample; 3],
    ) {
        for i in 0..top.len() {
            let is_peak = top[i] > early[i] && top[i] > late[i] && top[i] >= NEARLY * self.0[i];
            if is_peak && early[i].is_finite() {
                let [first, middle, last] = times;
                let at = parabola_top((first, early[i]), (middle, top[i]), (last, late[i]));
                let step = steps[usize::from(at > middle)];
                self.raise(&sample(equations, &equations.look_in(step, at)));
            }
        }
    }

    pub fn raise(&mut self, sample: &Sample) {
        for (peak, value) in self.0.iter_mut().zip(sample) {
            *peak = peak.max(*value);
        }
    }
}

/// The place of the highest point of the parabola through three points of which the middle one is the highest.
fn parabola_top((a, at_a): (f64, f64), (b, at_b): (f64, f64), (c, at_c): (f64, f64)) -> f64 {
    let (left, right) = ((b - a) * (at_b - at_c), (c - b) * (at_b - at_a));
    let top = b + 0.5 * ((c - b) * right - (b - a) * left) / (left + right);
    if top.is_finite() { top.clamp(a, c) } else { b }
}

/// What there is at an instant.
pub(super) fn sample(equations: &Equations<'_>, look: &Look) -> Sample {
    let Look { state, loads, .. } = look;
    let machine = equations.machine;
    let mould = equations.mode.mould;
    let [in_well, in_mould] = machine.metal_pressures(loads, state, equations.mode);
    let counts = |so: bool, value: f64| if so { value } else { f64::NEG_INFINITY };
    let fills = mould == MouldMode::Filling;
    let filled = matches!(mould, MouldMode::Filling | MouldMode::Packed);
    [
        counts(mould != MouldMode::Sealed, machine.rod.ratio * state.rod_speed),
        counts(fills, state.flow / machine.nozzle.area),
        counts(fills, machine.nozzle.reynolds(state.flow)),
        in_well,
        counts(filled, in_mould),
        counts(filled, lifting_force(&machine.mould, in_mould)),
        loads.cam,
        loads.cam * loads.cam_slope,
        loads.spring,
        state.block_lift - state.rod_lift,
        state.block_lift,
    ]
}

#[cfg(test)]
mod tests {
    use super::parabola_top;
    use crate::demo::demo;
    use crate::turn::{Accuracy, solve};
    use latchstroke_models::latch::LatchSetting::{Aside, Set};

    #[test]
    fn closed_form_the_top_of_a_parabola_is_where_it_is() {
        let at = |x: f64| (x, 5.0 - 3.0 * (x - 0.37) * (x - 0.37));
        for [a, b, c] in [[0.0, 0.3, 1.0], [0.1, 0.4, 0.5], [-2.0, 0.37, 0.9]] {
            assert!((parabola_top(at(a), at(b), at(c)) - 0.37).abs() < 1e-12, "{a} {b} {c}");
        }
        // Three alike have no top but the middle one; one that would lie outside is taken at the end.
        assert_eq!(parabola_top((0.0, 1.0), (1.0, 1.0), (3.0, 1.0)).to_bits(), 1.0_f64.to_bits());
        assert_eq!(parabola_top((0.0, 0.0), (1.0, 1.0), (2.0, 1.9)).to_bits(), 2.0_f64.to_bits());
    }

    /// Between the instants of a step a peak is looked up where it is: in the median the greatest pressures are as those of short steps are.
    #[test]
    fn a_peak_is_looked_up_between_the_instants_of_a_step() {
        let mut off = Vec::new();
        for (points, pace) in
            [(6.0, 100.0), (8.0, 120.0), (10.0, 80.0), (12.0, 60.0), (14.0, 55.0), (18.0, 45.0), (24.0, 40.0)]
        {
            for setting in [Aside, Set] {
                let machine = demo(points, pace / 60.0, setting);
                let [ours, exact] = [2e-4, 1e-6].map(|tolerance| {
                    let turn = solve(&machine, Accuracy { tolerance, ..Accuracy::default() });
                    [turn.peaks.well_pressure, turn.peaks.cavity_pressure]
                });
                off.push([0, 1].map(|n| (ours[n] / exact[n] - 1.0).abs()));
            }
        }
        let median = |n: usize| {
            let mut off: Vec<f64> = off.iter().map(|off| off[n]).collect();
            off.sort_by(f64::total_cmp);
            off[off.len() / 2]
        };
        // Without it they would be off by a ten-thousandth and by two thousandths.
        assert!(median(0) < 1.2e-5 && median(1) < 2.5e-4, "{:e} {:e}", median(0), median(1));
    }
}
