//! The slopes of the equations of motion: how the rates change with the state and with time. A stiff solver steers by them.

use crate::air::ATMOSPHERE;
use crate::cam::Motion;
use crate::contact::Touch;
use crate::machine::Machine;
use crate::mode::{Mode, MouldMode, Ringing, RodMode, WellMode};
use crate::state::{STATE_SIZE, Scales, State, place};

/// ∂(rates)/∂(state) and ∂(rates)/∂t, both in scaled numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tangent {
    /// The slopes of the rates by the state.
    pub slopes: Slopes,
    /// The slope of each rate by time, 1/s².
    pub by_time: [f64; STATE_SIZE],
}

macro_rules! slopes {
    ($($name:ident: $of:ident by $by:ident,)*) => {
        /// The slopes that are not always nought, 1/s: `vx_by_pressed` is that of the rate of ẋ by σ, and so on with the names
        /// of [`place`].
        #[derive(Debug, Clone, Copy, PartialEq, Default)]
        #[allow(missing_docs)]
        pub struct Slopes {
            $(pub $name: f64,)*
        }

        impl Slopes {
            /// From SI to scaled numbers.
            fn scaled(&self, by: &Scales) -> Self {
                Self { $($name: self.$name * by.of_slope(place::$of, place::$by),)* }
            }

            /// All of them, row by row: row r, column c is the slope of rate r by number c.
            pub fn rows(&self) -> [[f64; STATE_SIZE]; STATE_SIZE] {
                let mut rows = [[0.0; STATE_SIZE]; STATE_SIZE];
                $(rows[place::$of][place::$by] = self.$name;)*
                rows
            }
        }
    };
}

slopes! {
    squeeze_by_vy: SQUEEZE by VY,
    vy_by_squeeze: VY by SQUEEZE,
    vy_by_vy: VY by VY,
    vy_by_depth: VY by DEPTH,
    vy_by_vx: VY by VX,
    depth_by_vy: DEPTH by VY,
    depth_by_vx: DEPTH by VX,
    vx_by_vy: VX by VY,
    vx_by_depth: VX by DEPTH,
    vx_by_vx: VX by VX,
    vx_by_pressed: VX by PRESSED,
    vx_by_flow: VX by FLOW,
    pressed_by_vx: PRESSED by VX,
    pressed_by_pressed: PRESSED by PRESSED,
    pressed_by_flow: PRESSED by FLOW,
    flow_by_vx: FLOW by VX,
    flow_by_pressed: FLOW by PRESSED,
    flow_by_flow: FLOW by FLOW,
    flow_by_past: FLOW by PAST,
    flow_by_air: FLOW by AIR,
    past_by_flow: PAST by FLOW,
    air_by_past: AIR by PAST,
    air_by_air: AIR by AIR,
    heat_by_flow: HEAT by FLOW,
    heat_by_past: HEAT by PAST,
    heat_by_heat: HEAT by HEAT,
}

impl Machine {
    /// The slopes at a place of the cam under the equations of `mode`.
    pub fn tangent(&self, cam: Motion, state: &State, mode: Mode, scales: &Scales) -> Tangent {
        let mut slopes = Slopes::default();
        self.block_and_rod_slopes(state, mode, &mut slopes);
        self.well_slopes(state, mode, &mut slopes);
        self.metal_slopes(state, mode, &mut slopes);
        Tangent { slopes: slopes.scaled(scales), by_time: self.drift(cam, mode, scales) }
    }

    /// ∂(rates)/∂t: only the cam moves by itself, and with it, at the same squeeze, the block.
    fn drift(&self, cam: Motion, mode: Mode, scales: &Scales) -> [f64; STATE_SIZE] {
        let speed = cam.slope * self.shaft_speed;
        let acceleration = cam.curvature * self.shaft_speed * self.shaft_speed;
        let force = self.cross_block.cam_force(mode.follower, 0.0, acceleration)
            - self.cross_block.return_rate() * speed;
        State { block_speed: force / self.cross_block.mass, ..State::default() }.scaled(acceleration, scales)
    }

