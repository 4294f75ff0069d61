//! Each part of the machine against published values, and limits that follow from the part's own law.
//!
//! * `cam`: the laws against the exact values of VDI 2143; a measured cam against SciPy and against a known law.
//! * `spring`: rate, stress, surge, buckling and effective mass against worked examples and the wave equation.
//! * `fatigue`: Goodman's line for spring wire, and the nut's advance against the force it adds.
//! * `fits`: tolerances of turned diameters against ISO 286-1.
//! * `thread`: metric, Unified and Whitworth threads and their undercuts against published tables; stripping and fatigue against worked examples.
//! * `rod`: what the springs throw, its friction and its shoulder, by hand.
//! * `nozzle`: friction, inertance and leakage against a pipe-flow library and laminar theory.
//! * `vent`: choked, unchoked and viscous air flow against gas dynamics; the viscosity of air against a property library.
//! * `limits`, `standing`: how a machine and its turn stand against each limit, and what follows of it, by hand.
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
mod fits;
mod freezing;
mod heat;
mod limits;
mod mould;
mod nozzle;
mod real_pace;
mod rod;
mod sensitivity;
mod skin;
mod solidification;
mod spring;
mod standing;
mod thread;
mod trade;
mod vent;
mod warm;

use crate::support::working_set;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};

/// A front of slow freezing, t = ρ·L/ΔT·(s/h + s²/(2k)) with 10400 kg/m³, 40 kJ/kg, 180 K and 25 W/mK: h (W/m²K), s (mm), t (s).
/// The small-Stefan-number limit; guards against slips.
const QUASI_STEADY: [(f64, f64, f64); 4] = [
    (5000.0, 1.0, 0.508444444444),
    (10000.0, 1.0, 0.277333333333),
    (30000.0, 1.0, 0.123259259259),
    (10000.0, 2.1, 0.689173333333),
];

/// Metal that freezes all of itself at 240 °C and is poured so, without superheat: 180 K above the working set's wall.
fn freezes_at_one_temperature(machine: &mut MachineStatement) {
    for temperature in
        [&mut machine.metal.liquidus, &mut machine.metal.solidus, &mut machine.metal.pot_temperature]
    {
        *temperature = working_set::celsius(240.0);
    }
}

/// The working set with one thing changed, prepared for a sort of `body` by `set` (m).
fn machine_with(body: f64, set: f64, change: impl FnOnce(&mut MachineStatement)) -> Machine {
    let mut stated = working_set::statement();
    change(&mut stated);
    let sort = Sort { body: Length(body), set: Length(set) };
    Machine::prepare(&stated, sort, Pace(1.0), LatchSetting::Aside).expect("the changed working set is valid")
}
