//! The integrators' errors fall as their order says, and what comes out does not depend on which is taken.
//!
//! The order is measured where everything moves at once and nothing jumps: a rod in flight against metal, while cam and cross
//! block still rise. The solution at a far tighter tolerance stands for the exact one; that it is one is shown by the closed
//! forms beside this file.

use super::closed_machines::flight;
use crate::support::working_set::{self, degrees, machine, square};
use approx::assert_relative_eq;
use latchstroke_core::turn::{Accuracy, EventKind, Method, Stop, solve, solve_traced};
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::latch::{LatchSetting, TripStatement};
use latchstroke_models::machine::Machine;
use latchstroke_models::state::STATE_SIZE;
use latchstroke_models::units::{Force, Length, Pace, Volume};

/// The working set at 600 turns a minute with its piston past the port, no dry friction and a mould too far to be reached:
/// the latch lets go 4.5 ms before the cam's rise ends, and nothing else happens until then.
fn smooth() -> Machine {
    let mut stated = working_set::statement();
    stated.cam = CamStatement::Law {
        law: Law::SimpleHarmonic,
        lift: Length(0.030),
        rise_start: degrees(0.0),
        rise: degrees(80.0),
        dwell: degrees(100.0),
        fall: degrees(90.0),
    };
    stated.latch.trip = TripStatement::Lift(Length(0.027));
    stated.rod.friction = Force(0.0);
    stated.piston.port_travel = Length(0.0);
    stated.mould.priming_volume = Volume(1.0);
    Machine::prepare(&stated, square(12.0), Pace(10.0), LatchSetting::Set).expect("a valid machine")
}

/// Steps of the flight to the end of the rise, and the scaled state there.
fn fly(machine: &Machine, method: Method, tolerance: f64) -> (f64, [f64; STATE_SIZE]) {
    let turn = solve_traced(machine, Accuracy { tolerance, method: Some(method), ringing: 1.0 });
    let end = 80.0_f64.to_radians() / machine.shaft_speed;
    let instants: Vec<_> =
        flight(&turn).into_iter().map(|(_, i)| i).filter(|i| i.time <= end * (1.0 + 1e-12)).collect();
    let last = instants.last().expect("the flight has instants");
    assert_relative_eq!(last.time, end, max_relative = 1e-12);
    let released = [EventKind::ProngsSpread, EventKind::LatchLetsGo];
    let between = turn.events.iter().filter(|e| !released.contains(&e.kind));
    assert!(between.filter(|e| e.time >= instants[0].time).all(|e| e.time > end));
    // A step is written down as its middle and its end.
    (0.5 * instants.len() as f64, last.state.scaled(last.cam_lift, &machine.scales()))
}

/// Slope of the straight line through points by least squares.
fn slope(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let (mx, my) = (points.iter().map(|p| p.0).sum::<f64>() / n, points.iter().map(|p| p.1).sum::<f64>() / n);
    let (mut up, mut down) = (0.0, 0.0);
    for (x, y) in points {
        up += (x - mx) * (y - my);
        down += (x - mx) * (x - mx);
    }
    up / down
}

#[test]
fn closed_form_integrators_have_their_order() {
    let machine = smooth();
    let (_, exact) = fly(&machine, Method::Explicit, 1e-12);
    for (method, order) in [(Method::Stiff, 4.0), (Method::Explicit, 5.0)] {
        let (mut by_steps, mut by_tolerance) = (Vec::new(), Vec::new());
        // Steps from a thirtieth to a three-hundredth of the flight, errors from 1e-4 down to 1e-10.
        for quarter in 24..=40 {
            let tolerance = 10_f64.powf(-0.25 * f64::from(quarter));
            let (steps, end) = fly(&machine, method, tolerance);
            let error = end.iter().zip(&exact).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            by_steps.push((steps.ln(), error.ln()));
            by_tolerance.push((tolerance.ln(), error.ln()));
        }
        // The error falls as steps^-order. Half an order is left for steps that are not all of one length.
        let found = -slope(&by_steps);
        assert!(found > order - 0.5, "{method:?}: order {found}");
        // Each step's error is held to the tolerance, so the whole falls with it.
        let found = slope(&by_tolerance);
        assert!(found > 0.8 && found < 1.2, "{method:?}: error as tolerance^{found}");
    }
}

/// Sizes, paces and settings with short and long fills, carried and thrown.
const CASTS: [(f64, f64, LatchSetting); 4] = [
    (12.0, 60.0, LatchSetting::Set),
    (24.0, 40.0, LatchSetting::Aside),
    (24.0, 40.0, LatchSetting::Set),
    (36.0, 15.0, LatchSetting::Set),
];

fn fill_time(machine: &Machine, tolerance: f64, method: Option<Method>) -> f64 {
    let turn = solve(machine, Accuracy { tolerance, method, ..Accuracy::default() });
    assert_eq!(turn.stop, Stop::FullTurn);
    turn.fill.expect("the mould fills").time()
}

#[test]
fn closed_form_fill_time_converges_and_both_integrators_agree() {
    for (points, pace, setting) in CASTS {
        let machine = machine(points, pace, setting);
        let stiff = fill_time(&machine, 1e-8, Some(Method::Stiff));
        // Two integrators with nothing in common agree: events are located to a nanosecond, of fills of 7 ms and more.
        let explicit = fill_time(&machine, 1e-8, Some(Method::Explicit));
        assert_relative_eq!(stiff, explicit, max_relative = 1e-7);
        // Each tolerance keeps its promise. Where the thrown rod strikes, errors gather, so a factor of ten is left.
        for tolerance in [1e-5, 1e-6, 1e-7] {
            for method in [Method::Stiff, Method::Explicit] {
                let time = fill_time(&machine, tolerance, Some(method));
                assert_relative_eq!(time, stiff, max_relative = 10.0 * tolerance);
            }
        }
        // As solved by default.
        let Accuracy { tolerance, method, .. } = Accuracy::default();
        assert_relative_eq!(fill_time(&machine, tolerance, method), stiff, max_relative = 1e-4);
    }
}