    fn block_and_rod_slopes(&self, state: &State, mode: Mode, slopes: &mut Slopes) {
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
        let per_block = 1.0 / self.cross_block.mass;
        slopes.squeeze_by_vy = -1.0;
        slopes.vy_by_squeeze = (k_f + self.cross_block.return_rate()) * per_block;
        slopes.vy_by_vy = -(c_f + c_st) * per_block;
        slopes.vy_by_depth = (k_s + k_st) * per_block;
        slopes.vy_by_vx = c_st * per_block;
        slopes.depth_by_vy = -1.0;
        if mode.rod != RodMode::Held {
            let per_rod = 1.0 / self.rod.mass;
            slopes.depth_by_vx = 1.0;
            slopes.vx_by_vy = c_st * per_rod;
            slopes.vx_by_depth = -(k_s + k_st) * per_rod;
            let drag = self.rod.drag + self.rod.dry_friction_slope(state.rod_speed);
            slopes.vx_by_vx = -(c_st + drag) * per_rod;
        }
    }

    /// Slopes of the well's pressure, and what follows from them for rod, well and column.
    fn well_slopes(&self, state: &State, mode: Mode, slopes: &mut Slopes) {
        let area = if mode.rod == RodMode::Held { 0.0 } else { self.rod.ratio * self.piston.area };
        let flows = if Self::flows(mode) { 1.0 } else { 0.0 };
        if mode.well == WellMode::PortOpen {
            return;
        }
        slopes.pressed_by_vx = area;
        slopes.pressed_by_flow = -flows;
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
        let by_vx = share * resistance * area;
        let by_flow = -share * resistance * flows;
        let on_rod = area / self.rod.mass;
        slopes.vx_by_vx -= on_rod * by_vx;
        slopes.vx_by_pressed = -on_rod * by_pressed;
        slopes.vx_by_flow = -on_rod * by_flow;
        slopes.pressed_by_vx -= self.piston.leakage * by_vx;
        slopes.pressed_by_pressed = -self.piston.leakage * by_pressed;
        slopes.pressed_by_flow -= self.piston.leakage * by_flow;
        let on_flow = flows / self.nozzle.inertance;
        slopes.flow_by_vx = on_flow * by_vx;
        slopes.flow_by_pressed = on_flow * by_pressed;
        slopes.flow_by_flow = on_flow * by_flow;
    }

    /// Slopes of what is in the nozzle and the mould.
    fn metal_slopes(&self, state: &State, mode: Mode, slopes: &mut Slopes) {
        let inside = self.mould.metal_inside(state.past_nozzle).max(0.0);
        let (by_air, by_metal) = match mode.mould {
            MouldMode::Empty => (0.0, 0.0),
            _ => self.mould.air_pressure_slopes(state.air_mass, inside),
        };
        if Self::flows(mode) {
            let on_flow = 1.0 / self.nozzle.inertance;
            slopes.past_by_flow = 1.0;
            slopes.flow_by_flow -= self.nozzle.loss_slope(state.flow) * on_flow;
            let packed = mode.mould == MouldMode::Packed;
            if !(packed && self.cavity_pressure(state, mode) <= -ATMOSPHERE) {
                let packing = if packed { self.mould.packing_slope(inside) } else { 0.0 };
                slopes.flow_by_flow -= self.mould_damping(mode) * on_flow;
                slopes.flow_by_past = -(by_metal + packing) * on_flow;
                slopes.flow_by_air = -by_air * on_flow;
            }
        }
        if matches!(mode.mould, MouldMode::Filling | MouldMode::Emptied) {
            let vent = self.mould.vent.flow_slope(self.mould.air_pressure(state.air_mass, inside));
            slopes.air_by_air = -vent * by_air;
            slopes.air_by_past = -vent * by_metal;
        }
        if !matches!(mode.mould, MouldMode::Empty | MouldMode::Emptied) {
            self.heat_slopes(state, inside, mode, slopes);
        }
    }

    /// Slopes of w' = h_eff·A_w/V·(T(e_in − w) − T_w)/ρ − w·Q/V_f.
    fn heat_slopes(&self, state: &State, inside: f64, mode: Mode, slopes: &mut Slopes) {
        let bend = self.metal.temperature_slope(self.metal_heat(state));
        let conductance = self.mould.conductance(self.is_packed(inside, mode));
        slopes.heat_by_heat = -conductance / (self.mould.volume * self.metal.density) * bend;
        let freshening = self.freshening(state, mode);
        if freshening > 0.0 {
            slopes.heat_by_heat -= freshening;
            slopes.heat_by_past = state.heat_given * freshening / inside;
            slopes.heat_by_flow = -state.heat_given / inside;
        }
    }
}
