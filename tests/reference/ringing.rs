//! The damping of the full mould's ringing against the same turns with all of it followed: what is told of a turn must not know of
//! the damping.

use crate::support::any_machine::near;
use crate::support::working_set::machine;
use latchstroke_core::turn::{Accuracy, Event, EventKind, Turn, solve};
use latchstroke_models::latch::LatchSetting::{Aside, Set};
use latchstroke_models::machine::Machine;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;

const MACHINES: usize = 200;

/// Machines about the working set, each with the latch aside and set.
fn machines() -> Vec<Machine> {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[9; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let mut draw = || near().new_tree(&mut runner).expect("a machine").current();
    (0..MACHINES).map(|_| draw()).flat_map(|job| [Aside, Set].map(|setting| job.machine(setting))).collect()
}

/// The turn at an accuracy, and the one at another that follows the ringing to its end.
fn both(machine: &Machine, [ours, all]: [Accuracy; 2]) -> [Turn; 2] {
    [ours, Accuracy { ringing: f64::INFINITY, ..all }].map(|accuracy| solve(machine, accuracy))
}

/// The default accuracy made tighter.
fn at(tolerance: f64) -> Accuracy {
    Accuracy { tolerance, ..Accuracy::default() }
}

/// By how much lasting and peak pressure in the mould (and with them the forces on the matrix, which are the pressure times the face) are
/// off, of all machines that fill: each in rising order.
fn errors(accuracies: [Accuracy; 2]) -> [Vec<f64>; 2] {
    let all: Vec<[f64; 2]> = machines()
        .par_iter()
        .map(|machine| both(machine, accuracies))
        .filter(|turns| turns.iter().all(|turn| turn.hold_pressure > 0.0))
        .map(|[ours, all]| {
            let off = |of: fn(&Turn) -> f64| (of(&ours) / of(&all) - 1.0).abs();
            [off(|turn| turn.hold_pressure), off(|turn| turn.peaks.cavity_pressure)]
        })
        .collect();
    assert!(all.len() > 360, "{} turns", all.len());
    [0, 1].map(|figure| {
        let mut off: Vec<f64> = all.iter().map(|errors| errors[figure]).collect();
        off.sort_by(f64::total_cmp);
        off
    })
}

/// At one tolerance, so that nothing but the damping differs, and close enough that what chance makes of a bounce is the same in both: two
/// hundred machines about the working set, latch aside and set. What lasts and what peaks is that of the undamped turn to half a per cent
/// in every one of them. A drag on the rod's own speed, however small, fails here by its share of the springs' force: 5 % with the
/// critical drag.
#[test]
fn reference_what_lasts_and_what_peaks_is_that_of_the_undamped_turn() {
    for (off, name) in errors([at(2e-5), at(2e-5)]).iter().zip(["lasting", "peak"]) {
        let worst = off[off.len() - 1];
        assert!(worst < 5e-3, "{name}: {worst} at worst");
    }
}

/// The same machines at the default accuracy, against undamped turns two hundred times as tight: every peak is good to half a per cent, and
/// so is what lasts but in one turn of a hundred, most of which bounce the metal at the entry dozens of times. In the median peaks are good to
/// one in three thousand, since each is looked up at its top, and what lasts to one in thirty thousand.
#[test]
fn reference_the_default_accuracy_tells_what_lasts_and_what_peaks() {
    let [lasting, peak] = errors([Accuracy::default(), at(1e-6)]);
    let last = lasting.len() - 1;
    let (worst, middle) = (peak[last], peak[last / 2]);
    assert!(worst < 5e-3 && middle < 3.3e-4, "peak: {worst} at worst, {middle} in the median");
    let (most, middle) = (lasting[99 * last / 100], lasting[last / 2]);
    assert!(most < 5e-3 && middle < 3.3e-5, "lasting: {most} in 99 of a hundred, {middle} in the median");
}

/// Closed form: a full mould's ringing is looked at one of the machine's own periods after the last blow, and damped then or a whole number
/// of them later; a few are damped at once.
#[test]
fn closed_form_ringing_is_damped_whole_periods_after_the_last_blow() {
    let mut all = Vec::new();
    for (points, pace) in [(6.0, 100.0), (12.0, 60.0), (24.0, 40.0), (36.0, 15.0)] {
        for setting in [Aside, Set] {
            let machine = machine(points, pace, setting);
            let events = solve(&machine, Accuracy::default()).events;
            let blow = |event: &&Event| {
                use EventKind::{Full, MetalMeets, Sealed, ShoulderParts, ShoulderStrikes};
                matches!(event.kind, Full | MetalMeets | Sealed | ShoulderParts | ShoulderStrikes)
            };
            let damped = (0..events.len()).filter(|&place| events[place].kind == EventKind::RungOut);
            for place in damped {
                let last = events[..place].iter().rev().find(blow).expect("a blow");
                all.push((events[place].time - last.time) / machine.ringing_period());
            }
        }
    }
    assert!(all.len() >= 8, "{all:?}");
    assert!(all.iter().all(|periods| (periods - periods.round()).abs() < 1e-6), "{all:?}");
    assert!(all.iter().filter(|periods| **periods < 1.5).count() > 1, "{all:?}");
    assert!(all.iter().all(|periods| *periods > 0.5), "{all:?}");
    // Some swings may yet make the peak, and are followed for longer.
    assert!(all.iter().any(|periods| *periods > 2.5), "{all:?}");
}

/// Nothing before the mould is full knows of the damping; the entry seals when it does without it, since what goes to and fro at
/// the entry of a full mould carries no heat of its own in.
#[test]
fn reference_fill_and_sealing_do_not_know_of_the_damping() {
    for (points, pace) in [(8.0, 140.0), (12.0, 60.0), (24.0, 40.0), (36.0, 15.0)] {
        for setting in [Aside, Set] {
            let [damped, all] = both(&machine(points, pace, setting), [at(2e-5), at(2e-5)]);
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
