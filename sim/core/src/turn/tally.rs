//! Sums and peaks over a turn: where the energy went, how much metal and air moved, and the greatest of each load.

use super::leg::{Equations, Leg};
use latchstroke_models::energy::{self, Powers};
use latchstroke_models::machine::{Loads, Machine};
use latchstroke_models::mode::{MouldMode, WellMode};
use latchstroke_models::mould::lifting_force;
use latchstroke_models::state::State;

/// Integrals over a turn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Sums {
    /// The cam's net work, J.
    pub cam_work: f64,
    /// The cam's work while it drives, leaving out what the springs give back, J.
    pub cam_work_driving: f64,
    /// Lost in the lever train, J.
    pub train: f64,
    /// Lost in the shoulder, J.
    pub shoulder: f64,
    /// Lost to friction and drag of rod and piston, J.
    pub friction: f64,
    /// Lost by slip past the piston, J.
    pub leakage: f64,
    /// Lost in the nozzle, J.
    pub nozzle: f64,
    /// Handed to metal and air in the mould, J.
    pub cavity: f64,
    /// Lost at once as faces part, the inlet opens or the entry seals, J.
    pub events: f64,
    /// Swept by the piston on closed metal, m³.
    pub swept: f64,
    /// Slipped past the piston, m³.
    pub leaked: f64,
    /// Air through the vents, kg.
    pub vented: f64,
    /// Heat to the mould's walls, J.
    pub wall_heat: f64,
}

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

/// Nodes of Gauss and Legendre's rule with two points on 0 to 1, each of weight one half: of order 4, as the solution itself.
const GAUSS: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];

impl Sums {
    /// Adds a leg up to `end` (s).
    pub(super) fn add_leg(&mut self, peaks: &mut Peaks, equations: &Equations<'_>, leg: &Leg, end: f64) {
        let machine = equations.machine;
        for step in 0..leg.times.len() - 1 {
            let start = leg.times[step];
            let stop = leg.times[step + 1].min(end);
            let length = stop - start;
            if length <= 0.0 {
                break;
            }
            for node in GAUSS {
                let t = start + node * length;
                let state = equations.state(&leg.at(step, t));
                let loads = machine.loads(equations.angle(t), &state, equations.mode);
                self.add(0.5 * length, equations, &loads, &state);
                peaks.see(machine, &loads, &state, equations);
            }
            let state = equations.state(&leg.at(step, stop));
            peaks.see(
                machine,
                &machine.loads(equations.angle(stop), &state, equations.mode),
                &state,
                equations,
            );
        }
    }

    fn add(&mut self, dt: f64, equations: &Equations<'_>, loads: &Loads, state: &State) {
        let machine = equations.machine;
        let Powers { cam, train, shoulder, friction, leakage, nozzle, cavity } =
            energy::powers(machine, loads, state, equations.mode);
        self.cam_work += dt * cam;
        self.cam_work_driving += dt * cam.max(0.0);
        self.train += dt * train;
        self.shoulder += dt * shoulder;
        self.friction += dt * friction;
        self.leakage += dt * leakage;
        self.nozzle += dt * nozzle;
        self.cavity += dt * cavity;
        let displaced = machine.rod.ratio * machine.piston.area * state.rod_speed;
        if equations.mode.well != WellMode::PortOpen {
            self.swept += dt * displaced;
            self.leaked += dt * loads.leak;
        }
        self.wall_heat += dt * loads.wall_heat;
    }

    /// Books the air of a leg that led from one state to another. The vents all but close within one step as the mould becomes
    /// full, which a sum over points of the step would miss.
    pub(super) fn add_air(&mut self, before: &State, after: &State) {
        self.vented += before.air_mass - after.air_mass;
    }

    /// Everything lost or handed on, J.
    pub fn spent(&self) -> f64 {
        self.train + self.shoulder + self.friction + self.leakage + self.nozzle + self.cavity + self.events
    }
}

impl Peaks {
    fn see(&mut self, machine: &Machine, loads: &Loads, state: &State, equations: &Equations<'_>) {
        let raise = |peak: &mut f64, value: f64| *peak = peak.max(value);
        if equations.mode.mould != MouldMode::Sealed {
            raise(&mut self.piston_speed, machine.rod.ratio * state.rod_speed);
        }
        raise(&mut self.well_pressure, loads.well_pressure);
        raise(&mut self.cam_force, loads.cam);
        raise(&mut self.cam_torque, loads.cam * loads.cam_slope);
        raise(&mut self.spring_force, loads.spring);
        raise(&mut self.spring_closing, state.block_lift - state.rod_lift);
        raise(&mut self.block_lift, state.block_lift);
        if equations.mode.mould == MouldMode::Filling {
            raise(&mut self.jet_speed, state.flow / machine.nozzle.area);
            raise(&mut self.reynolds, machine.nozzle.reynolds(state.flow));
        }
        if matches!(equations.mode.mould, MouldMode::Filling | MouldMode::Packed | MouldMode::Holding) {
            raise(&mut self.cavity_pressure, loads.cavity_pressure);
            raise(&mut self.lifting_force, lifting_force(&machine.mould, loads.cavity_pressure));
        }
    }
}
