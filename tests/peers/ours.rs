//! Our side of the race that `race.py` runs: fill time (s), greatest pressure of well and of mould (Pa) and least processor time (s) of a
//! turn of the working set.
//!
//! `ours POINTS PACE LATCH RTOL REPEATS`, as `turn.c` takes them; RTOL is the solver's relative tolerance, 0 for the default.

#[path = "../support/working_set.rs"]
#[allow(dead_code)] // The tests ask more of it.
mod working_set;

use latchstroke_core::turn::{Accuracy, solve};
use latchstroke_core::units::Pace;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use std::time::Instant;

fn main() {
    let told: Vec<f64> = std::env::args().skip(1).filter_map(|word| word.parse().ok()).collect();
    let [points, pace, latch, tolerance, repeats] = told[..] else {
        eprintln!("ours POINTS PACE LATCH RTOL REPEATS");
        std::process::exit(2);
    };
    let setting = if latch == 0.0 { LatchSetting::Aside } else { LatchSetting::Set };
    let sort = working_set::square(points);
    let machine = Machine::prepare(&working_set::statement(), sort, Pace(pace / 60.0), setting)
        .expect("the working set is whole");
    let accuracy = match tolerance {
        0.0 => Accuracy::default(),
        _ => Accuracy { tolerance, ..Accuracy::default() },
    };
    let mut least = f64::INFINITY;
    let mut solved = [f64::NAN; 3];
    let mut repeat = repeats;
    while repeat >= 1.0 {
        let begun = Instant::now();
        let turn = solve(&machine, accuracy);
        least = least.min(begun.elapsed().as_secs_f64());
        let fill = turn.fill.map_or(f64::NAN, |fill| fill.time());
        solved = [fill, turn.peaks.well_pressure, turn.peaks.cavity_pressure];
        repeat -= 1.0;
    }
    let [fill, well, mould] = solved;
    println!("{fill} {well} {mould} {least:e}");
}
