//! The demo machine, for tests that ask of any machine.

use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, POINT, Pace};

/// It as it is, for a square sort of `points` at `pace` (turns/s).
pub fn demo(points: f64, pace: f64, setting: LatchSetting) -> Machine {
    prepared(&MachineStatement::demo(), points, pace, setting)
}

/// It as it is stated here.
pub fn prepared(stated: &MachineStatement, points: f64, pace: f64, setting: LatchSetting) -> Machine {
    let body = Length(points * POINT);
    Machine::prepare(stated, Sort { body, set: body }, Pace(pace), setting).expect("a valid machine")
}
