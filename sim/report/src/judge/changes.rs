//! What would change the answer, in words.

use super::{Report, words};
use crate::limits;
use crate::turn::wrapped;
use latchstroke_core::studies::judge::Verdict;
use latchstroke_core::studies::remedy::{Flip, Remedy};

/// One change that serves all sizes, where some cannot be cast; then what changes the verdict of each.
pub(super) fn text(report: &Report) -> String {
    let mut text = String::new();
    let answer = report.answer;
    let failing = answer.sizes.iter().filter(|size| size.told().is_some_and(|told| !told.can_be_cast()));
    if answer.sizes.len() > 1 && failing.count() > 0 {
        let all = listed(report, &answer.for_all);
        let said = all.unwrap_or_else(|| "nothing within reach".to_owned());
        text += &format!(
            "\nWhat would make every size possible, one thing at a time\n{}",
            wrapped(&format!("{said}."), 2, 4)
        );
    }
    text += "\nWhat would change the verdict, one thing at a time\n";
    for size in &answer.sizes {
        let Some(told) = size.told() else { continue };
        text += &wrapped(
            &format!(
                "{} at {}, {}: {}.",
                report.units.size(size.sort.body.0),
                report.units.turns(told.cast.pace.0),
                limits::short(told.verdict),
                listed(report, &size.remedies).unwrap_or_else(|| "nothing within reach".to_owned())
            ),
            2,
            4,
        );
    }
    text
}

/// "pot above 361 °C (set the latch); accepted skin below …"; none where nothing changes anything.
fn listed(report: &Report, remedies: &[Remedy]) -> Option<String> {
    let all: Vec<String> = remedies
        .iter()
        .flat_map(|remedy| [remedy.below, remedy.above].into_iter().flatten().map(move |flip| (remedy, flip)))
        .map(|(remedy, flip)| {
            let proposal = words::proposal(remedy, flip, report.job.stated, report.units);
            format!("{proposal} ({})", then(flip))
        })
        .collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// The verdict there: "set the latch"; "neither will do: lapping".
fn then(flip: Flip) -> String {
    match (flip.verdict, flip.lost) {
        (Verdict::Neither, Some(limit)) => {
            format!("{}: {}", limits::verdict(flip.verdict), limits::name(limit))
        }
        (verdict, _) => limits::verdict(verdict).to_owned(),
    }
}
