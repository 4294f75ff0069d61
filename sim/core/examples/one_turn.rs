//! One turn of the demo machine with the latch aside and one with it set: how long each takes to fill the mould.
//!
//! `cargo run -p latchstroke-core --example one_turn`

use latchstroke_core::units::{Length, POINT, Pace};
use latchstroke_core::{
    Acceptance, Accuracy, Clocks, Fault, LatchSetting, Machine, MachineStatement, Sort, solve,
};

fn main() -> Result<(), Vec<Fault>> {
    // What the machine is, each value by its kind and in SI units. The demo's rod is oiled here.
    let mut stated = MachineStatement::demo();
    stated.rod.friction.0 *= 0.5;
    // A 24 point sort, as wide as high, at 12 turns a minute.
    let sort = Sort { body: Length(24.0 * POINT), set: Length(24.0 * POINT) };
    let pace = Pace(12.0 / 60.0);
    for setting in [LatchSetting::Aside, LatchSetting::Set] {
        // Checked, in plain SI numbers, fixed for the turn.
        let machine = Machine::prepare(&stated, sort, pace, setting)?;
        let turn = solve(&machine, Accuracy::default());
        let allowed = Clocks::of(&machine, Acceptance { skin: 0.5e-3, solid: 0.0, margin: 1.2 }).allowed;
        match turn.fill {
            Some(fill) => println!(
                "latch {setting:?}: full in {:.1} ms, allowed {:.1} ms",
                1e3 * fill.time(),
                1e3 * allowed
            ),
            None => println!("latch {setting:?}: not filled"),
        }
    }
    Ok(())
}
