//! The same results for a program: JSON in SI units, and every machine drawn as a row of CSV.

use super::super::limits::{key, verdict};
use super::{Answer, wrong};
use crate::csv::{number, table};
use latchstroke_core::studies::judge::Verdict;
use latchstroke_core::studies::sensitivity::Estimate;
use latchstroke_core::studies::spread::Share;
use latchstroke_core::studies::tolerance::{Fit, Input, Measure, Played, Sleeve, Study};
use latchstroke_models::latch::LatchSetting::{Aside, Set};
use latchstroke_scenario::Quantity;
use serde_json::{Map, Value, json};

/// The figures with the names they have for a program.
const FIGURES: [(&str, Measure); 9] = [
    ("fill_time_aside_s", Measure::FillTime(Aside)),
    ("fill_time_set_s", Measure::FillTime(Set)),
    ("allowed_s", Measure::Allowed),
    ("kept_aside", Measure::Kept(Aside)),
    ("kept_set", Measure::Kept(Set)),
    ("trip_lift_m", Measure::TripLift),
    ("preload_N", Measure::Preload),
    ("piston_speed_aside_m_s", Measure::PistonSpeed(Aside)),
    ("piston_speed_set_m_s", Measure::PistonSpeed(Set)),
];

/// The whole answer.
pub fn json(answer: &Answer) -> Value {
    let study = &answer.study;
    let verdicts: Map<_, _> =
        Verdict::ALL.iter().map(|&kind| (verdict(kind).to_owned(), share(study.verdict(kind)))).collect();
    json!({
        "machine": answer.machine,
        "body_m": answer.cast.sort.body.0,
        "set_m": answer.cast.sort.set.0,
        "pace_turns_per_s": answer.cast.pace.0,
        "seed": study.design.seed,
        "turns_asked": study.design.evaluations(),
        "turns_finished": study.finished(),
        "turns_impossible": study.impossible().0,
        "inputs": study.inputs.iter().zip(&answer.written).map(|(input, written)| json!({
            "key": input.path,
            "stated": input.stated,
            "nine_in_ten": input.distribution.nine_in_ten(),
            "unit": written.dimension.units().si.symbol,
        })).collect::<Vec<_>>(),
        "verdict": verdict(study.stated.verdict),
        "deciding": study.stated.deciding.map(key),
        "verdicts": verdicts,
        "taken_for_exact": answer.exact,
        "in_the_way": wrong(study).into_iter().map(|(limit, [aside, set])| {
            (key(limit).to_owned(), json!({ "latch_aside": share(aside), "latch_set": share(set) }))
        }).collect::<Map<_, _>>(),
        "figures": FIGURES.iter().map(|&(name, measure)| (name.to_owned(), figure(study, measure))).collect::<Map<_, _>>(),
        "sleeve": sleeve(answer),
    })
}

fn share(share: Share) -> Value {
    json!({ "count": share.count, "of": share.of, "share": share.value(), "low": share.low, "high": share.high })
}

fn figure(study: &Study, measure: Measure) -> Value {
    let estimate =
        |estimate: Estimate| json!({ "value": estimate.value, "low": estimate.low, "high": estimate.high });
    let effects = study.effects(measure).map(|effects| {
        let of = study.inputs.iter().zip(&effects.of).map(|(input, effect)| {
            (input.path.clone(), json!({ "first": estimate(effect.first), "total": estimate(effect.total) }))
        });
        of.collect::<Map<_, _>>()
    });
    json!({
        "as_stated": measure.of(&study.stated),
        "spread": study.spread(measure).map(|spread| json!({
            "count": spread.count,
            "mean": spread.mean,
            "deviation": spread.deviation,
            "least": spread.least,
            "p05": spread.p05,
            "p50": spread.p50,
            "p95": spread.p95,
            "greatest": spread.greatest,
        })),
        "effects": effects,
    })
}

fn sleeve(answer: &Answer) -> Value {
    match answer.sleeve {
        Sleeve::NotInPlay => json!({ "answer": "not in play" }),
        Sleeve::NothingToKeep => json!({ "answer": "no verdict to keep" }),
        Sleeve::CalledOff => json!({ "answer": "called off" }),
        Sleeve::Sought { as_stated, perfect, fit } => {
            let (said, tolerance, chance) = match fit {
                Fit::Within(half_width, chance) => ("within", Some(half_width), Some(chance)),
                Fit::Any(half_width, chance) => ("any up to", Some(half_width), Some(chance)),
                Fit::NotEvenPerfect => ("not even perfect", None, None),
            };
            json!({
                "answer": said,
                "chance_asked": answer.chance,
                "tolerance_m": tolerance,
                "share": chance.map(share),
                "share_as_measured": share(as_stated),
                "share_if_perfect": share(perfect),
                "turns_each": answer.sleeve_turns,
            })
        }
    }
}

/// Every machine drawn: its values, and what came of it. A figure it does not have is left empty.
///
/// # Errors
/// When the writer fails, which it does only for want of memory.
pub fn csv(answer: &Answer) -> Result<Vec<u8>, csv::Error> {
    let study = &answer.study;
    let inputs = study.inputs.iter().zip(&answer.written).map(column);
    let figures = FIGURES.iter().map(|(name, _)| (*name).to_owned());
    let last = ["verdict", "in_the_way_aside", "in_the_way_set"].map(str::to_owned);
    let rows = study.machines().map(|(values, drawn)| {
        let mut row: Vec<String> = values.into_iter().map(number).collect();
        let outcome = drawn.as_ref().ok();
        let figure = |measure: &Measure| {
            outcome.and_then(|outcome| measure.of(outcome)).map_or_else(String::new, number)
        };
        row.extend(FIGURES.iter().map(|(_, measure)| figure(measure)));
        row.push(outcome.map_or("cannot be", |outcome| verdict(outcome.verdict)).to_owned());
        row.extend(
            [Aside, Set].map(|of| outcome.map_or_else(String::new, |outcome| in_the_way(outcome.played(of)))),
        );
        row
    });
    table(inputs.chain(figures).chain(last), rows)
}

/// Key and SI unit: "stack.sleeve_m".
fn column((input, written): (&Input, &Quantity)) -> String {
    let unit = written.dimension.units().si.typeable();
    let plain: String = unit.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).collect();
    if plain.is_empty() { input.path.clone() } else { format!("{}_{plain}", input.path) }
}

fn in_the_way(played: &Played) -> String {
    played.in_the_way.iter().map(|&limit| key(limit)).collect::<Vec<_>>().join("; ")
}
