//! A follower on an eccentric with one-way closure, solved by the program, against the balance of forces.
//!
//! Lift e·(1 − cos θ), return spring k·(d_0 + y): contact force k·(d_0 + e) + (M·ω² − k)·e·cos θ. It is lost at the top at
//! ω = √(k·(d_0 + 2e)/(M·e)): the textbook's follower jump.

use super::closed_machines::{Throw, thrown};
use crate::support::working_set::{degrees, square};
use approx::assert_relative_eq;
use latchstroke_core::turn::{Accuracy, EventKind, Finding, Turn, solve_traced};
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::cross_block::Closure;
use latchstroke_models::latch::{LatchSetting, TripStatement};
use latchstroke_models::machine::Machine;
use latchstroke_models::units::{Damping, Force, Length, Mass, Pace, Stiffness};
use std::f64::consts::{PI, TAU};

/// k (N/m), d_0 (m), e (m), M (kg).
const RATE: f64 = 20e3;
const SQUEEZE: f64 = 0.010;
const ECCENTRICITY: f64 = 0.006;
const MASS: f64 = 1.2;

/// A turn at `omega` (rad/s), with springs that press next to nothing and a latch that holds all turn.
fn turn(omega: f64) -> Turn {
    let lift = 2.0 * ECCENTRICITY;
    let mut stated = thrown(Throw { rod_mass: 2.0, force: 1e-6 * lift, rate: 1e-6, lift });
    stated.latch.trip = TripStatement::Lift(Length(1.0));
    stated.cam = CamStatement::Law {
        law: Law::SimpleHarmonic,
        lift: Length(lift),
        rise_start: degrees(0.0),
        rise: degrees(180.0),
        dwell: degrees(0.0),
        fall: degrees(180.0),
    };
    stated.cross_block.mass = Mass(MASS);
    // Stiff enough for the block to follow within 0.1 µm; damped so that the start from rest has died away by 15°.
    stated.cross_block.train_stiffness = Stiffness(1e10);
    stated.cross_block.train_damping = DampingStatement::Coefficient(Damping(1e5));
    stated.cross_block.closure =
        Closure::OneWay { return_force: Force(RATE * SQUEEZE), return_rate: Stiffness(RATE) };
    let machine = Machine::prepare(&stated, square(12.0), Pace(omega / TAU), LatchSetting::Set)
        .expect("the eccentric is a valid machine");
    solve_traced(&machine, Accuracy { tolerance: 1e-9, ..Accuracy::default() })
}

/// The speed at which contact is lost at the top, rad/s.
const CRITICAL: f64 = 247.206616237;

#[test]
fn closed_form_follower_presses_as_the_forces_balance() {
    let omega = 200.0;
    let turn = turn(omega);
    assert!(turn.first(EventKind::FollowerLeaves).is_none());
    let force = |angle: f64| {
        RATE * (SQUEEZE + ECCENTRICITY) + (MASS * omega * omega - RATE) * ECCENTRICITY * angle.cos()
    };
    // 152 N at the top.
    assert_relative_eq!(force(PI), 152.0, max_relative = 1e-12);
    let followed: Vec<_> = turn.trace.iter().filter(|i| i.angle > 0.3 && i.angle < 6.0).collect();
    assert!(followed.iter().any(|i| (i.angle - PI).abs() < 0.01));
    for instant in followed {
        // The train is squeezed by 15 to 50 nm, which the integrator holds to a few parts in 10⁵.
        assert_relative_eq!(instant.cam_force, force(instant.angle), epsilon = 0.01);
    }
}

#[test]
fn closed_form_follower_leaves_its_cam_above_the_critical_speed() {
    let floats = |turn: &Turn| turn.findings.iter().any(|f| matches!(f, Finding::FollowerFloats { .. }));
    // One part in a thousand either side: the train's own spring shifts the speed by (ω/ω_n)², a hundred-thousandth.
    assert!(!floats(&turn(0.999 * CRITICAL)));
    assert!(floats(&turn(1.001 * CRITICAL)));
}

#[test]
fn closed_form_follower_leaves_where_the_contact_force_is_zero() {
    for share in [1.02, 1.1, 1.3] {
        let omega = share * CRITICAL;
        let cosine = -RATE * (SQUEEZE + ECCENTRICITY) / ((MASS * omega * omega - RATE) * ECCENTRICITY);
        let turn = turn(omega);
        let left = turn.first(EventKind::FollowerLeaves).expect("the follower leaves");
        // The force falls by 50 N and more for each radian, and the integrator holds it to a hundredth of a newton.
        assert_relative_eq!(left.angle, cosine.acos(), epsilon = 2e-4);
    }
}
