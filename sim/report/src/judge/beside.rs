//! What else the latch does: air, lifting and jet, latch aside and set.

use super::Report;
use crate::owner::{OwnerUnits, percent, rounded};
use crate::table::Table;
use crate::turn::wrapped;
use latchstroke_core::studies::entry::{Entry, Worse, gate_speeds};
use latchstroke_core::studies::judge::{Cast, Judgement};

/// What the latch makes worse, and for one cast alone the figures too.
pub(super) fn text(report: &Report) -> String {
    let mut text = "\nWhat else the latch does\n".to_owned();
    let judgements: Vec<&Judgement> = report.judgements().collect();
    if let [only] = judgements.as_slice() {
        text += &table(only, report.units).text(2);
        text += &wrapped(
            "\"At full\": share of the mould's air still in it; \"once packed\": share of the mould that is not metal; \"lift\": force lifting the matrix; \"jet\": speed at the nozzle.",
            2,
            2,
        );
    }
    let worse = worse(&judgements, report.units);
    let both = |judgement: &&Judgement| judgement.entry.aside.is_some() && judgement.entry.set.is_some();
    let said = if !judgements.iter().any(both) {
        "Nothing to compare: with one of the settings the mould does not become full.".to_owned()
    } else if worse.is_empty() {
        "It makes none of this worse: neither the air left in, nor the lifting of the matrix, nor the jet."
            .to_owned()
    } else {
        format!("It makes things worse: {}.", worse.join("; "))
    };
    text += &wrapped(&said, 2, 2);
    text
}

fn table(judgement: &Judgement, units: &OwnerUnits) -> Table {
    let mut table = Table::new(&[
        "latch",
        "air at full",
        "once packed",
        "lift, peak",
        "lift, lasting",
        "jet, peak",
        "jet, mean",
    ]);
    for (name, entry) in [("aside", &judgement.entry.aside), ("set", &judgement.entry.set)] {
        table.row(row(name, entry.as_ref(), units));
    }
    table
}

fn row(name: &str, entry: Option<&Entry>, units: &OwnerUnits) -> [String; 7] {
    let cell = |value: &dyn Fn(&Entry) -> String| entry.map_or_else(|| "–".to_owned(), value);
    [
        name.to_owned(),
        cell(&|entry| percent(entry.air_left)),
        cell(&|entry| if entry.runs_back() { "runs back".to_owned() } else { percent(entry.air_packed) }),
        cell(&|entry| units.force(entry.peak_lift)),
        cell(&|entry| units.force(entry.lasting_lift)),
        cell(&|entry| units.speed(entry.peak_jet)),
        cell(&|entry| units.speed(entry.mean_jet)),
    ]
}

/// Each thing that the latch makes worse, where it does so most.
fn worse(judgements: &[&Judgement], units: &OwnerUnits) -> Vec<String> {
    let mut most: [Option<(f64, String)>; 4] = [None, None, None, None];
    for judgement in judgements {
        let cast = judgement.cast;
        for worse in &judgement.entry.worse {
            let (place, weight) = match *worse {
                Worse::MoreAir { aside, set } => (0, set - aside),
                Worse::LiftsMatrix { force, hold_down, .. } => (1, force / hold_down),
                Worse::RunsBack { filled } => (2, -filled),
                Worse::Jets { set, .. } => (3, set),
            };
            if most[place].as_ref().is_none_or(|(most, _)| weight > *most) {
                most[place] = Some((weight, sentence(worse, cast, units)));
            }
        }
    }
    most.into_iter().flatten().map(|(_, said)| said).collect()
}

fn sentence(worse: &Worse, cast: Cast, units: &OwnerUnits) -> String {
    let place = format!("{} at {}", units.size(cast.sort.body.0), units.turns(cast.pace.0));
    match *worse {
        Worse::MoreAir { aside, set } => format!(
            "the vents have less time, and more of the mould's air stays in, up to {} instead of {} ({place})",
            percent(set),
            percent(aside)
        ),
        Worse::LiftsMatrix { force, hold_down, lasting } => format!(
            "the pressure lifts the matrix, which it does not with the latch aside, by up to {} {} against a hold-down of {} ({place})",
            units.force(force),
            if lasting { "lasting" } else { "for a moment" },
            units.force(hold_down)
        ),
        Worse::RunsBack { filled } => format!(
            "the metal runs back out before the entry seals, and leaves the mould {} full ({place})",
            percent(filled)
        ),
        Worse::Jets { aside, set } => {
            let (slowest, fastest) = gate_speeds();
            let round = |si: f64| rounded(units.speed, si, 2);
            format!(
                "the metal jets in at up to {} instead of {} ({place}), as in die casting, where it comes through the gate at {} to {} and sprays (zinc, aluminium, magnesium; common practice, none known for type metal)",
                units.speed(set),
                units.speed(aside),
                round(slowest),
                round(fastest)
            )
        }
    }
}
