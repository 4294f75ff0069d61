//! A machine's own numbers as the proportions of its drawing, with nominal ones where its owner has stated none.

use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::spring::Spring;
use latchstroke_plots::mechanism::{Proportions, SpringShape};
use std::f64::consts::TAU;

/// Angles over one turn at which the cam's lift is taken: every one and a half degrees, less than 0.01 mm off a smooth edge.
const ANGLES: u32 = 240;
/// Gap between abutment and nut where neither stack nor free length is stated, m. A nominal value for drawing.
const GAP: f64 = 0.1;
/// Mean coil diameter where no wire and coil are stated, m. A nominal value for drawing.
const COIL: f64 = 0.038;
/// Coils in all where they are not stated. A nominal value for drawing.
const COILS: f64 = 12.0;
/// Each further spring of a nest whose coils are not stated is drawn within the last at this part of its width.
const WITHIN: f64 = 0.6;

/// The proportions of a machine.
pub(super) fn of(stated: &MachineStatement, machine: &Machine) -> Proportions {
    let cam = (0..ANGLES).map(|n| {
        let angle = TAU * f64::from(n) / f64::from(ANGLES);
        (angle, machine.cam.at(angle).lift)
    });
    let gap = gap(machine);
    let (prong_clearance, prong_travel) = prongs(machine);
    Proportions {
        cam: cam.collect(),
        sleeve: machine.abutment.sleeve,
        extension: machine.abutment.extension,
        gap,
        springs: machine.springs.iter().enumerate().map(|(n, spring)| shape(spring, n, gap)).collect(),
        prong_clearance,
        prong_travel,
        lever_ratio: machine.rod.ratio,
        piston: stated.piston.diameter.0,
        piston_length: stated.piston.length.0,
        port_travel: machine.piston.port_travel,
        well_depth: machine.well.volume / machine.piston.area,
        channel: stated.nozzle.channel_bore.0,
        nozzle: stated.nozzle.bore.0,
        nozzle_length: stated.nozzle.length.0,
        body: machine.mould.body,
        mould_depth: stated.mould.depth.0,
    }
}

/// Clearance to the prongs at rest and their travel, m. A trip lift stated as a whole is drawn half as the one, half as the other.
pub(super) fn prongs(machine: &Machine) -> (f64, f64) {
    let trip = machine.latch.trip_lift;
    let clearance = machine.latch.clearance.unwrap_or(0.5 * trip);
    (clearance, (trip - clearance).max(1e-3))
}

/// Gap between abutment and nut at rest, m.
fn gap(machine: &Machine) -> f64 {
    let from_spring = |spring: &Spring| Some(spring.free_length? - spring.rest_squeeze);
    machine.abutment.gap.or_else(|| machine.springs.iter().find_map(from_spring)).unwrap_or(GAP)
}

/// Spring number `n` of the nest.
fn shape(spring: &Spring, n: usize, gap: f64) -> SpringShape {
    let free = spring.free_length.unwrap_or(gap + spring.rest_squeeze);
    let solid = spring.solid_length.unwrap_or(0.4 * free);
    let inner = i32::try_from(n).map_or(1.0, |n| WITHIN.powi(n));
    let (coils, coil, wire) = spring
        .wire
        .map_or((COILS, COIL * inner, solid / COILS), |w| (w.total_coils, w.mean_coil, w.diameter));
    SpringShape { free, coils, coil, wire: wire.min(solid / coils) }
}
