//! What stands in the way where neither setting of the latch does.

use super::Report;
use crate::limits::{first_upper, sentence, setting, stands};
use crate::turn::wrapped;
use latchstroke_core::LatchSetting::{self, Aside, Set};
use latchstroke_core::Limit;
use latchstroke_core::limits::Margin;
use latchstroke_core::studies::job::Size;
use latchstroke_core::studies::judge::Judgement;

/// The limits of the machine once each, with what would be right; then size by size what else is in the way.
pub(super) fn text(report: &Report) -> String {
    let machine = of_machine(report);
    let casts: String = report
        .answer
        .sizes
        .iter()
        .filter_map(Size::told)
        .filter(|told| !told.can_be_cast() && !told.is_untrusted())
        .filter_map(|told| of_cast(report, told))
        .collect();
    if casts.is_empty() { machine } else { format!("{machine}\nWhat stands in the way\n{casts}") }
}

/// Whether a limit stands in the way of every cast with a setting.
fn always(report: &Report, of: LatchSetting, limit: Limit) -> bool {
    let stands =
        |judgement: &Judgement| judgement.standing(of).margin(limit).is_some_and(Margin::is_in_the_way);
    report.judgements().all(stands)
}

fn of_machine(report: &Report) -> String {
    let mut seen: Vec<Limit> = Vec::new();
    let mut text = String::new();
    for (judgement, of, margin) in in_the_way(report.judgements()) {
        if !margin.limit.is_of_machine() || seen.contains(&margin.limit) {
            continue;
        }
        seen.push(margin.limit);
        let place = match (always(report, Aside, margin.limit), always(report, of, margin.limit)) {
            (true, _) => "Every cast".to_owned(),
            (false, true) => format!("{}, every cast", first_upper(setting(of))),
            (false, false) => format!("{}, {}", first_upper(setting(of)), cast(report, judgement)),
        };
        text += &wrapped(&format!("! {place}: {}", sentence(margin, report.units)), 2, 4);
    }
    if text.is_empty() { text } else { format!("\n{text}") }
}

fn cast(report: &Report, judgement: &Judgement) -> String {
    let cast = judgement.cast;
    format!("{} at {}", report.units.size(cast.sort.body.0), report.units.turns(cast.pace.0))
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

/// "36 pt at 8.5 turns/min: latch aside lapping, missed 1.4 times over. Latch set: matrix held, missed 1.2 times over."; none where
/// only the machine is at fault.
fn of_cast(report: &Report, judgement: &Judgement) -> Option<String> {
    let of = |of: LatchSetting| {
        let margins = judgement.standing(of).in_the_way();
        let own = margins.filter(|m| !(m.limit.is_of_machine() && always(report, of, m.limit)));
        let all: Vec<String> = own.map(stands).collect();
        (!all.is_empty()).then(|| format!(" {}: {}.", first_upper(setting(of)), all.join("; ")))
    };
    let said: String = [of(Aside), of(Set)].into_iter().flatten().collect();
    (!said.is_empty()).then(|| wrapped(&format!("{}.{said}", cast(report, judgement)), 2, 4))
}
