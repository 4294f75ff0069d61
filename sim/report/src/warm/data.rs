//! The mould warming up as data: JSON and CSV, in SI units.

use super::Answer;
use crate::csv::{number, table};
use crate::json::{self, merged};
use latchstroke_core::studies::warm::{Settled, WarmUp};
use serde_json::{Value, json};

/// The whole answer.
pub fn json(answer: &Answer) -> Value {
    json!({
        "machine": answer.machine,
        "cold_mould_K": answer.cold,
        "casts": answer.warm_ups.iter().map(cast).collect::<Vec<_>>(),
    })
}

fn cast(warm_up: &WarmUp) -> Value {
    let settled = |settled: Settled| json!({ "mould_K": settled.mould, "water_outlet_K": settled.outlet });
    let figures = json!({
        "settled": settled(warm_up.settled),
        "first_heat_J": warm_up.first_heat,
        "heat_J": warm_up.heat,
        "to_water_W": warm_up.carried.0,
        "to_air_W": warm_up.carried.1,
        "casts_until_warm": warm_up.casts_until_warm,
        "time_until_warm_s": warm_up.time_until_warm(),
        "mould_shut_s": warm_up.shut_time,
        "solid_after_cold_s": warm_up.solid_cold,
        "solid_after_warm_s": warm_up.solid_warm,
        "solid_in_time": warm_up.solid_in_time(),
        "never_freezes": warm_up.never_freezes(),
        "water_boils": warm_up.boils(),
        "water_may_boil": warm_up.may_boil(),
        "half_the_water": settled(warm_up.half_water),
        "twice_the_pace": settled(warm_up.twice_pace),
        "mould_after_each_cast_K": warm_up.temperatures,
    });
    merged([json::cast(warm_up.cast), figures])
}

/// One row for the cold mould and each cast after it.
///
/// # Errors
/// When the writer fails, which it does only for want of memory.
pub fn csv(answer: &Answer) -> Result<Vec<u8>, csv::Error> {
    let rows = answer.warm_ups.iter().flat_map(|warm_up| {
        let (sort, pace) = (warm_up.cast.sort, warm_up.cast.pace);
        warm_up.temperatures.iter().enumerate().map(move |(casts, &kelvin)| {
            [number(sort.body.0), number(sort.set.0), number(pace.0), casts.to_string(), number(kelvin)]
        })
    });
    table(["body_m", "set_m", "pace_turns_per_s", "casts", "mould_K"], rows)
}
