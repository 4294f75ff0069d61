//! The answer for a program: SI numbers, the unit in each name.

use super::{Told, stands};
use latchstroke_core::studies::sleeve::{Cast, Ground, Hindrance, Refusal, Step};
use serde_json::{Value, json};

/// The answer.
pub fn json(told: &Told<'_>) -> Value {
    let answer = told.answer;
    let window = answer.window;
    json!({
        "machine": told.machine,
        "pace_turns_per_s": told.pace,
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
        "reserve_m": answer.reserve,
        "reserve_from_tolerances": told.reserve_stated,
        "latch_aside": answer.aside.iter().map(|(sort, turn, limits)| json!({
            "body_m": sort.body.0,
            "set_m": sort.set.0,
            "sound_fill_time_s": turn.sound_fill_time(),
            "allowed_s": limits.allowed,
        })).collect::<Vec<_>>(),
        "present": step(told, &answer.present),
        "lengths": answer.steps.iter().map(|s| step(told, s)).collect::<Vec<_>>(),
        "recommended": answer.recommendation.as_ref().ok().map(|recommendation| json!({
            "because": match recommendation.ground {
                Ground::SpringsFill => "springs-fill",
                Ground::LongestCovers => "longest-covers",
                Ground::LongestSnap(_) => "longest-snap",
            },
            "hindered_by": match recommendation.ground {
                Ground::LongestSnap(Hindrance::Trip) => Some("trip"),
                Ground::LongestSnap(Hindrance::Coils) => Some("coil-binding"),
                Ground::LongestSnap(Hindrance::Matrix) => Some("matrix-lift"),
                Ground::SpringsFill | Ground::LongestCovers => None,
            },
            "needed_volume_m3": recommendation.needed,
            "length": step(told, &recommendation.step),
        })),
        "refused": answer.recommendation.as_ref().err().map(|refusal| match refusal {
            Refusal::NoWindow => "no-window",
            Refusal::TooNarrow => "too-narrow",
            Refusal::NoMargin => "no-margin",
        }),
    })
}

fn step(told: &Told<'_>, step: &Step) -> Value {
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
        "stands": stands(told, step),
        "casts": step.casts.iter().map(cast).collect::<Vec<_>>(),
    })
}

fn cast(cast: &Cast) -> Value {
    json!({
        "body_m": cast.sort.body.0,
        "set_m": cast.sort.set.0,
        "snap_share": cast.turn.snap_share,
        "filled_by_springs": cast.filled_by_springs,
        "sound_fill_time_s": cast.turn.sound_fill_time(),
        "allowed_s": cast.allowed,
        "will_do": cast.will_do,
        "filled": cast.turn.filled,
        "coil_margin_m": cast.coil_margin,
        "hold_down_margin_N": cast.hold_down_margin,
    })
}
