//! Work against precision: what a turn costs at tolerances from 1e-3 to 1e-10, and what its figures are then off by, for six machines
//! from mild to stiff. Writes a table; `work_precision_chart.rs` draws it.
//!
//!     cargo run --release -p latchstroke-core --example work_precision -- tests/peers/work_precision.csv
//!
//! Cost is counted by valgrind as instructions, two turns less one, since clocks on a busy machine tell little; it must be installed. The
//! figures are held against the same turn at 1e-11 with its ringing followed to the end, so that what its damping costs shows; and that
//! turn against one by the explicit integrator, which is told as the last column.

#[path = "../support/working_set.rs"]
#[allow(dead_code)] // The tests ask more of it.
mod working_set;

use latchstroke_core::turn::{Accuracy, Method, Turn, solve};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::{Area, Pace, Stiffness, Volume};
use latchstroke_models::vent::VentStatement;
use std::error::Error;
use std::path::Path;
use std::process::Command;

/// Tolerances are the powers of ten to these halves of one.
const HALVES: std::ops::RangeInclusive<i32> = 6..=20;

/// The machines: of the working set, and at 24 points that with a softer train and a larger well, and with a stiffer train and vents
/// nearly shut.
const MACHINES: [&str; 6] =
    ["soft, aside", "36 pt, aside", "24 pt, aside", "24 pt, set", "12 pt, set", "stiff, set"];

fn machine(which: usize) -> Machine {
    let (aside, set) = (LatchSetting::Aside, LatchSetting::Set);
    let plain: fn(&mut MachineStatement) = |_| ();
    let (points, pace, setting, change) = match which {
        0 => (24.0, 40.0, aside, (|stated| train(stated, 0.1, 4.0)) as fn(&mut MachineStatement)),
        1 => (36.0, 15.0, aside, plain),
        2 => (24.0, 40.0, aside, plain),
        3 => (24.0, 40.0, set, plain),
        4 => (12.0, 60.0, set, plain),
        _ => (
            24.0,
            40.0,
            set,
            (|stated| {
                train(stated, 10.0, 1.0);
                stated.mould.vent = VentStatement::Area(Area(0.1e-6));
            }) as fn(&mut MachineStatement),
        ),
    };
    let mut stated = working_set::statement();
    change(&mut stated);
    Machine::prepare(&stated, working_set::square(points), Pace(pace / 60.0), setting).expect("a machine")
}

/// Train and shoulder so many times as stiff, the well so many times as large.
fn train(stated: &mut MachineStatement, stiffer: f64, larger: f64) {
    stated.cross_block.train_stiffness = Stiffness(stiffer * stated.cross_block.train_stiffness.0);
    stated.rod.stop_stiffness = Stiffness(stiffer * stated.rod.stop_stiffness.0);
    stated.well.volume = Volume(larger * stated.well.volume.0);
}

fn figures(turn: &Turn) -> [f64; 3] {
    [turn.fill.map_or(f64::NAN, |fill| fill.time()), turn.peaks.cavity_pressure, turn.hold_pressure]
}

fn errors(own: [f64; 3], of: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|n| (own[n] / of[n] - 1.0).abs())
}

fn at(tolerance: f64) -> Accuracy {
    Accuracy { tolerance, ..Accuracy::default() }
}

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match &words[..] {
        [count, which, tolerance, repeats] if count == "count" => {
            let machine = machine(which.parse()?);
            for _ in 0..repeats.parse()? {
                std::hint::black_box(solve(&machine, at(tolerance.parse()?)));
            }
            Ok(())
        }
        [file] => study(Path::new(file)),
        _ => Err("work_precision FILE.csv".into()),
    }
}

/// Instructions of one turn.
fn instructions(which: usize, tolerance: f64) -> Result<f64, Box<dyn Error>> {
    let run = |repeats: &str| -> Result<f64, Box<dyn Error>> {
        let told = Command::new("valgrind")
            .args(["--tool=callgrind", "--callgrind-out-file=/dev/null"])
            .arg(std::env::current_exe()?)
            .args(["count", &which.to_string(), &tolerance.to_string(), repeats])
            .output()?;
        let told = String::from_utf8(told.stderr)?;
        let count = told.split("Collected : ").nth(1).and_then(|rest| rest.split_whitespace().next());
        Ok(count.ok_or("valgrind counted nothing")?.parse()?)
    };
    Ok(run("2")? - run("1")?)
}

fn study(file: &Path) -> Result<(), Box<dyn Error>> {
    let mut rows = vec![
        "machine,tolerance,instructions,fill_error,peak_pressure_error,lasting_pressure_error,converged_to"
            .to_owned(),
    ];
    for (which, name) in MACHINES.iter().enumerate() {
        let machine = machine(which);
        let tight = Accuracy { tolerance: 1e-11, method: Some(Method::Stiff), ringing: f64::INFINITY };
        let truth = figures(&solve(&machine, tight));
        let other = Accuracy { tolerance: 1e-8, method: Some(Method::Explicit), ..tight };
        let converged = errors(figures(&solve(&machine, other)), truth).into_iter().fold(0.0, f64::max);
        for half in HALVES {
            let tolerance = libm::pow(10.0, -0.5 * f64::from(half));
            let [fill, peak, lasting] = errors(figures(&solve(&machine, at(tolerance))), truth);
            let cost = instructions(which, tolerance)?;
            let row = format!(
                "\"{name}\",{tolerance:.2e},{cost},{fill:.2e},{peak:.2e},{lasting:.2e},{converged:.1e}"
            );
            println!("{row}");
            rows.push(row);
        }
    }
    Ok(std::fs::write(file, rows.join("\n") + "\n")?)
}
