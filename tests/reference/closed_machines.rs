//! Machines stripped to what a closed form describes: the working set with no friction, no leak and no freezing.

use crate::support::working_set;
use latchstroke_core::turn::{Accuracy, EventKind, Instant, Method, Turn, solve_traced};
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::latch::{LatchSetting, TripStatement};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::spring::{PreloadStatement, RateStatement};
use latchstroke_models::units::*;
use latchstroke_models::well::Suction;
use std::f64::consts::PI;

/// A rod that the latch lets go while the cross block stands still at the top of its lift.
#[derive(Debug, Clone, Copy)]
pub struct Throw {
    /// Mass of rod and piston, kg.
    pub rod_mass: f64,
    /// Springs' force as the latch lets go, N.
    pub force: f64,
    /// Their rate, N/m.
    pub rate: f64,
    /// Lift of the cross block, m: how far the rod can fly.
    pub lift: f64,
}

/// The metal a thrown rod drives.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Mass of the column in the channel as the rod feels it, kg.
    pub mass: f64,
    /// Piston diameter, m.
    pub bore: f64,
    /// Nozzle bore, m.
    pub nozzle: f64,
    /// Loss coefficient K besides the jet's own head.
    pub loss: f64,
    /// Density, kg/m³.
    pub density: f64,
}

/// π/4·d².
pub fn circle(diameter: f64) -> f64 {
    PI / 4.0 * diameter * diameter
}

/// The working set without friction, drag, leak, heat to the walls or floor of pressure; train, shoulder and metal so stiff
/// that they give by less than a millionth.
pub fn bare() -> MachineStatement {
    let mut stated = working_set::statement();
    stated.cross_block.train_stiffness = Stiffness(1e11);
    stated.cross_block.train_damping = DampingStatement::Coefficient(Damping(1e5));
    stated.rod.stop_stiffness = Stiffness(1e11);
    stated.rod.stop_damping = DampingStatement::Coefficient(Damping(5e5));
    stated.rod.friction = Force(0.0);
    stated.rod.drag = Damping(0.0);
    stated.piston.clearance = Length(0.0);
    stated.well.bulk_modulus = Pressure(1e14);
    stated.well.suction = Suction::Holds;
    stated.mould.heat_transfer = HeatTransfer(1e-9);
    stated
}

/// A bare machine whose latch lets the rod go at 0.6 s of a turn of 2 s, in the dwell from 80° to 280°; the piston stays
/// behind its open inlet, so that nothing flows.
pub fn thrown(throw: Throw) -> MachineStatement {
    let mut stated = bare();
    stated.cam = CamStatement::Law {
        law: Law::Cycloidal,
        lift: Length(throw.lift),
        rise_start: working_set::degrees(0.0),
        rise: working_set::degrees(80.0),
        dwell: working_set::degrees(200.0),
        fall: working_set::degrees(80.0),
    };
    // Half the lift is reached in the middle of the rise, at 2/9 s.
    stated.latch.trip = TripStatement::Lift(Length(0.5 * throw.lift));
    stated.latch.release_delay = Time(0.6 - 2.0 / 9.0);
    stated.springs[0].rate = RateStatement::Rate(Stiffness(throw.rate));
    stated.springs[0].mass = Some(Mass(0.0));
    stated.springs[0].preload = PreloadStatement::Force(Force(throw.force - throw.rate * throw.lift));
    stated.rod.mass = Mass(0.5 * throw.rod_mass);
    stated.piston.mass = Mass(0.5 * throw.rod_mass);
    stated.piston.port_travel = Length(1.0);
    stated
}

/// Bore of a channel without friction, m.
const CHANNEL: f64 = 1.0;

/// The same machine driving metal through an orifice from the first moment; the mould is too far to be reached.
pub fn pumping(throw: Throw, column: Column) -> MachineStatement {
    let mut stated = thrown(throw);
    let area = circle(column.bore);
    stated.piston.diameter = Length(column.bore);
    stated.piston.port_travel = Length(0.0);
    stated.metal.density = Density(column.density);
    stated.nozzle.bore = Length(column.nozzle);
    // No wall friction; the column's mass is that of a channel so wide that it has none either.
    stated.nozzle.length = Length(1e-9);
    stated.nozzle.loss = column.loss;
    stated.nozzle.channel_bore = Length(CHANNEL);
    stated.nozzle.channel_length = Length(column.mass * circle(CHANNEL) / (column.density * area * area));
    stated.mould.priming_volume = Volume(1.0);
    stated
}

/// Nozzle bore, m, for which the drag on the rod is `drag`·v²: drag = ½·ρ·A_p³/A_n²·(1 + K).
pub fn bore_for_drag(drag: f64, bore: f64, loss: f64, density: f64) -> f64 {
    let area = (0.5 * density * circle(bore).powi(3) * (1.0 + loss) / drag).sqrt();
    (area * 4.0 / PI).sqrt()
}

/// Solves a turn of 2 s with the latch set. Without a method of its own, the rod's flight takes the explicit one.
pub fn solved(stated: &MachineStatement, sort: Sort, tolerance: f64, method: Option<Method>) -> Turn {
    let machine = Machine::prepare(stated, sort, Pace(0.5), LatchSetting::Set).expect("a valid machine");
    solve_traced(&machine, Accuracy { tolerance, method, ringing: 1.0 })
}

/// The instants of a turn from the latch letting go, with the time since then.
pub fn flight(turn: &Turn) -> Vec<(f64, Instant)> {
    let start = turn.first(EventKind::LatchLetsGo).expect("the latch lets go").time;
    turn.trace.iter().filter(|i| i.time >= start).map(|i| (i.time - start, *i)).collect()
}

/// Time and speed at which the rod has travelled `distance` (m) since the latch let go.
///
/// Between two instants t(x) is a cubic with the slopes 1/v at both.
pub fn at_travel(flight: &[(f64, Instant)], distance: f64) -> (f64, f64) {
    let x0 = flight[0].1.state.rod_lift;
    let next = flight.iter().position(|(_, i)| i.state.rod_lift - x0 >= distance).expect("it comes that far");
    let ((t0, a), (t1, b)) = (flight[next - 1], flight[next]);
    let (xa, xb) = (a.state.rod_lift - x0, b.state.rod_lift - x0);
    let (va, vb) = (a.state.rod_speed, b.state.rod_speed);
    let (width, u) = (xb - xa, (distance - xa) / (xb - xa));
    let (m0, m1) = (width / va, width / vb);
    let c2 = 3.0 * (t1 - t0) - 2.0 * m0 - m1;
    let c3 = 2.0 * (t0 - t1) + m0 + m1;
    (t0 + u * (m0 + u * (c2 + u * c3)), width / (m0 + u * (2.0 * c2 + u * 3.0 * c3)))
}
