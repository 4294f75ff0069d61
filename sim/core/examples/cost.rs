//! What turns and verdicts cost. Count instructions where a clock is too noisy:
//!
//! ```text
//! cargo build --release -p latchstroke-core --example cost
//! valgrind --tool=callgrind target/release/examples/cost turns
//! RAYON_NUM_THREADS=1 valgrind --tool=callgrind target/release/examples/cost judge
//! ```
//!
//! `turns` solves the demo's 12, 24 and 36 point sorts once each with the latch aside and set; `judge` gives a verdict for eight
//! sizes at twenty paces; `job` does all that the command `judge` does for them, remedies and thresholds too.

use latchstroke_core::studies::job::{Depth, Job};
use latchstroke_core::studies::judge::{Cast, Terms, judge_all};
use latchstroke_core::units::{Angle, Length, POINT, Pace};
use latchstroke_core::{Acceptance, Accuracy, Fault, LatchSetting, Machine, MachineStatement, Sort, solve};
use std::time::Instant;

const SIZES: [f64; 8] = [8.0, 10.0, 12.0, 14.0, 18.0, 24.0, 30.0, 36.0];

fn sort(points: f64) -> Sort {
    Sort { body: Length(points * POINT), set: Length(points * POINT) }
}

fn main() -> Result<(), Vec<Fault>> {
    let stated = MachineStatement::demo();
    let terms = Terms {
        acceptance: Acceptance { skin: 0.5e-3, solid: 0.0, margin: 1.2 },
        accepted_air: None,
        shut: Angle(120_f64.to_radians()),
        accuracy: Accuracy::default(),
    };
    let paces: Vec<Pace> = (0..20).map(|n| Pace((15.0 + 3.0 * f64::from(n)) / 60.0)).collect();
    let sorts = SIZES.map(sort);
    let begun = Instant::now();
    match std::env::args().nth(1).as_deref() {
        Some("judge") => {
            let casts: Vec<Cast> =
                sorts.iter().flat_map(|&sort| paces.iter().map(move |&pace| Cast { sort, pace })).collect();
            println!("{} judgements", judge_all(&stated, &casts, &terms)?.len());
        }
        Some("job") => {
            let (fastest, proportion) = (Pace(1.0), 1.0);
            let paces = Some(&paces[..]);
            let job = Job { stated: &stated, terms: &terms, fastest, sorts: &sorts, proportion, paces };
            println!("{} sizes", job.answer(Depth::Whole)?.sizes.len());
        }
        _ => {
            for (points, pace) in [(12.0, 60.0), (24.0, 40.0), (36.0, 15.0)] {
                for setting in [LatchSetting::Aside, LatchSetting::Set] {
                    let machine = Machine::prepare(&stated, sort(points), Pace(pace / 60.0), setting)?;
                    let turn = solve(&machine, Accuracy::default());
                    println!("{points} pt, {pace} turns/min, {setting:?}: {} steps", turn.steps);
                }
            }
        }
    }
    println!("{:.1} ms", 1e3 * begun.elapsed().as_secs_f64());
    Ok(())
}
