//! What would change the answer, in words.

use super::{Report, words};
use crate::limits;
use crate::turn::wrapped;
use latchstroke_core::studies::job::Size;
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_core::studies::remedy::{Change, Flip, Remedy};

/// One change that serves all sizes, and what would do for each that cannot be cast; nothing where all can.
pub(super) fn for_all(report: &Report) -> String {
    let mut text = String::new();
    let answer = report.answer;
    let fails = |size: &&Size| size.told().is_some_and(|told| !told.can_be_cast());
    let failing: Vec<&Size> = answer.sizes.iter().filter(fails).collect();
    if failing.is_empty() {
        return text;
    }
    if answer.sizes.len() > 1 {
        let said = listed(report, &answer.for_all).unwrap_or_else(|| "nothing within reach".to_owned());
        text += &format!(
            "\nWhat would make every size possible, one thing at a time\n{}",
            wrapped(&format!("{said}."), 2, 4)
        );
    }
    text += "\nWhat would do, one thing at a time\n";
    text += &failing.iter().map(|size| line(report, size)).collect::<String>();
    let of_sleeve = |remedy: &Remedy| {
        remedy.change == Change::Sleeve && (remedy.below.is_some() || remedy.above.is_some())
    };
    if answer.for_all.iter().chain(failing.iter().flat_map(|size| &size.remedies)).any(of_sleeve) {
        text += &wrapped(LEAST_SLEEVE, 2, 2);
    }
    text
}

/// What changes the verdict of each size that can be cast; nothing where none can.
pub(super) fn text(report: &Report) -> String {
    let can = report.answer.sizes.iter().filter(|size| size.told().is_some_and(Judgement::can_be_cast));
    let lines: String = can.map(|size| line(report, size)).collect();
    if lines.is_empty() {
        lines
    } else {
        format!("\nWhat would change the verdict, one thing at a time\n{lines}")
    }
}

/// Beside a sleeve that would do.
const LEAST_SLEEVE: &str = "That sleeve is the least change that does; “latchstroke sleeve” tells the one to make, with room to either side.";

fn line(report: &Report, size: &Size) -> String {
    let Some(told) = size.told() else { return String::new() };
    let said = listed(report, &size.remedies).unwrap_or_else(|| "nothing within reach".to_owned());
    let units = report.units;
    let (size, pace) = (units.size(size.sort.body.0), units.turns(told.cast.pace.0));
    wrapped(&format!("{size} at {pace}, {}: {said}.", limits::short(told.verdict)), 2, 4)
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
