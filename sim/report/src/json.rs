//! The same results for a program: SI numbers, the unit in each name (_s, _m, _N, _Pa, _K, _J, _W, _rad, turns_per_s).

use super::findings::sentence;
use super::limits::{self, judged};
use super::owner::OwnerUnits;
use latchstroke_core::studies::judge::{Cast, Judgement};
use latchstroke_core::turn::surge::ResolvedThrow;
use latchstroke_core::turn::{Peaks, Sums, Turn};
use serde_json::{Value, json};

/// One cast: what was judged, the judgement, the clocks and both turns.
pub fn judgement(judgement: &Judgement, units: &OwnerUnits) -> Value {
    let (cast, clocks) = (judgement.cast, &judgement.clocks);
    let judged = judged(judgement);
    merged([
        self::cast(cast),
        judged,
        json!({
            "can_be_cast": judgement.can_be_cast(),
            "lapping_limit_s": clocks.lapping,
            "skin_limit_s": clocks.skin,
            "bulk_limit_s": clocks.bulk,
            "splashed_film_limit_s": clocks.splashed_film,
            "allowed_s": clocks.allowed,
            "deciding_clock": limits::clock(clocks.deciding()),
            "skin_allowed_m": judgement.skin_allowed,
            "solid_after_s": judgement.solid.time,
            "mould_shut_s": judgement.solid.shut,
            "latch_aside": turn(&judgement.aside, units),
            "latch_set": turn(&judgement.set, units),
        }),
    ])
}

/// What is cast, and how fast.
pub(super) fn cast(cast: Cast) -> Value {
    json!({ "body_m": cast.sort.body.0, "set_m": cast.sort.set.0, "pace_turns_per_s": cast.pace.0 })
}

/// The objects as one, in their order.
pub(super) fn merged(objects: impl IntoIterator<Item = Value>) -> Value {
    let mut all = serde_json::Map::new();
    for object in objects {
        if let Value::Object(fields) = object {
            all.extend(fields);
        }
    }
    Value::Object(all)
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
        "skin_at_full_m": turn.fill.and_then(|fill| fill.skin),
        "preload_N": turn.preload,
        "snap_share": turn.snap_share,
        "filled": turn.filled,
        "trapped_air": turn.trapped_air,
        "hold_pressure_Pa": turn.hold_pressure,
        "hold_lifting_force_N": turn.hold_lifting_force,
        "throw": turn.throw.map(|throw| json!({
            "time_s": throw.time,
            "latch_load_N": throw.latch_load,
            "stored_energy_J": throw.stored_energy,
            "caught_up_s": throw.caught_up,
            "strike_speed_m_s": throw.strike_speed,
            "strike_energy_J": throw.strike_energy,
        })),
        "peaks": peaks(&turn.peaks),
        "sums": sums(&turn.sums),
        "energy_residual": turn.energy_residual,
        "events": turn.events.iter().map(|event| json!({
            "event": event.kind,
            "time_s": event.time,
            "shaft_angle_rad": event.angle,
        })).collect::<Vec<_>>(),
        "findings": turn.findings.iter().map(|finding| sentence(finding, units)).collect::<Vec<_>>(),
    })
}

fn peaks(peaks: &Peaks) -> Value {
    json!({
        "piston_speed_m_s": peaks.piston_speed,
        "jet_speed_m_s": peaks.jet_speed,
        "reynolds": peaks.reynolds,
        "well_pressure_Pa": peaks.well_pressure,
        "cavity_pressure_Pa": peaks.cavity_pressure,
        "lifting_force_N": peaks.lifting_force,
        "cam_force_N": peaks.cam_force,
        "cam_torque_N_m": peaks.cam_torque,
        "spring_force_N": peaks.spring_force,
        "spring_closing_m": peaks.spring_closing,
        "block_lift_m": peaks.block_lift,
    })
}

fn sums(sums: &Sums) -> Value {
    json!({
        "cam_work_J": sums.cam_work,
        "cam_work_driving_J": sums.cam_work_driving,
        "train_J": sums.train,
        "shoulder_J": sums.shoulder,
        "friction_J": sums.friction,
        "leakage_J": sums.leakage,
        "nozzle_J": sums.nozzle,
        "cavity_J": sums.cavity,
        "ringing_J": sums.ringing,
        "events_J": sums.events,
        "swept_m3": sums.swept,
        "leaked_m3": sums.leaked,
        "vented_kg": sums.vented,
    })
}
