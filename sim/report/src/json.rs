//! The same results for a program: SI numbers, the unit in each name.

use super::findings::sentence;
use super::owner::OwnerUnits;
use super::turn::{clock, verdict};
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::turn::Turn;
use latchstroke_core::turn::surge::ResolvedThrow;
use serde_json::{Value, json};

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
