//! Other solvers given what ours has: the same compiled equations, numbers, modes, events, damping and slopes, and the tolerances of
//! its phases. Once a turn has been solved so, what is left to differ is the stepping.
//!
//!     given METHOD POINTS PACE LATCH RTOL REPEATS
//!
//! prints fill time (s), greatest pressure of well and of mould (Pa) and the least processor time of a turn (s), as `turn.c` does. METHOD:
//! bdf, adams (CVODE); erk, dirk (ARKODE); diffsol-bdf, diffsol-tsit45, diffsol-esdirk34, diffsol-trbdf2.

mod diffsol_peer;
#[path = "../../../../sim/core/src/turn/events.rs"]
#[allow(dead_code)] // The solver's own asks more of it.
mod events;
mod leg;
mod sundials;
mod turn;
#[path = "../../../support/working_set.rs"]
#[allow(dead_code)] // So do the tests.
mod working_set;

use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::units::Pace;
use turn::Solver;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let told: Vec<f64> = words.iter().skip(1).filter_map(|word| word.parse().ok()).collect();
    let ([method, ..], [points, pace, latch, tolerance, repeats]) = (&words[..], &told[..]) else {
        eprintln!("given METHOD POINTS PACE LATCH RTOL REPEATS");
        std::process::exit(2);
    };
    let setting = if *latch == 0.0 { LatchSetting::Aside } else { LatchSetting::Set };
    let machine =
        Machine::prepare(&working_set::statement(), working_set::square(*points), Pace(pace / 60.0), setting)
            .expect("the working set is whole");
    let mut least = f64::INFINITY;
    let mut solved = Err("no turn".to_owned());
    let mut run = |solver: &mut dyn Solver| {
        let mut repeat = *repeats;
        while repeat >= 1.0 {
            let begun = sundials::processor_time();
            solved = turn::turn(&machine, solver);
            least = least.min(sundials::processor_time() - begun);
            repeat -= 1.0;
        }
    };
    match method.strip_prefix("diffsol-") {
        Some(method) => diffsol_peer::with(method, *tolerance, &mut run),
        None => run(&mut sundials::Sundials::new(method, *tolerance)),
    }
    match solved {
        Ok(told) => println!("{} {} {} {least:e}", told.fill, told.well, told.mould),
        Err(why) => {
            eprintln!("{why}");
            std::process::exit(1);
        }
    }
}
