//! The paces for each size as data: JSON and CSV, in SI units.

use super::Answer;
use crate::csv::{number, table};
use crate::json::merged;
use crate::limits;
use latchstroke_core::limits::Limit;
use latchstroke_core::studies::pace::{End, Reach, SizePaces, Window};
use serde_json::{Value, json};

/// The whole answer.
pub fn json(answer: &Answer) -> Value {
    json!({
        "machine": answer.machine,
        "shut_angle_rad": answer.shut.0,
        "sizes": answer.sizes.iter().zip(&answer.judged).map(|(paces, judgement)| merged([
            size(paces),
            json!({ "pace_turns_per_s": judgement.cast.pace.0 }),
            limits::judged(judgement),
        ])).collect::<Vec<_>>(),
        "at_real_pace": answer.at.asked.is_none(),
        "set_over_body": answer.proportion,
        "too_large_latch_aside_body_m": reach(&answer.largest_aside),
        "too_large_latch_set_body_m": reach(&answer.largest_set),
    })
}

fn size(paces: &SizePaces) -> Value {
    json!({
        "body_m": paces.sort.body.0,
        "set_m": paces.sort.set.0,
        "solid_after_s": paces.cooling.map(|cooling| cooling.time),
        "cooling_limit_turns_per_s": paces.cooling.map(|cooling| cooling.pace),
        "ejection_K": paces.cooling.map(|cooling| cooling.ejection),
        "heat_of_cast_J": paces.cooling.map(|cooling| cooling.heat),
        "latch_aside_turns_per_s": windows(&paces.aside),
        "latch_set_turns_per_s": windows(&paces.set),
        "neither_turns_per_s": windows(&paces.gaps),
        "not_known_turns_per_s": windows(&paces.not_known),
        "fills_latch_aside_turns_per_s": windows(&paces.fills_aside),
        "fills_latch_set_turns_per_s": windows(&paces.fills_set),
        "ends_latch_aside": ends(&paces.ends[0]),
        "ends_latch_set": ends(&paces.ends[1]),
        "hindered_latch_aside": limit(paces.hindered_by[0]),
        "hindered_latch_set": limit(paces.hindered_by[1]),
        "not_known_beyond_turns_per_s": paces.unknown_beyond.as_ref().map(|(pace, _)| *pace),
        "because": paces.unknown_beyond.as_ref().map(|(_, why)| limits::why(why)),
    })
}

fn ends(ends: &[End]) -> Value {
    ends.iter()
        .map(|end| {
            json!({
                "pace_turns_per_s": end.pace,
                "towards": if end.is_fast_end { "faster" } else { "slower" },
                "limit": limits::key(end.limit),
            })
        })
        .collect()
}

fn limit(limit: Option<Limit>) -> Value {
    limit.map_or(Value::Null, |limit| json!(limits::key(limit)))
}

fn windows(windows: &[Window]) -> Value {
    windows.iter().map(|window| json!([window.from, window.to])).collect()
}

/// From which body on a setting no longer casts, and the limit that is then missed.
fn reach(reach: &Reach) -> Value {
    let mut told = limits::onset_data(&reach.from);
    told["lost"] = limit(reach.lost);
    told
}

const COLUMNS: [&str; 7] = [
    "body_m",
    "set_m",
    "solid_after_s",
    "cooling_limit_turns_per_s",
    "latch",
    "from_turns_per_s",
    "to_turns_per_s",
];

/// One row for each window of each size; a size whose middle is never solid has one row without a window.
///
/// # Errors
/// When the writer fails, which it does only for want of memory.
pub fn csv(sizes: &[SizePaces]) -> Result<Vec<u8>, csv::Error> {
    let mut rows: Vec<[String; 7]> = Vec::new();
    for paces in sizes {
        let of = |value: Option<f64>| value.map_or_else(String::new, number);
        let (time, pace) =
            (paces.cooling.map(|cooling| cooling.time), paces.cooling.map(|cooling| cooling.pace));
        let mut row = |latch: &str, window: Option<&Window>| {
            let (body, set) = (number(paces.sort.body.0), number(paces.sort.set.0));
            let (from, to) = (of(window.map(|window| window.from)), of(window.map(|window| window.to)));
            rows.push([body, set, of(time), of(pace), latch.to_owned(), from, to]);
        };
        if paces.cooling.is_none() {
            row("not solid", None);
        }
        for (latch, windows) in [
            ("neither", &paces.gaps),
            ("set", &paces.set),
            ("aside", &paces.aside),
            ("not known", &paces.not_known),
        ] {
            for window in windows {
                row(latch, Some(window));
            }
        }
    }
    table(COLUMNS, rows)
}
