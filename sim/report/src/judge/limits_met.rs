//! What stands in the way where neither setting of the latch does.

use super::Report;
use crate::limits::{first_upper, sentence, setting, stands};
use crate::turn::wrapped;
use latchstroke_core::LatchSetting::{self, Aside, Set};
use latchstroke_core::Limit;
use latchstroke_core::limits::Margin;
use latchstroke_core::studies::judge::Judgement;

/// The limits of the machine once each, with what would be right; those of the cast size by size.
pub(super) fn text(report: &Report) -> String {
    let machine = of_machine(report);
    let casts: String = report
        .answer
        .sizes
        .iter()
        .filter_map(|size| size.told())
        .filter(|told| !told.can_be_cast() && !told.is_untrusted())
        .map(|told| of_cast(report, told))
        .collect();
    if casts.is_empty() { machine } else { format!("{machine}\nWhat stands in the way\n{casts}") }
}

fn of_machine(report: &Report) -> String {
    let mut seen: Vec<Limit> = Vec::new();
    let mut text = String::new();
    for (judgement, of, margin) in in_the_way(report.judgements()) {
        if margin.limit.is_of_machine() && !seen.contains(&margin.limit) {
            seen.push(margin.limit);
            text += &wrapped(
                &format!(
                    "! {}, {} at {}: {}",
                    first_upper(setting(of)),
                    report.units.size(judgement.cast.sort.body.0),
                    report.units.turns(judgement.cast.pace.0),
                    sentence(margin, report.units)
                ),
                2,
                4,
            );
        }
    }
    if text.is_empty() { text } else { format!("\n{text}") }
}

/// Every limit in the way, with the judgement and the setting.
fn in_the_way<'a>(
    judgements: impl Iterator<Item = &'a Judgement>,
) -> impl Iterator<Item = (&'a Judgement, LatchSetting, &'a Margin)> {
    judgements.flat_map(|judgement| {
        [Aside, Set].into_iter().flat_map(move |of| {
            judgement.standing(of).in_the_way().map(move |margin| (judgement, of, margin))
        })
    })
}

/// "36 pt at 8.5 turns/min, latch aside: lapping, missed 1.4 times over. Latch set: matrix held, missed 1.2 times over."
fn of_cast(report: &Report, judgement: &Judgement) -> String {
    let all = |of| {
        let all: Vec<String> = judgement.standing(of).in_the_way().map(stands).collect();
        all.join("; ")
    };
    let said = format!(
        "{} at {}, {}: {}. {}: {}.",
        report.units.size(judgement.cast.sort.body.0),
        report.units.turns(judgement.cast.pace.0),
        setting(Aside),
        all(Aside),
        first_upper(setting(Set)),
        all(Set)
    );
    wrapped(&said, 2, 4)
}
