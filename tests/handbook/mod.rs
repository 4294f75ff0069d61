//! Each part of the machine against published values, and limits that follow from the part's own law.
//!
//! * `cam`: the laws against the exact values of VDI 2143; a measured cam against SciPy and against a known law.
//! * `spring`: rate, stress, surge, buckling and effective mass against worked examples and the wave equation.
//! * `fatigue`: Goodman's line for spring wire, and the nut's advance against the force it adds.
//! * `thread`: metric, Unified and Whitworth threads against published tables; stripping and fatigue against worked examples.
//! * `nozzle`: friction, inertance and leakage against a pipe-flow library and laminar theory.
//! * `vent`: choked, unchoked and viscous air flow against gas dynamics; the viscosity of air against a property library.
//! * `mould`: the point, body sizes, volumes, lifting forces and trapped air.
//! * `alloys`: type metal by composition: melting ranges, heats, densities and the freezing path.
//! * `alloy_scenarios`: a scenario that states its alloy against the same one with the values written out.
//! * `solidification`: the solved cooling of a slab against Neumann's fronts and against lumps.
//! * `die_casting`: the lapping and the bulk limit against the fill-time equation of pressure die casting, an order of magnitude.
//! * `real_pace`: sizes at the pace they are really cast at; air, lifting and jet; margins of the limits.
//! * `cooling`: the fastest pace that cools against slow freezing in closed form.
//! * `warm`: the mould between casts and cooling water against the stream, lumps and series in closed form.
//! * `freezing`: the closed-form limits against Neumann's solution, the plane wall's series and the lumped limits.
//! * `skin`: skin on a filled face against similarity solutions, an independent solution and its bound.
//! * `heat`: the heat of a cast against its closed forms, and as every study has it.
//! * `sensitivity`: sensitivity indices against the Ishigami and g-functions, spreads against linear stacks.
//! * `trade`: what the trade knows of latch, sleeve and pace; common practice, no source.
//!
//! "Guards against slips" beside a value means that it was worked out from the formula named, so it checks the code's
//! arithmetic and not the physics.

mod alloy_scenarios;
mod alloys;
mod cam;
mod cooling;
mod die_casting;
mod fatigue;
mod freezing;
mod heat;
mod mould;
mod nozzle;
mod real_pace;
mod sensitivity;
mod skin;
mod solidification;
mod spring;
mod thread;
mod trade;
mod vent;
mod warm;

use crate::support::working_set;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};

/// The working set with one thing changed, prepared for a sort of `body` by `set` (m).
fn machine_with(body: f64, set: f64, change: impl FnOnce(&mut MachineStatement)) -> Machine {
    let mut stated = working_set::statement();
    change(&mut stated);
    let sort = Sort { body: Length(body), set: Length(set) };
    Machine::prepare(&stated, sort, Pace(1.0), LatchSetting::Aside).expect("the changed working set is valid")
}
