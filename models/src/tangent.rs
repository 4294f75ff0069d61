//! The slopes of the equations of motion: how the rates change with the state and with time. A stiff solver steers by them.

use crate::contact::Touch;
use crate::machine::Machine;
use crate::mode::{Mode, MouldMode, RodMode, WellMode};
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
    pub const Y: usize = 0;
    pub const VY: usize = 1;
    pub const X: usize = 2;
    pub const VX: usize = 3;
    pub const PRESSED: usize = 4;
    pub const FLOW: usize = 5;
    pub const PAST: usize = 6;
    pub const AIR: usize = 7;
    pub const HEAT: usize = 8;
}
use place::{AIR, FLOW, HEAT, PAST, PRESSED, VX, VY, X, Y};

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
        Tangent { by_state, by_time: self.drift(theta, mode).scaled(scales) }
    }

    /// ∂(rates)/∂t: only the cam moves by itself.
    fn drift(&self, theta: f64, mode: Mode) -> State {
        let cam = self.cam.at(theta);
        let speed = cam.slope * self.shaft_speed;
        let acceleration = cam.curvature * self.shaft_speed * self.shaft_speed;
        State {
            block_speed: self.cross_block.cam_force(mode.follower, speed, acceleration)
                / self.cross_block.mass,
            ..State::default()
        }
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
        let k_r = self.cross_block.return_spring.map_or(0.0, |(_, rate)| rate);
        let m_c = self.cross_block.mass;
        slopes[Y][VY] = 1.0;
        slopes[VY][Y] = -(k_f + k_r + k_s + k_st) / m_c;
        slopes[VY][VY] = -(c_f + c_st) / m_c;
        slopes[VY][X] = (k_s + k_st) / m_c;
        slopes[VY][VX] = c_st / m_c;
        if mode.rod != RodMode::Held {
            let m_r = self.rod.mass;
            slopes[X][VX] = 1.0;
            slopes[VX][Y] = (k_s + k_st) / m_r;
            slopes[VX][VY] = c_st / m_r;
            slopes[VX][X] = -(k_s + k_st) / m_r;
            let drag = self.rod.drag + self.rod_quieting(mode) + self.rod.dry_friction_slope(state.rod_speed);
            slopes[VX][VX] = -(c_st + drag) / m_r;
            if mode.well == WellMode::Closed {
                slopes[VX][PRESSED] = -self.rod.ratio * self.piston.area * self.well.stiffness() / m_r;
            }
            if mode.well != WellMode::PortOpen {
                slopes[PRESSED][VX] = self.rod.ratio * self.piston.area;
            }
        }
    }

    fn metal_slopes(&self, state: &State, mode: Mode, slopes: &mut [[f64; STATE_SIZE]; STATE_SIZE]) {
        let inside = self.mould.metal_inside(state.past_nozzle);
        if mode.well == WellMode::Closed {
            slopes[PRESSED][PRESSED] = -self.piston.leakage * self.well.stiffness();
        }
        let flowing = mode.well != WellMode::PortOpen && mode.mould != MouldMode::Sealed;
        if flowing {
            slopes[PRESSED][FLOW] = -1.0;
            slopes[PAST][FLOW] = 1.0;
            let inertance = self.nozzle.inertance;
            if mode.well == WellMode::Closed {
                slopes[FLOW][PRESSED] = self.well.stiffness() / inertance;
            }
            slopes[FLOW][FLOW] = -(self.nozzle.loss_slope(state.flow) + self.quieting(mode)) / inertance;
            if mode.mould != MouldMode::Empty {
                let (by_air, by_metal) = self.mould.air_pressure_slopes(state.air_mass, inside);
                let packing = match mode.mould {
                    MouldMode::Packed | MouldMode::Holding => self.mould.packing_slope(inside),
                    MouldMode::Empty | MouldMode::Filling | MouldMode::Sealed => 0.0,
                };
                slopes[FLOW][PAST] = -(by_metal + packing) / inertance;
                slopes[FLOW][AIR] = -by_air / inertance;
            }
        }
        if mode.mould == MouldMode::Filling {
            let (by_air, by_metal) = self.mould.air_pressure_slopes(state.air_mass, inside);
            let vent = self.mould.vent.flow_slope(self.mould.air_pressure(state.air_mass, inside));
            slopes[AIR][AIR] = -vent * by_air;
            slopes[AIR][PAST] = -vent * by_metal;
        }
        if mode.mould != MouldMode::Empty {
            self.heat_slopes(state, inside, slopes);
        }
    }

    /// Slopes of W' = h_eff·A_w·(T(e) − T_w)·V_f/V with e = e_in − W/(ρ·V_f).
    fn heat_slopes(&self, state: &State, inside: f64, slopes: &mut [[f64; STATE_SIZE]; STATE_SIZE]) {
        let heat = self.metal_heat(state);
        let conductance = self.mould.conductance(inside) / self.mould.volume;
        let bend = self.metal.temperature_slope(heat);
        let given = (self.metal.pot_heat - heat) * bend;
        slopes[HEAT][HEAT] = -conductance * bend / self.metal.density;
        if inside > 0.0 {
            slopes[HEAT][PAST] =
                conductance * (self.metal.temperature(heat) - self.mould.wall_temperature + given);
        }
    }
}
