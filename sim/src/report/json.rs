//! The same results for a program: SI numbers, the unit in each name.

use super::findings::sentence;
use super::judge::Answer;
use super::owner::OwnerUnits;
use super::turn::{clock, verdict};
use crate::studies::judge::{Judgement, Onset};
use crate::studies::remedy::Change;
use crate::turn::Turn;
use crate::turn::surge::ResolvedThrow;
use serde_json::{Value, json};

/// A whole answer of `judge`.
pub fn answer(answer: &Answer, units: &OwnerUnits) -> Value {
    json!({
        "machine": answer.machine,
        "accepted_skin_m": answer.acceptance.skin,
        "margin": answer.acceptance.margin,
        "casts": answer.judgements.iter().map(|j| judgement(j, units)).collect::<Vec<_>>(),
        "slowest_pace_aside": answer.slowest.iter().map(|(sort, at)| json!({
            "body_m": sort.body.0,
            "set_m": sort.set.0,
            "pace_turns_per_s": onset(at),
        })).collect::<Vec<_>>(),
        "latch_wanted_from": answer.thresholds.as_ref().map(|thresholds| json!({
            "pace_turns_per_s": thresholds.pace,
            "by_accepted_skin": thresholds.sizes.iter().map(|(skin, at)| json!({
                "accepted_skin_m": skin,
                "body_m": onset(at),
            })).collect::<Vec<_>>(),
        })),
        "sureness": answer.sureness.as_ref().map(|all| {
            answer.judgements.iter().zip(all).map(|(j, chances)| json!({
                "sound_latch_aside": chances.aside,
                "sound_latch_set": chances.set,
                "verdict_holds": chances.of(j.verdict),
            })).collect::<Vec<_>>()
        }),
        "remedies": answer.remedies.iter().map(|(cast, remedies)| json!({
            "body_m": cast.sort.body.0,
            "set_m": cast.sort.set.0,
            "pace_turns_per_s": cast.pace.0,
            "changes": remedies.iter().map(|remedy| json!({
                "change": match remedy.change {
                    Change::Pace => "pace_turns_per_s",
                    Change::Preload => "preload_N",
                    Change::TripLift => "trip_lift_m",
                    Change::PotTemperature => "pot_temperature_K",
                },
                "now": remedy.now,
                "needed": remedy.needed,
                "greatest_tried": remedy.tried,
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}

fn onset(at: &Onset) -> Value {
    match at {
        Onset::Always => json!("any"),
        Onset::From(value) => json!(value),
        Onset::Never => json!("none"),
    }
}

/// One cast.
pub fn judgement(judgement: &Judgement, units: &OwnerUnits) -> Value {
    json!({
        "body_m": judgement.cast.sort.body.0,
        "set_m": judgement.cast.sort.set.0,
        "pace_turns_per_s": judgement.cast.pace.0,
        "verdict": verdict(judgement.verdict),
        "skin_limit_s": judgement.limits.skin,
        "bulk_limit_s": judgement.limits.bulk,
        "allowed_s": judgement.limits.allowed,
        "deciding": clock(judgement.limits.deciding()),
        "latch_aside": turn(&judgement.aside, units),
        "latch_set": turn(&judgement.set, units),
    })
}

/// A throw with resolved springs; null where there was none.
pub fn resolved(throw: Option<&ResolvedThrow>) -> Value {
    throw.map_or(Value::Null, |throw| {
        json!({
            "pieces": throw.pieces,
            "fill_time_s": throw.fill_time,
            "piston_speed_m_s": throw.piston_speed,
        })
    })
}

fn turn(turn: &Turn, units: &OwnerUnits) -> Value {
    json!({
        "fill_time_s": turn.fill.map(|fill| fill.time()),
        "sound_fill_time_s": turn.sound_fill_time(),
        "mean_piston_speed_m_s": turn.fill.map(|fill| fill.mean_piston_speed),
        "mean_jet_speed_m_s": turn.fill.map(|fill| fill.mean_jet_speed),
        "skin_at_full_m": turn.fill.map(|fill| fill.skin),
        "preload_N": turn.preload,
        "snap_share": turn.snap_share,
        "filled": turn.filled,
        "trapped_air": turn.trapped_air,
        "hold_pressure_Pa": turn.hold_pressure,
        "hold_lifting_force_N": turn.hold_lifting_force,
        "bulk_limit_s": turn.bulk_limit,
        "throw": turn.throw.map(|throw| json!({
            "time_s": throw.time,
            "latch_load_N": throw.latch_load,
            "stored_energy_J": throw.stored_energy,
            "caught_up_s": throw.caught_up,
            "strike_speed_m_s": throw.strike_speed,
            "strike_energy_J": throw.strike_energy,
        })),
        "peaks_SI": turn.peaks,
        "sums_SI": turn.sums,
        "energy_residual": turn.energy_residual,
        "events": turn.events.iter().map(|event| json!({
            "event": event.kind,
            "time_s": event.time,
            "shaft_angle_deg": event.angle.to_degrees(),
        })).collect::<Vec<_>>(),
        "findings": turn.findings.iter().map(|finding| sentence(finding, units)).collect::<Vec<_>>(),
    })
}
