//! What to measure next, for a program.

use super::{Proposal, Report};
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::measure::{Asked, Gain};
use serde_json::{Value, json};

/// The report as JSON, in SI units.
pub fn json(report: &Report) -> Value {
    let Some(doubted) = report.doubted else {
        return json!({ "machine": report.scenario.machine_name(), "drawn": 0, "measure": [] });
    };
    let doubt = doubted.doubt();
    let (sizes, length) = match doubted.asked {
        Asked::Verdict(_) => (report.casts.iter().zip(&doubt).map(of_size).collect(), Value::Null),
        Asked::NoSleeve => (Vec::new(), json!({ "doubt_nats": doubt.first(), "machines_with_one": 0 })),
        Asked::Sleeve(spread, share) => {
            let lengths = json!({
                "doubt_nats": doubt.first(),
                "p05_m": spread.p05,
                "p50_m": spread.p50,
                "p95_m": spread.p95,
                "deviation_m": spread.deviation,
                "machines_with_one": share.count,
            });
            (Vec::new(), lengths)
        }
    };
    let [casts, rest] = report.beyond();
    json!({
        "machine": report.scenario.machine_name(),
        "question": match doubted.asked {
            Asked::Verdict(_) => "verdict",
            Asked::Sleeve(..) | Asked::NoSleeve => "sleeve",
        },
        "drawn": doubted.drawn(),
        "impossible": doubted.impossible,
        "sizes": sizes,
        "length": length,
        "measure": report.proposals().iter().map(|proposal| measurement(report, proposal)).collect::<Value>(),
        "told_by_casts": casts.iter().map(|(input, gain)| known(&input.path, gain)).collect::<Value>(),
        "not_at_the_bench": rest.iter().map(|(input, gain)| known(&input.path, gain)).collect::<Value>(),
    })
}

fn of_size((cast, doubt): (&Cast, &f64)) -> Value {
    json!({ "body_m": cast.sort.body.0, "doubt_nats": doubt })
}

fn known(path: &str, gain: &Gain) -> Value {
    json!({ "key": path, "share_of_doubt": gain.share, "told_nats": gain.told })
}

fn measurement(report: &Report, proposal: &Proposal) -> Value {
    let Proposal { input, measured, within, gain } = proposal;
    json!({
        "key": input.path,
        "share_of_doubt": gain.share,
        "told_nats": gain.told,
        "minutes": measured.minutes,
        "within_SI": within,
        "place": measured.place.number(),
        "place_name": measured.place.name(),
        "tool": measured.tool,
        "how": measured.how,
        "caution": measured.caution,
        "line": report.line(input, measured),
    })
}
