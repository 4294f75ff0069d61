//! What each length does as a table for a program, in SI units.

use super::Told;
use crate::csv::{number, table};
use crate::limits::key;

/// The columns: one row for each length and size.
const COLUMNS: [&str; 16] = [
    "sleeve_m",
    "extension_m",
    "mark",
    "trip_lift_m",
    "clearance_m",
    "preload_N",
    "latch_load_N",
    "stored_energy_J",
    "body_m",
    "set_m",
    "pace_turns_per_s",
    "sound_fill_time_s",
    "allowed_s",
    "filled",
    "will_do",
    "deciding",
];

/// The table of every length solved, the present one and the one to make among them.
///
/// # Errors
/// When the writer fails, which it does only for want of memory.
pub fn csv(told: &Told<'_>) -> Result<Vec<u8>, csv::Error> {
    let of = |value: Option<f64>| value.map_or_else(String::new, number);
    let rows = told.rows();
    let all = rows.iter().flat_map(|row| {
        let step = row.step;
        step.casts.iter().map(move |thrown| {
            let cast = thrown.cast;
            [
                number(step.sleeve),
                number(step.extension),
                row.mark.to_owned(),
                number(step.trip_lift),
                number(told.answer.window.clearance(step.sleeve)),
                number(step.preload),
                of(step.latch_load()),
                of(step.stored_energy()),
                number(cast.sort.body.0),
                number(cast.sort.set.0),
                number(cast.pace.0),
                of(thrown.turn.sound_fill_time()),
                number(thrown.allowed),
                number(thrown.turn.filled),
                thrown.will_do().to_string(),
                thrown.standing.deciding().map_or("", |margin| key(margin.limit)).to_owned(),
            ]
        })
    });
    table(COLUMNS, all)
}
