//! The same results for a program: SI numbers, the unit in each name.

use super::Answer;
use super::casts::{outcome, setting};
use crate::json::{self, merged};
use latchstroke_core::studies::calibrate::{Estimate, Outlook, Posterior, Speaks};
use serde_json::{Value, json};

/// The whole answer.
pub fn json(answer: &Answer) -> Value {
    let calibration = &answer.calibration;
    json!({
        "machine": answer.machine,
        "before": believed(&calibration.prior, answer.stated.1.si),
        "after": believed(&calibration.posterior, answer.stated.1.si),
        "clock": {
            "speaks_for": match calibration.rule.speaks() {
                Speaks::ForLapping => "lapping",
                Speaks::ForSkin => "skin",
                Speaks::ForNeither => "neither",
            },
            "lapping_over_skin": calibration.rule.ratio(),
            "log_evidence_lapping": calibration.rule.lapping,
            "log_evidence_skin": calibration.rule.skin,
            "log_evidence_least": calibration.rule.least,
        },
        "casts": calibration.casts.iter().map(|weighed| {
            let experience = &weighed.experience;
            let place = json!({ "number": experience.number, "line": experience.line });
            let told = json!({
                "latch": setting(experience.setting),
                "pot_temperature_K": experience.pot,
                "came_out": outcome(experience.outcome),
                "sure": experience.sure,
                "foreseen": weighed.foreseen,
            });
            merged([place, json::cast(experience.cast), told])
        }).collect::<Vec<_>>(),
        "contradictions": calibration.contradictions.iter().map(|pair| json!({
            "sound": calibration.casts.get(pair.sound).map(|cast| cast.experience.number),
            "failed": calibration.casts.get(pair.failed).map(|cast| cast.experience.number),
            "log_time_less": pair.by,
        })).collect::<Vec<_>>(),
        "expected": answer.outlooks.iter().map(outlook).collect::<Vec<_>>(),
        "teach_most": answer.further.iter().map(|further| json!({
            "cast": outlook(&further.outlook),
            "accepted_skin_if_sound_m": estimate(further.if_sound),
            "accepted_skin_if_failed_m": estimate(further.if_failed),
        })).collect::<Vec<_>>(),
    })
}

fn believed(posterior: &Posterior, film: f64) -> Value {
    json!({
        "accepted_skin_m": estimate(posterior.skin()),
        "heat_transfer_W_m2K": estimate(posterior.film()),
        "log_correlation": posterior.correlation(),
        "accepted_skin_with_heat_transfer_as_stated_m": estimate(posterior.skin_given(film)),
    })
}

fn estimate(estimate: Estimate) -> Value {
    json!({
        "median": estimate.median,
        "p05": estimate.low,
        "p95": estimate.high,
        "log_deviation": estimate.spread,
    })
}

fn outlook(outlook: &Outlook) -> Value {
    let told = json!({
        "latch": setting(outlook.setting),
        "chance_sound": outlook.chance,
        "information_bits": outlook.information,
        "can_be_tried": outlook.can_be_tried,
    });
    merged([json::cast(outlook.cast), told])
}
