//! Contacts, solved by the program, against closed forms: a block on its damped train, and a rod that bounces.

use super::closed_machines::{Throw, solved, thrown};
use crate::support::working_set::{degrees, square};
use approx::assert_relative_eq;
use latchstroke_core::turn::{EventKind, Method};
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::latch::TripStatement;
use latchstroke_models::units::{Angle, Damping, Length, Mass, Stiffness};
use std::f64::consts::PI;

/// Place and speed after `t` (s) of a free oscillator of `mass`, `rate` and `damping` let go at `x0` with `v0`.
fn oscillator((mass, rate, damping): (f64, f64, f64), (x0, v0): (f64, f64), t: f64) -> (f64, f64) {
    let decay = 0.5 * damping / mass;
    let swing = (rate / mass - decay * decay).sqrt();
    let (sin, cos) = (swing * t).sin_cos();
    let b = (v0 + decay * x0) / swing;
    let fade = (-decay * t).exp();
    (fade * (x0 * cos + b * sin), fade * (v0 * cos - (decay * b + swing * x0) * sin))
}

/// 2 kg, 800 N/m, 8 N·s/m: a tenth of critical damping.
const BLOCK: (f64, f64, f64) = (2.0, 800.0, 8.0);

#[test]
fn closed_form_oscillator_is_the_published_one() {
    // Let go at 0.05 m: time, place, speed; mpmath 1.3.0.
    let table = [
        (0.05, 0.02844859454730499, -0.7627576785102375),
        (0.1, -0.01290351317197732, -0.7516155021259888),
        (0.2, -0.02491628010821727, 0.5009243938850222),
        (0.5, -0.01684258402952067, 0.1853457069846059),
        (1.0, 0.003955801180948124, -0.1179974195564409),
    ];
    for (t, place, speed) in table {
        let (x, v) = oscillator(BLOCK, (0.05, 0.0), t);
        assert_relative_eq!(x, place, max_relative = 1e-12);
        assert_relative_eq!(v, speed, max_relative = 1e-12);
    }
}

#[test]
fn closed_form_block_on_its_train_rings_after_a_step_of_the_cam() {
    let lift = 0.05;
    // The springs weigh and press next to nothing, and the latch holds the rod all turn.
    let mut stated = thrown(Throw { rod_mass: 2.0, force: 1e-6 * lift, rate: 1e-6, lift });
    stated.latch.trip = TripStatement::Lift(Length(1.0));
    let (mass, rate, damping) = BLOCK;
    stated.cross_block.mass = Mass(mass);
    stated.cross_block.train_stiffness = Stiffness(rate);
    stated.cross_block.train_damping = DampingStatement::Coefficient(Damping(damping));
    // The cam jumps to full lift in 0.1 µs, a twentieth of a turn after its start.
    let jump = 1e-7 * PI;
    stated.cam = CamStatement::Law {
        law: Law::Cycloidal,
        lift: Length(lift),
        rise_start: degrees(18.0),
        rise: Angle(jump),
        dwell: degrees(270.0),
        fall: degrees(60.0),
    };
    for method in [Method::Stiff, Method::Explicit] {
        let turn = solved(&stated, square(12.0), 1e-8, Some(method));
        let (start, end) = (0.1 + 1e-7, 1.6);
        let ringing: Vec<_> = turn.trace.iter().filter(|i| i.time > start && i.time < end).collect();
        assert!(ringing.len() > 200);
        for instant in ringing {
            // The damper passes the step on as a blow c·h at once.
            let (x, v) = oscillator(BLOCK, (lift, -damping * lift / mass), instant.time - start);
            // The jump lasts 0.1 µs, in which the block moves 10 nm; the integrators' part is as small.
            assert_relative_eq!(lift - instant.state.block_lift, x, epsilon = 5e-8);
            assert_relative_eq!(-instant.state.block_speed, v, epsilon = 1e-6);
        }
    }
}

#[test]
fn closed_form_rod_bounces_on_its_shoulder() {
    // A linear damped contact that lets go where its force is zero: restitution exp(−2·ζ·arccos ζ/√(1 − ζ²)) after the time
    // 2·arccos ζ/ω_d (T. Schwager and T. Pöschel, *Granular Matter* 9 (2007) 465; from memory).
    let (mass, contact_rate, zeta) = (1.5, 1e8, 0.2_f64);
    let (spring, lift) = (40e3, 0.05);
    let mut stated = thrown(Throw { rod_mass: mass, force: spring * lift, rate: spring, lift });
    stated.rod.stop_stiffness = Stiffness(contact_rate);
    stated.rod.stop_damping =
        DampingStatement::Coefficient(Damping(2.0 * zeta * f64::sqrt(contact_rate * mass)));
    // A block that a blow does not move: a thousand tons, on a train that holds it still.
    stated.cross_block.mass = Mass(1e6);
    stated.cross_block.train_stiffness = Stiffness(1e13);
    stated.cross_block.train_damping = DampingStatement::Coefficient(Damping(4e9));
    let swing = f64::sqrt(spring / mass);
    let restitution = (-2.0 * zeta * zeta.acos() / (1.0 - zeta * zeta).sqrt()).exp();
    let touch = 2.0 * zeta.acos() / (f64::sqrt(contact_rate / mass) * (1.0 - zeta * zeta).sqrt());
    // The faces part while still pressed in by c/k of the speed; the rod covers that before the spring takes it up.
    let slack = 2.0 * zeta / f64::sqrt(contact_rate / mass);

    let turn = solved(&stated, square(12.0), 1e-8, Some(Method::Stiff));
    let of = |kind: EventKind| turn.events.iter().filter(move |e| e.kind == kind);
    let released = turn.first(EventKind::LatchLetsGo).expect("the latch lets go").time;
    // A quarter of a swing to the block, then half a swing out and back between blows, each slower by the restitution.
    let mut strike = released + 0.5 * PI / swing;
    let mut speed = swing * lift;
    for (struck, parted) in
        of(EventKind::ShoulderStrikes).zip(of(EventKind::ShoulderParts).filter(|e| e.time > released)).take(6)
    {
        // Each event's nanosecond adds up; a nanosecond of contact is worth some 1e-6 of the speed. The block gives a little.
        assert_relative_eq!(struck.time, strike, epsilon = 1e-8);
        assert_relative_eq!(struck.before.rod_speed, speed, max_relative = 3e-5);
        assert_relative_eq!(parted.time, strike + touch, epsilon = 1e-8);
        assert_relative_eq!(parted.before.rod_speed, -restitution * speed, max_relative = 3e-5);
        strike += touch + slack + PI / swing;
        speed *= restitution;
    }
    assert!(of(EventKind::ShoulderStrikes).count() > 6);
}
