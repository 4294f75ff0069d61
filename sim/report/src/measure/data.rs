//! What to measure next, for a program.

use super::{Proposal, Report};
use latchstroke_core::studies::measure::{Asked, Gain};
use serde_json::{Value, json};

/// The report as JSON, in SI units.
pub fn json(report: &Report) -> Value {
    let Some(doubted) = report.doubted else {
        return json!({ "machine": report.scenario.machine_name(), "drawn": 0, "measure": [] });
    };
    let sizes = report.casts.iter().zip(doubted.doubt());
    let [casts, rest] = report.beyond();
    json!({
        "machine": report.scenario.machine_name(),
        "question": match doubted.asked {
            Asked::Verdict => "verdict",
            Asked::Sleeve => "sleeve",
        },
        "drawn": doubted.odds.draws.len(),
        "sizes": sizes.map(|(cast, doubt)| json!({ "body_m": cast.sort.body.0, "doubt_nats": doubt })).collect::<Value>(),
        "measure": report.proposals().iter().map(|proposal| measurement(report, proposal)).collect::<Value>(),
        "told_by_casts": casts.iter().map(|(input, gain)| known(&input.path, gain)).collect::<Value>(),
        "not_at_the_bench": rest.iter().map(|(input, gain)| known(&input.path, gain)).collect::<Value>(),
    })
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
