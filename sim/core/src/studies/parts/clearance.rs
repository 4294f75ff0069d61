//! Whether the abutment keeps clear of the extension's socket.

use super::Parts;
use latchstroke_models::machine::Machine;

/// How far the extension's socket stands above the abutment, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// At rest; none where nothing says how far the rod reaches.
    pub room: Option<f64>,
    /// The whole lift of the cam: by so much they close on each other if the rod is held over all of it.
    pub lift: f64,
    /// From the plain abutment face to the plain rod's end, what there must be so that nothing strikes at full lift.
    pub rod_end_needed: f64,
}

/// The clearance of `parts` on a machine whose stack states their socket.
pub fn clearance(parts: &Parts, machine: &Machine) -> Clearance {
    let lift = machine.cam.lift();
    let socket = parts.extension.as_ref().map_or(0.0, super::Extension::socket);
    Clearance { room: machine.abutment.room, lift, rod_end_needed: machine.abutment.sleeve + socket + lift }
}
