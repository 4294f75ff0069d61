//! Verdicts in tables.

use super::{Answer, words};
use crate::calibrate::sureness;
use crate::owner::{OwnerUnits, milliseconds, percent};
use crate::table::Table;
use latchstroke_core::studies::judge::{Appraisal, Limit};
use latchstroke_core::studies::real_pace::SetBy;
use latchstroke_core::turn::{Finding, Turn};

/// Verdicts at a glance: sizes down, paces across.
pub(super) fn grid(answer: &Answer, units: &OwnerUnits) -> String {
    let mut paces: Vec<f64> = Vec::new();
    for appraisal in &answer.appraisals {
        let pace = appraisal.judgement.cast.pace.0;
        if !paces.contains(&pace) {
            paces.push(pace);
        }
    }
    let heading: Vec<String> = std::iter::once(units.pace.symbol.to_owned())
        .chain(paces.iter().map(|&p| units.turns_figure(p)))
        .collect();
    let mut table = Table::new(&heading.iter().map(String::as_str).collect::<Vec<_>>());
    for size in &answer.sizes {
        let row = answer.casts_of(size).map(words::verdict);
        table.row(std::iter::once(units.size(size.sort.body.0)).chain(row));
    }
    format!("Is the latch needed?\n{}\n", table.text(2))
}

/// The figures behind each verdict.
pub(super) fn figures(answer: &Answer, units: &OwnerUnits) -> Table {
    let mut heading =
        vec!["size", units.pace.symbol, "verdict", "fill, aside", "fill, set", "allowed", "deciding limit"];
    if answer.sureness.is_some() {
        heading.insert(3, "how sure");
    }
    let mut table = Table::new(&heading);
    let mut chances = answer.sureness.iter().flatten();
    for (n, size) in answer.sizes.iter().enumerate() {
        if n > 0 && !answer.at_real_pace {
            table.rule();
        }
        let sets_pace = answer.at_real_pace && size.real.set_by == SetBy::Cooling;
        for appraisal in answer.casts_of(size) {
            let mut cells = row(appraisal, sets_pace, units);
            if let Some(chances) = chances.next() {
                cells.insert(3, sureness(chances.of(appraisal.judgement.verdict)).to_owned());
            }
            table.row(cells);
        }
    }
    table
}

fn row(appraisal: &Appraisal, cooling_sets_pace: bool, units: &OwnerUnits) -> Vec<String> {
    let judgement = &appraisal.judgement;
    let fill = |turn: &Turn| match (turn.fill, turn.findings.iter().any(Finding::spoils_cast)) {
        (Some(fill), false) => milliseconds(fill.time()),
        _ => format!("{} full", percent(turn.filled.min(1.0))),
    };
    let deciding = appraisal.deciding(|limit| limit != Limit::Cooling || !cooling_sets_pace);
    vec![
        units.size(judgement.cast.sort.body.0),
        units.turns_figure(judgement.cast.pace.0),
        words::verdict(appraisal),
        fill(&judgement.aside),
        fill(&judgement.set),
        milliseconds(judgement.limits.allowed),
        deciding.map_or("–".to_owned(), words::kept),
    ]
}
