//! A whole answer of `judge` for a program: SI numbers, the unit in each name.

use super::{Report, words};
use crate::json::{judgement, merged};
use crate::limits::{key, onset_data, verdict};
use latchstroke_core::studies::entry::{Entry, Worse};
use latchstroke_core::studies::job::{Size, Threshold};
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::studies::real_pace::{RESERVE, SetBy};
use latchstroke_core::studies::remedy::{Change, Flip, Remedy};
use serde_json::{Value, json};

/// The answer.
pub fn json(report: &Report) -> Value {
    let (job, answer) = (report.job, report.answer);
    let acceptance = job.terms.acceptance;
    json!({
        "machine": report.machine,
        "accepted_skin_m": acceptance.skin,
        "accepted_solid": acceptance.solid,
        "margin": acceptance.margin,
        "accepted_air": job.terms.accepted_air,
        "hold_down_N": job.stated.mould.hold_down.map(|force| force.0),
        "shut_angle_rad": job.terms.shut.0,
        "pace_reserve": RESERVE,
        "fastest_pace_turns_per_s": job.fastest.0,
        "at_real_pace": job.paces.is_none(),
        "sizes": answer.sizes.iter().map(|size| self::size(report, size)).collect::<Vec<_>>(),
        "casts": report.judgements().map(|judgement| cast(report, judgement)).collect::<Vec<_>>(),
        "latch_wanted_from": {
            "pace_turns_per_s": match job.paces {
                Some([pace]) => Some(pace.0),
                _ => None,
            },
            "by_accepted_skin": answer.by_skin.iter().map(threshold).collect::<Vec<_>>(),
            "by_heat_transfer": answer.by_film.iter().map(threshold).collect::<Vec<_>>(),
        },
        "changes_for_all": changes(report, &answer.for_all),
        "odds": report.doubts.json(&answer.sizes),
        "assumed": report.doubts.assumed_json(),
    })
}

fn threshold(threshold: &Threshold) -> Value {
    json!({
        "accepted_skin_m": threshold.skin,
        "heat_transfer_W_m2K": threshold.film,
        "body_m": onset_data(&threshold.size),
    })
}

fn size(report: &Report, size: &Size) -> Value {
    json!({
        "body_m": size.sort.body.0,
        "set_m": size.sort.set.0,
        "real_pace_turns_per_s": size.real.pace.0,
        "real_pace_set_by": match size.real.set_by {
            SetBy::Cooling => "cooling",
            SetBy::Machine => "fastest pace in the scenario",
            SetBy::Nothing => "never solid",
        },
        "fastest_solid_pace_turns_per_s": size.cooling.map(|cooling| cooling.pace),
        "slowest_pace_aside_turns_per_s": size.slowest.as_ref().map(onset_data),
        "can_be_cast": size.can_be_cast(),
        "told_pace_turns_per_s": size.told().map(|told| told.cast.pace.0),
        "told_verdict": size.told().map(|told| verdict(told.verdict)),
        "changes": changes(report, &size.remedies),
    })
}

fn cast(report: &Report, of: &Judgement) -> Value {
    merged([
        judgement(of, report.units),
        json!({
            "entry": {
                "latch_aside": of.entry.aside.as_ref().map(entry),
                "latch_set": of.entry.set.as_ref().map(entry),
                "worse_with_latch_set": of.entry.worse.iter().map(|worse| match worse {
                    Worse::MoreAir { .. } => "air left",
                    Worse::LiftsMatrix { .. } => "matrix lift",
                    Worse::RunsBack { .. } => "metal runs back",
                    Worse::Jets { .. } => "jet",
                }).collect::<Vec<_>>(),
            },
        }),
    ])
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

fn changes(report: &Report, remedies: &[Remedy]) -> Value {
    let flip = |remedy: &Remedy, flip: Option<Flip>| {
        flip.map(|flip| {
            json!({
                "value": flip.value,
                "then": verdict(flip.verdict),
                "lost": flip.lost.map(key),
                "typed": words::typed(remedy, flip, (report.job.stated, report.prepared), report.units),
            })
        })
    };
    remedies
        .iter()
        .map(|remedy| {
            json!({
                "change": name(remedy.change),
                "now": remedy.now,
                "least_tried": remedy.tried.0,
                "greatest_tried": remedy.tried.1,
                "below": flip(remedy, remedy.below),
                "above": flip(remedy, remedy.above),
            })
        })
        .collect()
}

fn name(change: Change) -> &'static str {
    match change {
        Change::Pace => "pace_turns_per_s",
        Change::Sleeve => "sleeve_m",
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
