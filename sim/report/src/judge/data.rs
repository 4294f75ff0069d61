//! A whole answer of `judge` for a program: SI numbers, the unit in each name.

use super::{Answer, Size, words};
use crate::json::judgement;
use crate::owner::OwnerUnits;
use latchstroke_core::studies::entry::{Entry, Worse};
use latchstroke_core::studies::judge::{Appraisal, Onset, Standing};
use latchstroke_core::studies::real_pace::{RESERVE, SetBy};
use latchstroke_core::studies::remedy::{Change, Flip, Remedy};
use serde_json::{Value, json};

/// The answer.
pub fn json(answer: &Answer, units: &OwnerUnits) -> Value {
    json!({
        "machine": answer.machine,
        "accepted_skin_m": answer.acceptance.skin,
        "margin": answer.acceptance.margin,
        "accepted_air": answer.accepted_air,
        "hold_down_N": answer.hold_down,
        "shut_angle_deg": answer.shut.0.to_degrees(),
        "pace_reserve": RESERVE,
        "fastest_pace_turns_per_s": answer.fastest,
        "at_real_pace": answer.at_real_pace,
        "sizes": answer.sizes.iter().map(|size| self::size(answer, size)).collect::<Vec<_>>(),
        "casts": answer.appraisals.iter().map(|a| cast(a, units)).collect::<Vec<_>>(),
        "slowest_pace_aside": answer.sizes.iter().map(|size| json!({
            "body_m": size.sort.body.0,
            "set_m": size.sort.set.0,
            "pace_turns_per_s": onset(&size.slowest),
        })).collect::<Vec<_>>(),
        "latch_wanted_from": {
            "pace_turns_per_s": answer.thresholds.pace,
            "by_accepted_skin": answer.thresholds.sizes.iter().map(|(skin, at)| json!({
                "accepted_skin_m": skin,
                "body_m": onset(at),
            })).collect::<Vec<_>>(),
        },
        "changes": answer.sizes.iter().filter_map(|size| {
            let (place, remedies) = size.remedies.as_ref()?;
            Some(changes(answer.appraisals.get(*place)?, remedies))
        }).collect::<Vec<_>>(),
        "sureness": answer.sureness.as_ref().map(|all| {
            answer.appraisals.iter().zip(all).map(|(appraisal, chances)| json!({
                "sound_latch_aside": chances.aside,
                "sound_latch_set": chances.set,
                "verdict_holds": chances.of(appraisal.judgement.verdict),
            })).collect::<Vec<_>>()
        }),
    })
}

fn onset(at: &Onset) -> Value {
    match at {
        Onset::Always => json!("any"),
        Onset::From(value) => json!(value),
        Onset::Never => json!("none"),
    }
}

fn size(answer: &Answer, size: &Size) -> Value {
    json!({
        "body_m": size.sort.body.0,
        "set_m": size.sort.set.0,
        "real_pace_turns_per_s": size.real.pace.0,
        "real_pace_set_by": match size.real.set_by {
            SetBy::Cooling => "cooling",
            SetBy::Machine => "fastest pace in the scenario",
            SetBy::Nothing => "never solid",
        },
        "can_be_cast": answer.casts_of(size).any(Appraisal::can_be_cast),
    })
}

fn cast(appraisal: &Appraisal, units: &OwnerUnits) -> Value {
    let mut value = judgement(&appraisal.judgement, units);
    let deciding = appraisal.deciding(|_| true);
    value["solid_in_time"] = json!(appraisal.solid.in_time());
    value["solid_after_s"] = json!(appraisal.solid.cooling.map(|cooling| cooling.time));
    value["fastest_solid_pace_turns_per_s"] = json!(appraisal.solid.cooling.map(|cooling| cooling.pace));
    value["can_be_cast"] = json!(appraisal.can_be_cast());
    value["deciding_limit"] = json!(deciding.map(|kept| words::limit(kept.limit)));
    value["deciding_limit_kept_times"] = json!(deciding.map(|kept| kept.times));
    value["limits"] = json!({
        "latch_aside": standing(&appraisal.aside),
        "latch_set": standing(&appraisal.set),
    });
    value["entry"] = json!({
        "latch_aside": appraisal.entry.aside.as_ref().map(entry),
        "latch_set": appraisal.entry.set.as_ref().map(entry),
        "worse_with_latch_set": appraisal.entry.worse.iter().map(|worse| match worse {
            Worse::MoreAir { .. } => "air left",
            Worse::LiftsMatrix { .. } => "matrix lift",
            Worse::RunsBack { .. } => "metal runs back",
            Worse::Jets { .. } => "jet",
        }).collect::<Vec<_>>(),
    });
    value
}

fn standing(standing: &Standing) -> Value {
    let all = standing.kept.iter();
    all.map(|kept| json!({"limit": words::limit(kept.limit), "kept_times": kept.times})).collect()
}

fn entry(entry: &Entry) -> Value {
    json!({
        "air_left": entry.air_left,
        "air_packed": entry.air_packed,
        "peak_lifting_force_N": entry.peak_lift,
        "lasting_lifting_force_N": entry.lasting_lift,
        "peak_jet_speed_m_s": entry.peak_jet,
        "mean_jet_speed_m_s": entry.mean_jet,
    })
}

fn changes(appraisal: &Appraisal, remedies: &[Remedy]) -> Value {
    let cast = appraisal.judgement.cast;
    let flip =
        |flip: Option<Flip>| flip.map(|flip| json!({"value": flip.value, "then": words::then(flip.then)}));
    json!({
        "body_m": cast.sort.body.0,
        "set_m": cast.sort.set.0,
        "pace_turns_per_s": cast.pace.0,
        "can_be_cast": appraisal.can_be_cast(),
        "changes": remedies.iter().map(|remedy| json!({
            "change": name(remedy.change),
            "now": remedy.now,
            "least_tried": remedy.tried.0,
            "greatest_tried": remedy.tried.1,
            "below": flip(remedy.below),
            "above": flip(remedy.above),
        })).collect::<Vec<_>>(),
    })
}

fn name(change: Change) -> &'static str {
    match change {
        Change::Pace => "pace_turns_per_s",
        Change::TripLift => "trip_lift_m",
        Change::Preload => "preload_N",
        Change::PotTemperature => "pot_temperature_K",
        Change::WallTemperature => "wall_temperature_K",
        Change::AcceptedSkin => "accepted_skin_m",
        Change::VentGap => "vent_gap_m",
        Change::VentArea => "vent_area_m2",
        Change::HoldDown => "hold_down_N",
    }
}
