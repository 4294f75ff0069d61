//! How fast turns are solved and judged. Read the figures as ratios within one run; another machine has other figures.
//!
//! Run with `cargo bench -p latchstroke`.

use divan::Bencher;
use latchstroke_core::studies::judge::{Cast, judge_all};
use latchstroke_core::turn::{Accuracy, Method, solve};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, POINT, Pace};
use latchstroke_scenario::read;
use latchstroke_scenario::stated;
use std::hint::black_box;

fn main() {
    divan::main();
}

const DEMO: &str = include_str!("../../../scenarios/large_initials.toml");

fn demo() -> (MachineStatement, Cast) {
    let scenario = read("demo", DEMO, &[]).expect("the demo is a valid scenario");
    (stated::machine(&scenario), stated::cast(&scenario))
}

fn sort(points: f64) -> Sort {
    Sort { body: Length(points * POINT), set: Length(points * POINT) }
}

fn turn(bencher: Bencher, setting: LatchSetting, method: Option<Method>) {
    let (stated, _) = demo();
    let machine = Machine::prepare(&stated, sort(24.0), Pace(40.0 / 60.0), setting).expect("a valid machine");
    bencher.bench(|| solve(black_box(&machine), Accuracy { method, ..Accuracy::default() }));
}

/// The yardstick: one evaluation of the equations of motion.
#[divan::bench]
fn rates_once(bencher: Bencher) {
    let (stated, cast) = demo();
    let machine =
        Machine::prepare(&stated, cast.sort, cast.pace, LatchSetting::Set).expect("a valid machine");
    let (state, mode) = (machine.rest_state(), machine.rest_mode());
    bencher.bench(|| machine.rates(black_box(1.0), black_box(&state), black_box(mode)));
}

#[divan::bench]
fn turn_latch_aside(bencher: Bencher) {
    turn(bencher, LatchSetting::Aside, None);
}

#[divan::bench]
fn turn_latch_set(bencher: Bencher) {
    turn(bencher, LatchSetting::Set, None);
}

#[divan::bench(args = [Method::Stiff, Method::Explicit])]
fn turn_latch_set_by(bencher: Bencher, method: Method) {
    turn(bencher, LatchSetting::Set, Some(method));
}

/// Eight sizes at twenty paces, latch aside and set.
#[divan::bench(sample_count = 10)]
fn judge_eight_sizes_twenty_paces(bencher: Bencher) {
    let scenario = read("demo", DEMO, &[]).expect("the demo is a valid scenario");
    let (stated, terms) = (stated::machine(&scenario), stated::terms(&scenario));
    let casts: Vec<Cast> = [8.0, 10.0, 12.0, 14.0, 18.0, 24.0, 30.0, 36.0]
        .into_iter()
        .flat_map(|points| {
            (0..20).map(move |n| Cast { sort: sort(points), pace: Pace((15.0 + 3.0 * f64::from(n)) / 60.0) })
        })
        .collect();
    bencher.bench(|| judge_all(black_box(&stated), &casts, &terms));
}

#[divan::bench]
fn read_a_scenario() -> usize {
    read("demo", black_box(DEMO), &[]).map_or(0, |scenario| scenario.sections().len())
}
