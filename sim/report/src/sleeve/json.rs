//! The answer for a program: SI numbers, the unit in each name.

use super::super::json::cast;
use super::super::limits::{data, judged, key};
use super::Told;
use latchstroke_core::studies::sleeve::{Group, Refusal, Step, Thrown};
use serde_json::{Value, json};

/// The answer.
pub fn json(told: &Told<'_>) -> Value {
    let answer = told.answer;
    let window = answer.window;
    json!({
        "machine": told.machine,
        "accepted_skin_m": told.acceptance.skin,
        "margin": told.acceptance.margin,
        "window": {
            "empty": window.is_empty(),
            "shortest_m": window.shortest,
            "longest_m": window.longest,
            "prong_travel_m": window.prong_travel,
            "cam_lift_m": window.cam_lift,
            "block_lift_m": window.block_lift,
        },
        "tolerance_m": answer.tolerance,
        "tolerance_stated": told.reserve_stated,
        "casts": answer.served.iter().zip(&answer.judged).map(|(served, judgement)| {
            let mut of = cast(served.cast);
            of["wants_latch"] = json!(served.wants_latch);
            of["lengths_m"] = json!(served.lengths);
            of["hindered_by"] = json!(served.hindered_by.map(key));
            of["sound_fill_time_latch_aside_s"] = json!(judgement.aside.sound_fill_time());
            of["allowed_s"] = json!(judgement.clocks.allowed);
            of["now"] = judged(judgement);
            of
        }).collect::<Vec<_>>(),
        "present": step(told, &answer.present),
        "lengths": answer.steps.iter().map(|s| step(told, s)).collect::<Vec<_>>(),
        "recommended": answer.recommendation.as_ref().ok().map(|recommendation| json!({
            "keep": recommendation.keep,
            "serves_all": answer.serves_all(&recommendation.step),
            "from_m": recommendation.window.0,
            "to_m": recommendation.window.1,
            "ended_by": recommendation.ended_by.map(|limit| limit.map(key)),
            "room_m": recommendation.room,
            "length": step(told, &recommendation.step),
        })),
        "refused": answer.recommendation.as_ref().err().map(refused),
    })
}

fn refused(refusal: &Refusal) -> Value {
    let group = |group: &Group| {
        json!({
            "casts": group.casts.iter().copied().map(cast).collect::<Vec<_>>(),
            "from_m": group.window.0,
            "to_m": group.window.1,
        })
    };
    match refusal {
        Refusal::NoWindow => json!({ "because": "no-window" }),
        Refusal::TooNarrow(low, high) => json!({ "because": "too-narrow", "from_m": low, "to_m": high }),
        Refusal::NoOneLength(groups, none) => json!({
            "because": "no-one-length",
            "sleeves": groups.iter().map(group).collect::<Vec<_>>(),
            "served_by_none": none.iter().copied().map(cast).collect::<Vec<_>>(),
        }),
    }
}

fn step(told: &Told<'_>, step: &Step) -> Value {
    let decides = told.answer.deciding(step).map(|(_, margin)| margin);
    json!({
        "sleeve_m": step.sleeve,
        "extension_m": step.extension,
        "trip_lift_m": step.trip_lift,
        "lift_left_m": told.answer.window.lift_left(step.sleeve),
        "clearance_m": told.answer.window.clearance(step.sleeve),
        "snap_travel_m": step.snap_travel,
        "snap_volume_m3": step.snap_volume,
        "preload_N": step.preload,
        "latch_load_N": step.latch_load(),
        "stored_energy_J": step.stored_energy(),
        "room_at_trip_m": step.room_at_trip,
        "room_in_turn_m": step.room_in_turn(),
        "room_over_lift_m": step.room_over_lift,
        "serves_all": told.answer.serves_all(step),
        "deciding": decides.map(|margin| key(margin.limit)),
        "casts": step.casts.iter().map(thrown).collect::<Vec<_>>(),
    })
}

fn thrown(thrown: &Thrown) -> Value {
    let mut of = cast(thrown.cast);
    of["snap_share"] = json!(thrown.turn.snap_share);
    of["filled_by_springs"] = json!(thrown.filled_by_springs);
    of["sound_fill_time_s"] = json!(thrown.turn.sound_fill_time());
    of["allowed_s"] = json!(thrown.allowed);
    of["filled"] = json!(thrown.turn.filled);
    of["will_do"] = json!(thrown.will_do());
    of["limits_latch_set"] = data(&thrown.standing);
    of
}
