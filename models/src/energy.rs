//! Where the cam's work goes: energy held by the machine, and the power lost or handed on at each place.

use crate::contact::Touch;
use crate::machine::{Loads, Machine};
use crate::mode::Mode;
use crate::state::State;

/// Power at each place, W.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Powers {
    /// The cam's work, F_cam·ẏ_c; below zero as the springs push the cam on.
    pub cam: f64,
    /// Lost in the lever train.
    pub train: f64,
    /// Lost in the shoulder.
    pub shoulder: f64,
    /// Lost to dry friction and drag of rod and piston.
    pub friction: f64,
    /// Lost by metal slipping past the piston.
    pub leakage: f64,
    /// Lost in the nozzle.
    pub nozzle: f64,
    /// Handed to the metal and air in the mould, p_cav·Q.
    pub cavity: f64,
    /// Taken out of the ringing of a full or sealed mould ([`crate::ringing`]).
    pub ringing: f64,
}

/// Power at each place in one instant.
pub fn powers(machine: &Machine, loads: &Loads, state: &State, mode: Mode) -> Powers {
    let slip = loads.cam_speed - state.block_speed;
    let bounce = state.rod_speed - state.block_speed;
    let pressing = loads.swept - loads.flow - loads.leak;
    let [in_well, in_mould] = machine.metal_pressures(loads, state, mode);
    Powers {
        cam: loads.cam * loads.cam_speed,
        train: if mode.follower == Touch::Closed {
            machine.cross_block.train.damping * slip * slip
        } else {
            0.0
        },
        shoulder: if mode.shoulder == Touch::Closed {
            machine.rod.stop.damping * bounce * bounce
        } else {
            0.0
        },
        friction: (loads.dry_friction + loads.drag) * state.rod_speed,
        leakage: loads.well_pressure * loads.leak,
        nozzle: loads.nozzle_loss * loads.flow,
        cavity: in_mould * loads.flow,
        ringing: (loads.well_pressure - in_well) * pressing + (loads.cavity_pressure - in_mould) * loads.flow,
    }
}

/// Energy held by the moving parts, the springs, the squeezed faces and the metal in well and nozzle, J, with the cam at
/// `cam_lift` (m).
pub fn held(machine: &Machine, cam_lift: f64, state: &State, mode: Mode) -> f64 {
    let squeeze = cam_lift - state.block_lift;
    let depth = state.rod_lift - state.block_lift;
    let faces = |touch: Touch, stiffness: f64, depth: f64| match touch {
        Touch::Closed => 0.5 * stiffness * depth * depth,
        Touch::Open => 0.0,
    };
    0.5 * machine.cross_block.mass * state.block_speed.powi(2)
        + 0.5 * machine.rod.mass * state.rod_speed.powi(2)
        + machine.spring_energy(-depth)
        + machine.cross_block.return_energy(state.block_lift)
        + faces(mode.follower, machine.cross_block.train.stiffness, squeeze)
        + faces(mode.shoulder, machine.rod.stop.stiffness, depth)
        + machine.well.energy(state.pressed)
        + 0.5 * machine.nozzle.inertance * state.flow.powi(2)
}
