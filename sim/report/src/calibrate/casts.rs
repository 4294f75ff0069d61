//! The remembered casts one by one, and which of them disagree.

use super::super::limits::first_upper;
use super::super::owner::OwnerUnits;
use super::super::table::Table;
use super::super::turn::wrapped;
use super::sureness::chance;
use latchstroke_core::studies::calibrate::{Calibration, Experience, Outcome, Weighed};
use latchstroke_models::latch::LatchSetting;

/// What happened had less than this chance: the entry stands against the others.
const UNLIKELY: f64 = 0.2;
/// More contradictions than this are not listed.
const MOST: usize = 4;
/// Pairs nearer than this are one cast on the edge, not a contradiction worth the name.
const ON_THE_EDGE: f64 = 0.02;

/// What the last column means.
pub(super) const LEGEND: &str = "\"Foreseen\" is the chance of what happened as all the other casts have it.";

pub(super) fn setting(setting: LatchSetting) -> &'static str {
    setting.into()
}

pub(super) fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Failed(Some(flaw)) => flaw.into(),
        Outcome::Sound | Outcome::Failed(None) => outcome.into(),
    }
}

/// Whether what happened stands against all the other casts.
pub(super) fn is_against_the_others(cast: &Weighed) -> bool {
    cast.foreseen.is_some_and(|foreseen| foreseen < UNLIKELY)
}

/// Where an entry stands: "line 143", or its number where it has no line.
pub(super) fn place(experience: &Experience) -> String {
    experience.line.map_or_else(|| format!("entry {}", experience.number), |line| format!("line {line}"))
}

/// A size with its set width where that differs.
fn size(experience: &Experience, units: &OwnerUnits) -> String {
    let sort = experience.cast.sort;
    let square = (sort.body.0 / sort.set.0 - 1.0).abs() < 1e-9;
    let body = units.size(sort.body.0);
    if square { body } else { format!("{body} × {}", units.size(sort.set.0)) }
}

pub(super) fn table(calibration: &Calibration, units: &OwnerUnits) -> Table {
    let pace = format!("pace, {}", units.pace.symbol);
    let mut table = Table::new(&["", "size", &pace, "latch", "pot", "came out", "sure", "foreseen"]);
    for Weighed { experience, foreseen, .. } in &calibration.casts {
        table.row([
            place(experience),
            size(experience, units),
            units.turns_figure(experience.cast.pace.0),
            setting(experience.setting).to_owned(),
            experience.pot.map_or_else(|| "–".to_owned(), |pot| units.temperature(pot)),
            outcome(experience.outcome).to_owned(),
            format!("{:.0} %", 100.0 * experience.sure),
            foreseen.map_or_else(|| "not weighed".to_owned(), chance),
        ]);
    }
    table
}

/// A cast in words: "24 pt at 20 turns/min with the latch aside came out sound (line 143)".
fn told(experience: &Experience, units: &OwnerUnits) -> String {
    let came_out = match experience.outcome {
        Outcome::Sound => "came out sound".to_owned(),
        Outcome::Failed(None) => "failed".to_owned(),
        Outcome::Failed(_) => format!("failed ({})", outcome(experience.outcome)),
    };
    let pot =
        experience.pot.map_or_else(String::new, |pot| format!(", the pot at {}", units.temperature(pot)));
    format!(
        "{}: {} at {} with the latch {}{pot} {came_out}",
        place(experience),
        size(experience, units),
        units.turns(experience.cast.pace.0),
        setting(experience.setting),
    )
}

/// Entries that stand against the others, and pairs that exclude each other.
pub(super) fn doubts(calibration: &Calibration, units: &OwnerUnits) -> String {
    let mut text = String::new();
    for cast in calibration.casts.iter().filter(|cast| is_against_the_others(cast)) {
        if let Weighed { experience, foreseen: Some(foreseen), .. } = cast {
            let said = format!(
                "! {}; by the other casts the chance of that was {}. Was something else amiss: pot, dross, a dirty mould, the memory?",
                first_upper(&told(experience, units)),
                chance(*foreseen)
            );
            text += &wrapped(&said, 2, 4);
        }
    }
    for pair in calibration.contradictions.iter().take(MOST) {
        let cast = |n: usize| calibration.casts.get(n).map(|weighed| told(&weighed.experience, units));
        let (Some(sound), Some(failed)) = (cast(pair.sound), cast(pair.failed)) else { continue };
        let verdict = if pair.by < ON_THE_EDGE {
            "both had as good as the same time for what they needed, so the cast stands on the edge, or something else differed".to_owned()
        } else {
            format!(
                "whatever the skin and the heat transfer, the sound one had less time for what it needed (by some {}); one of the two is not as told, or something else differed",
                percent_less(pair.by)
            )
        };
        text += &wrapped(&format!("! {}, yet {failed}: {verdict}.", first_upper(&sound)), 2, 4);
    }
    let more = calibration.contradictions.len().saturating_sub(MOST);
    if more > 0 {
        text += &wrapped(&format!("{more} more pairs contradict each other."), 2, 4);
    }
    if text.is_empty() { text } else { format!("\n{text}") }
}

/// A logarithm as a whole percentage less.
fn percent_less(by: f64) -> String {
    format!("{:.0}\u{a0}%", -100.0 * (-by).exp_m1())
}
