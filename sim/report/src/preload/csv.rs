//! What each setting of the nut does as a table for a program, in SI units.

use super::Told;
use crate::csv::{number, table};
use crate::limits::key;
use latchstroke_models::latch::LatchSetting;

/// The columns: one row for each setting of the nut and of the latch.
const COLUMNS: [&str; 14] = [
    "advance_m",
    "turns",
    "preload_N",
    "mark",
    "latch",
    "will_do",
    "deciding",
    "sound_fill_time_s",
    "filled",
    "piston_speed_m_s",
    "cam_force_N",
    "latch_load_N",
    "hold_down_left_N",
    "room_m",
];

/// The table of every setting solved, the present one and the one asked for among them.
///
/// # Errors
/// When the writer fails, which it does only for want of memory.
pub fn csv(told: &Told<'_>) -> Result<Vec<u8>, csv::Error> {
    let of = |value: Option<f64>| value.map_or_else(String::new, number);
    let rows = told.rows();
    let all = rows.iter().flat_map(|&(setting, mark)| {
        [(LatchSetting::Aside, "aside"), (LatchSetting::Set, "set")].map(|(latch, name)| {
            let turn = setting.turn(latch);
            let deciding = setting.judgement.standing(latch).deciding();
            [
                number(setting.advance),
                of(setting.turns),
                number(setting.preload),
                mark.to_owned(),
                name.to_owned(),
                setting.will_do(latch).to_string(),
                deciding.map_or("", |margin| key(margin.limit)).to_owned(),
                of(turn.sound_fill_time()),
                number(turn.filled),
                number(turn.peaks.piston_speed),
                number(turn.peaks.cam_force),
                of(turn.throw.map(|throw| throw.latch_load)),
                of(setting.hold_down_left(latch)),
                of(setting.room),
            ]
        })
    });
    table(COLUMNS, all)
}
