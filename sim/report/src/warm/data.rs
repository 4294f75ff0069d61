//! The mould warming up as data: JSON and CSV, in SI units.

use super::Answer;
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
    json!({
        "body_m": warm_up.cast.sort.body.0,
        "set_m": warm_up.cast.sort.set.0,
        "pace_turns_per_s": warm_up.cast.pace.0,
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
    })
}

/// One row for the cold mould and each cast after it.
///
/// # Errors
/// When the writer fails, which it does only for want of memory.
pub fn csv(answer: &Answer) -> Result<Vec<u8>, csv::Error> {
    let number = |value: f64| format!("{value:.9e}");
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["body_m", "set_m", "pace_turns_per_s", "casts", "mould_K"])?;
    for warm_up in &answer.warm_ups {
        let (sort, pace) = (warm_up.cast.sort, warm_up.cast.pace);
        for (casts, &kelvin) in warm_up.temperatures.iter().enumerate() {
            let row = [number(sort.body.0), number(sort.set.0), number(pace.0), casts.to_string()];
            writer.write_record(row.into_iter().chain([number(kelvin)]))?;
        }
    }
    writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))
}
