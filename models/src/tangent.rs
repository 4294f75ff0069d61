//! The slopes of the equations of motion: how the rates change with the state and with time. A stiff solver steers by them.

use crate::air::ATMOSPHERE;
use crate::contact::Touch;
use crate::machine::Machine;
use crate::mode::{Mode, MouldMode, Ringing, RodMode, WellMode};
use crate::state::{STATE_SIZE, Scales, State};

/// ∂(rates)/∂(state), row by row, and ∂(rates)/∂t, both in scaled numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tangent {
    /// Row r, column c: the slope of rate r by number c, 1/s.
    pub by_state: [[f64; STATE_SIZE]; STATE_SIZE],
    /// The slope of each rate by time, 1/s².
    pub by_time: [f64; STATE_SIZE],
}

/// Places of the numbers in a scaled state, as [`State::scaled`] orders them.
mod place {
    pub const SQUEEZE: usize = 0;
    pub const VY: usize = 1;
    pub const DEPTH: usize = 2;
    pub const VX: usize = 3;
    pub const PRESSED: usize = 4;
    pub const FLOW: usize = 5;
    pub const PAST: usize = 6;
    pub const AIR: usize = 7;
    pub const HEAT: usize = 8;
}
use place::{AIR, DEPTH, FLOW, HEAT, PAST, PRESSED, SQUEEZE, VX, VY};

impl Machine {
    /// The slopes at shaft angle `theta` (rad) under the equations of `mode`.
    pub fn tangent(&self, theta: f64, state: &State, mode: Mode, scales: &Scales) -> Tangent {
        let mut by_state = [[0.0; STATE_SIZE]; STATE_SIZE];
        self.block_and_rod_slopes(state, mode, &mut by_state);
        self.metal_slopes(state, mode, &mut by_state);
        let sizes = State::sizes(scales);
        for (row, slopes) in by_state.iter_mut().enumerate() {
            for (column, slope) in slopes.iter_mut().enumerate() {
                *slope *= sizes[column] / sizes[row];
            }
        }
        Tangent { by_state, by_time: self.drift(theta, mode, scales) }
    }

    /// ∂(rates)/∂t: only the cam moves by itself, and with it, at the same squeeze, the block.
    fn drift(&self, theta: f64, mode: Mode, scales: &Scales) -> [f64; STATE_SIZE] {
        let cam = self.cam.at(theta);
        let speed = cam.slope * self.shaft_speed;
        let acceleration = cam.curvature * self.shaft_speed * self.shaft_speed;
        let force = self.cross_block.cam_force(mode.follower, 0.0, acceleration)
            - self.cross_block.return_rate() * speed;
        State { block_speed: force / self.cross_block.mass, ..State::default() }.scaled(acceleration, scales)
    }

    fn block_and_rod_slopes(&self, state: &State, mode: Mode, slopes: &mut [[f64; STATE_SIZE]; STATE_SIZE]) {
        let train = self.cross_block.train;
        let (k_f, c_f) = match mode.follower {
            Touch::Closed => (train.stiffness, train.damping),
            Touch::Open => (0.0, 0.0),
        };
        let (k_st, c_st) = match mode.shoulder {
            Touch::Closed => (self.rod.stop.stiffness, self.rod.stop.damping),
            Touch::Open => (0.0, 0.0),
        };
        let k_s: f64 = self.springs.iter().map(|s| s.stiffness(state.block_lift - state.rod_lift)).sum();
        let m_c = self.cross_block.mass;
        slopes[SQUEEZE][VY] = -1.0;
        slopes[VY][SQUEEZE] = (k_f + self.cross_block.return_rate()) / m_c;
        slopes[VY][VY] = -(c_f + c_st) / m_c;
        slopes[VY][DEPTH] = (k_s + k_st) / m_c;
        slopes[VY][VX] = c_st / m_c;
        slopes[DEPTH][VY] = -1.0;
        if mode.rod != RodMode::Held {
            let m_r = self.rod.mass;
            slopes[DEPTH][VX] = 1.0;
            slopes[VX][VY] = c_st / m_r;
            slopes[VX][DEPTH] = -(k_s + k_st) / m_r;
            let drag = self.rod.drag + self.rod.dry_friction_slope(state.rod_speed);
            slopes[VX][VX] = -(c_st + drag) / m_r;
        }
    }

