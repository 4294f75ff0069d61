//! The damping of the full mould's ringing against the same turns with all of it followed: what is told of a turn must not know of
//! the damping.

use crate::support::any_machine::{Job, near};
use crate::support::working_set::machine;
use latchstroke_core::turn::{Accuracy, EventKind, Turn, solve};
use latchstroke_models::latch::LatchSetting::{Aside, Set};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;

const MACHINES: usize = 200;

/// The default turn, and the one that follows the ringing to its end, at one tolerance, so that nothing but the damping differs.
fn both(machine: &latchstroke_models::machine::Machine) -> [Turn; 2] {
    // Close enough that what chance makes of a bounce is the same in both for nearly every machine.
    let close = Accuracy { tolerance: 2e-5, ..Accuracy::default() };
    [close, Accuracy { ringing: f64::INFINITY, ..close }].map(|accuracy| solve(machine, accuracy))
}

/// Two hundred machines about the working set, latch aside and set. What lasts is that of the undamped turn to half a per cent in every
/// one of them, and so is the peak pressure (and with them the forces on the matrix, which are the pressure times the face). A drag on
/// the rod's own speed, however small, fails here by its share of the springs' force: 5 % with the critical drag.
#[test]
fn reference_what_lasts_and_what_peaks_is_that_of_the_undamped_turn() {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[9; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let jobs: Vec<Job> =
        (0..MACHINES).map(|_| near().new_tree(&mut runner).expect("a machine").current()).collect();
    let errors: Vec<[f64; 2]> = jobs
        .par_iter()
        .flat_map_iter(|job| [Aside, Set].map(|setting| both(&job.machine(setting))))
        .filter(|[damped, all]| damped.hold_pressure > 0.0 && all.hold_pressure > 0.0)
        .map(|[damped, all]| {
            let off = |of: fn(&Turn) -> f64| (of(&damped) / of(&all) - 1.0).abs();
            [off(|turn| turn.hold_pressure), off(|turn| turn.peaks.cavity_pressure)]
        })
        .collect();
    assert!(errors.len() > 360, "{} turns", errors.len());
    for (figure, name) in ["lasting", "peak"].into_iter().enumerate() {
        let worst = errors.iter().map(|errors| errors[figure]).fold(0.0, f64::max);
        assert!(worst < 5e-3, "{name}: {worst} at worst");
    }
}

/// Nothing before the mould is full knows of the damping; the entry seals when it does without it, since what goes to and fro at
/// the entry of a full mould carries no heat of its own in.
#[test]
fn reference_fill_and_sealing_do_not_know_of_the_damping() {
    for (points, pace) in [(8.0, 140.0), (12.0, 60.0), (24.0, 40.0), (36.0, 15.0)] {
        for setting in [Aside, Set] {
            let [damped, all] = both(&machine(points, pace, setting));
            assert_eq!(damped.fill, all.fill);
            let sealed = |turn: &Turn| turn.first(EventKind::Sealed).expect("the entry seals").time;
            let off = sealed(&damped) / sealed(&all) - 1.0;
            // The vents of a mould that rings itself open for a moment let some fresh metal in before.
            assert!(off.abs() < 2e-3, "{points} pt at {pace}, {setting:?}: seals {off:e} off");
        }
    }
}

/// Critical damping by its definition, c² = 4·k·m, so that a swing neither goes on nor creeps home: of the rod on the metal of the
/// well, and of the column in the nozzle on that of the mould.
#[test]
fn closed_form_the_damping_is_critical() {
    for points in [6.0, 12.0, 36.0] {
        let machine = machine(points, 40.0, Set);
        let area = machine.rod.ratio * machine.piston.area;
        let (damping, stiffness) =
            (machine.well_resistance() * area * area, machine.well.stiffness() * area * area);
        approx::assert_relative_eq!(
            damping * damping,
            4.0 * stiffness * machine.rod.mass,
            max_relative = 1e-12
        );
        let (damping, stiffness) = (machine.mould_resistance(), machine.mould.packing_stiffness());
        approx::assert_relative_eq!(
            damping * damping,
            4.0 * stiffness * machine.nozzle.inertance,
            max_relative = 1e-12
        );
    }
}
