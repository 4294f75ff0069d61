//! The working set's turns at the default accuracy: every figure that is told of them against a turn four hundred times as tight that
//! follows the ringing to its end, and how much work they are. Work is counted in steps, of which a turn takes as many on every machine, but for what the last digits make of it.

use crate::support::working_set::{machine, square, statement};
use latchstroke_core::turn::{Accuracy, Throw, Turn, solve};
use latchstroke_models::cam::CamStatement;
use latchstroke_models::latch::LatchSetting::{self, Aside, Set};
use latchstroke_models::machine::Machine;
use latchstroke_models::units::{Angle, Length, Pace};

/// Points, turns a minute, latch, and steps of the default turn.
const CASTS: [(f64, f64, LatchSetting, usize); 8] = [
    (8.0, 120.0, Aside, 759),
    (8.0, 120.0, Set, 827),
    (12.0, 60.0, Aside, 478),
    (12.0, 60.0, Set, 587),
    (24.0, 40.0, Aside, 479),
    (24.0, 40.0, Set, 573),
    (36.0, 15.0, Aside, 385),
    (36.0, 15.0, Set, 490),
];

/// What is told of a turn, each with the share that it may be off by: some three times what it is off by at worst.
fn told(turn: &Turn) -> Vec<(&'static str, f64, f64)> {
    let (peaks, throw) = (&turn.peaks, turn.throw);
    let fill = turn.fill.expect("the mould fills");
    let mut all = vec![
        ("fill time", fill.time(), 3e-5),
        ("entry", fill.entry, 2e-5),
        ("mean piston speed", fill.mean_piston_speed, 5e-5),
        ("mean jet speed", fill.mean_jet_speed, 3e-5),
        ("piston speed", peaks.piston_speed, 2e-4),
        // It is greatest for a moment as the metal comes to the mould.
        ("jet speed", peaks.jet_speed, 2e-3),
        ("Reynolds number", peaks.reynolds, 2e-3),
        ("well pressure", peaks.well_pressure, 8e-4),
        ("cavity pressure", peaks.cavity_pressure, 3e-3),
        ("lifting force", peaks.lifting_force, 3e-3),
        ("cam force", peaks.cam_force, 5e-4),
        ("cam torque", peaks.cam_torque, 7e-5),
        ("spring force", peaks.spring_force, 6e-5),
        ("spring closing", peaks.spring_closing, 2e-4),
        ("block lift", peaks.block_lift, 4e-6),
        ("lasting pressure", turn.hold_pressure, 7e-4),
        ("cam work", turn.sums.cam_work, 8e-4),
    ];
    let mut thrown =
        |name, of: fn(Throw) -> f64, share| all.extend(throw.map(|throw| (name, of(throw), share)));
    thrown("release", |throw| throw.time, 1e-7);
    thrown("load on the latch", |throw| throw.latch_load, 1e-5);
    thrown("strike speed", |throw| throw.strike_speed, 6e-4);
    all
}

#[test]
fn reference_every_figure_at_the_default_accuracy_is_that_of_a_tight_undamped_turn() {
    let tight = Accuracy { tolerance: 5e-7, ringing: f64::INFINITY, ..Accuracy::default() };
    for (points, pace, setting, _) in CASTS {
        let machine = machine(points, pace, setting);
        let [ours, exact] = [Accuracy::default(), tight].map(|accuracy| told(&solve(&machine, accuracy)));
        assert_eq!(ours.len(), exact.len());
        for ((name, ours, share), (_, exact, _)) in ours.into_iter().zip(exact) {
            let off = ours / exact - 1.0;
            assert!(off.abs() < share, "{points} pt at {pace}, {setting:?}: {name} {ours}, {off:e} off");
        }
    }
}

/// Steps are what a turn costs, and none of them is for nothing: what takes more of them is to say why and to write down how many.
#[test]
fn property_a_turn_takes_no_more_steps_than_it_is_known_to() {
    for (points, pace, setting, steps) in CASTS {
        let turn = solve(&machine(points, pace, setting), Accuracy::default());
        // The last digits of a sine differ between machines.
        assert!(turn.steps <= steps + steps / 50, "{points} pt at {pace}, {setting:?}: {} steps", turn.steps);
        assert!(
            turn.energy_residual.abs() < 3e-4,
            "{points} pt at {pace}, {setting:?}: {}",
            turn.energy_residual
        );
    }
}

/// The same of a cam that is measured, every ten degrees, whose acceleration steps at each: ten times as far off, at most.
#[test]
fn reference_every_figure_of_a_measured_cam_is_that_of_a_tight_undamped_turn() {
    let tight = Accuracy { tolerance: 5e-7, ringing: f64::INFINITY, ..Accuracy::default() };
    let mut stated = statement();
    let read = |n: u32| {
        let angle = f64::from(10 * n).to_radians();
        (Angle(angle), Length(machine(12.0, 60.0, Aside).cam.at(angle).lift))
    };
    stated.cam = CamStatement::Measured((0..36).map(read).collect());
    for (points, pace, setting, _) in CASTS {
        let machine =
            Machine::prepare(&stated, square(points), Pace(pace / 60.0), setting).expect("a machine");
        let turn = solve(&machine, Accuracy::default());
        let [ours, exact] = [told(&turn), told(&solve(&machine, tight))];
        for ((name, ours, share), (_, exact, _)) in ours.into_iter().zip(exact) {
            let off = ours / exact - 1.0;
            assert!(
                off.abs() < 10.0 * share,
                "{points} pt at {pace}, {setting:?}: {name} {ours}, {off:e} off"
            );
        }
        assert!(turn.energy_residual.abs() < 6e-4, "{points} pt at {pace}: {}", turn.energy_residual);
    }
}
