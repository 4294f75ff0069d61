//! What the default accuracy gives: each figure of a turn against the same turn converged, over random machines.
//!
//! Run with `cargo bench -p latchstroke --bench precision`. Prints the work (steps a turn) and the errors, median, 95th in a
//! hundred and worst. The converged turn is solved at a tolerance of 1e-8 and follows the ringing of the full mould to its end; the last
//! block holds it against itself at 1e-9, which tells the turns that hang on everything.

#[path = "../../../tests/support/any_machine.rs"]
#[allow(dead_code)]
mod any_machine;
#[path = "../../../tests/support/working_set.rs"]
#[allow(dead_code)]
mod working_set;
use any_machine::Job;
use latchstroke_core::turn::{Accuracy, Finding, Turn, solve};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;

const MACHINES: usize = 200;

type Figure = (&'static str, fn(&Turn) -> Option<f64>);

const FIGURES: [Figure; 5] = [
    ("fill time", Turn::sound_fill_time),
    ("piston speed, peak", |turn| turn.fill.map(|_| turn.peaks.piston_speed)),
    ("mould pressure, peak", |turn| turn.fill.map(|_| turn.peaks.cavity_pressure)),
    ("lifting force, peak", |turn| turn.fill.map(|_| turn.peaks.lifting_force)),
    ("mould pressure, lasting", |turn| (turn.hold_pressure > 0.0).then_some(turn.hold_pressure)),
];

/// Any machine, and the working set with each of its measures somewhere within 30 %.
fn populations() -> [(&'static str, Vec<Machine>); 2] {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[9; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let both = |job: Job| [LatchSetting::Aside, LatchSetting::Set].map(|setting| job.machine(setting));
    let mut draw = |of: &dyn Fn(&mut TestRunner) -> Option<Job>| -> Vec<Machine> {
        (0..MACHINES).filter_map(|_| of(&mut runner)).flat_map(both).collect()
    };
    [
        (
            "the working set within 30 %",
            draw(&|runner| Some(any_machine::near().new_tree(runner).ok()?.current())),
        ),
        ("machines spread widely", draw(&|runner| Some(any_machine::job().new_tree(runner).ok()?.current()))),
    ]
}

fn main() {
    for (name, machines) in populations() {
        println!("{name}");
        table(&machines);
    }
}

fn table(machines: &[Machine]) {
    let close = Accuracy { tolerance: 1e-8, method: None, ringing: f64::INFINITY };
    let converged: Vec<Turn> = machines.par_iter().map(|machine| solve(machine, close)).collect();
    let default = Accuracy::default();
    for accuracy in [default, Accuracy { tolerance: 2e-5, ..default }, Accuracy { tolerance: 1e-9, ..close }]
    {
        let turns: Vec<Turn> = machines.par_iter().map(|machine| solve(machine, accuracy)).collect();
        let turns: Vec<(&Turn, &Turn)> = turns.iter().zip(&converged).collect();
        let trusted = |turn: &Turn| !turn.findings.iter().any(Finding::makes_unreliable);
        let steps: usize = turns.iter().map(|(ours, _)| ours.steps).sum();
        println!(
            "tolerance {:e}: {} turns, {} steps a turn, not to be trusted {} and {} of the converged",
            accuracy.tolerance,
            turns.len(),
            steps / turns.len(),
            turns.iter().filter(|(ours, _)| !trusted(ours)).count(),
            turns.iter().filter(|(_, close)| !trusted(close)).count()
        );
        for (name, of) in FIGURES {
            let mut errors: Vec<(f64, usize)> = turns
                .iter()
                .enumerate()
                .filter(|(_, (ours, close))| trusted(ours) && trusted(close))
                .filter_map(|(n, (ours, close))| Some(((of(ours)? / of(close)? - 1.0).abs(), n)))
                .collect();
            errors.sort_by(|a, b| a.0.total_cmp(&b.0));
            let at = |percent: usize| {
                errors.get(errors.len().saturating_sub(1) * percent / 100).map_or(0.0, |e| e.0)
            };
            println!(
                "  {name:<26} {:>4} turns  median {:8.1e}  95 % {:8.1e}  worst {:8.1e}  above 0.5 %: {}",
                errors.len(),
                at(50),
                at(95),
                at(100),
                errors.iter().filter(|e| e.0 > 5e-3).count()
            );
        }
    }
}