    /// Slopes of the well's pressure, and what follows from them for rod, well and column.
    fn well_slopes(&self, state: &State, mode: Mode, slopes: &mut [[f64; STATE_SIZE]; STATE_SIZE]) {
        let area = if mode.rod == RodMode::Held { 0.0 } else { self.rod.ratio * self.piston.area };
        let flows = if Self::flows(mode) { 1.0 } else { 0.0 };
        if mode.well == WellMode::PortOpen {
            return;
        }
        slopes[PRESSED][VX] = area;
        slopes[PRESSED][FLOW] = -flows;
        let feeding = area * state.rod_speed - flows * state.flow;
        let held_at_zero = mode.ringing == Ringing::Damped
            && self.well.parting_volume().is_some()
            && self.well_pressure(state, mode, feeding) <= -ATMOSPHERE;
        if mode.well == WellMode::Parted || held_at_zero {
            return;
        }
        let resistance = match mode.ringing {
            Ringing::Followed => 0.0,
            Ringing::Damped => self.well_resistance(),
        };
        let share = 1.0 / (1.0 + self.piston.leakage * resistance);
        let by_pressed = share * self.well.stiffness();
        let by_feeding = share * resistance;
        for (place, by) in [(PRESSED, by_pressed), (VX, by_feeding * area), (FLOW, -by_feeding * flows)] {
            slopes[VX][place] -= area / self.rod.mass * by;
            slopes[PRESSED][place] -= self.piston.leakage * by;
            slopes[FLOW][place] += flows / self.nozzle.inertance * by;
        }
    }

    fn metal_slopes(&self, state: &State, mode: Mode, slopes: &mut [[f64; STATE_SIZE]; STATE_SIZE]) {
        let inside = self.mould.metal_inside(state.past_nozzle).max(0.0);
        let (by_air, by_metal) = match mode.mould {
            MouldMode::Empty => (0.0, 0.0),
            _ => self.mould.air_pressure_slopes(state.air_mass, inside),
        };
        self.well_slopes(state, mode, slopes);
        if Self::flows(mode) {
            let inertance = self.nozzle.inertance;
            slopes[PAST][FLOW] = 1.0;
            slopes[FLOW][FLOW] -= self.nozzle.loss_slope(state.flow) / inertance;
            let packed = mode.mould == MouldMode::Packed;
            if !(packed && self.cavity_pressure(state, mode) <= -ATMOSPHERE) {
                let packing = if packed { self.mould.packing_slope(inside) } else { 0.0 };
                slopes[FLOW][FLOW] -= self.mould_damping(mode) / inertance;
                slopes[FLOW][PAST] = -(by_metal + packing) / inertance;
                slopes[FLOW][AIR] = -by_air / inertance;
            }
        }
        if matches!(mode.mould, MouldMode::Filling | MouldMode::Emptied) {
            let vent = self.mould.vent.flow_slope(self.mould.air_pressure(state.air_mass, inside));
            slopes[AIR][AIR] = -vent * by_air;
            slopes[AIR][PAST] = -vent * by_metal;
        }
        if !matches!(mode.mould, MouldMode::Empty | MouldMode::Emptied) {
            self.heat_slopes(state, inside, mode, slopes);
        }
    }

    /// Slopes of w' = h_eff·A_w/V·(T(e_in − w) − T_w)/ρ − w·Q/V_f.
    fn heat_slopes(
        &self,
        state: &State,
        inside: f64,
        mode: Mode,
        slopes: &mut [[f64; STATE_SIZE]; STATE_SIZE],
    ) {
        let bend = self.metal.temperature_slope(self.metal_heat(state));
        slopes[HEAT][HEAT] = -self.mould.conductance(self.is_packed(inside, mode)) / self.mould.volume * bend
            / self.metal.density;
        let freshening = self.freshening(state, mode);
        if freshening > 0.0 {
            slopes[HEAT][HEAT] -= freshening;
            slopes[HEAT][PAST] = state.heat_given * freshening / inside;
            slopes[HEAT][FLOW] = -state.heat_given / inside;
        }
    }
}
