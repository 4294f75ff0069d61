//! What else the latch does: air, lifting and jet, latch aside and set.

use super::Answer;
use crate::owner::{OwnerUnits, percent, rounded};
use crate::table::Table;
use crate::turn::wrapped;
use latchstroke_core::studies::entry::{Entry, Worse, gate_speeds};
use latchstroke_core::studies::judge::{Appraisal, Cast};

/// The table, where there is one row or two for each size, and what the latch makes worse.
pub(super) fn text(answer: &Answer, units: &OwnerUnits) -> String {
    let mut text = "\nWhat else the latch does\n".to_owned();
    if answer.at_real_pace || answer.appraisals.len() == 1 {
        text += &table(answer, units).text(2);
        let hold_down = answer.hold_down.map_or(String::new(), |force| {
            format!(", against a hold-down of {}", rounded(units.force, force, 3))
        });
        let legend = format!(
            "\"At full\": share of the mould's air still in it; \"once packed\": share of the mould that is not metal; \"lift\": force lifting the matrix{hold_down}; \"jet\": speed at the nozzle."
        );
        text += &wrapped(&legend, 2, 2);
    }
    let worse = worse(answer, units);
    let both = |appraisal: &Appraisal| appraisal.entry.aside.is_some() && appraisal.entry.set.is_some();
    let said = if !answer.appraisals.iter().any(both) {
        "There is nothing to compare: not both settings fill the mould.".to_owned()
    } else if worse.is_empty() {
        "Where both settings fill the mould the latch makes none of this worse: neither the air left in, nor the lifting of the matrix, nor the jet.".to_owned()
    } else {
        format!("Setting the latch makes things worse: {}.", worse.join("; "))
    };
    text += &wrapped(&said, 2, 2);
    text
}

fn table(answer: &Answer, units: &OwnerUnits) -> Table {
    let mut table = Table::new(&[
        "size",
        "latch",
        "air at full",
        "once packed",
        "lift, peak",
        "lift, lasting",
        "jet, peak",
        "jet, mean",
    ]);
    for appraisal in &answer.appraisals {
        let size = units.size(appraisal.judgement.cast.sort.body.0);
        for (first, name, entry) in
            [(size, "aside", &appraisal.entry.aside), (String::new(), "set", &appraisal.entry.set)]
        {
            table.row(row(first, name, entry.as_ref(), units));
        }
    }
    table
}

fn row(size: String, name: &str, entry: Option<&Entry>, units: &OwnerUnits) -> [String; 8] {
    let cell = |value: &dyn Fn(&Entry) -> String| entry.map_or_else(|| "–".to_owned(), value);
    let force = |si: f64| rounded(units.force, si, 3);
    let speed = |si: f64| rounded(units.speed, si, 3);
    [
        size,
        name.to_owned(),
        cell(&|entry| percent(entry.air_left)),
        cell(&|entry| if entry.runs_back() { "runs back".to_owned() } else { percent(entry.air_packed) }),
        cell(&|entry| force(entry.peak_lift)),
        cell(&|entry| force(entry.lasting_lift)),
        cell(&|entry| speed(entry.peak_jet)),
        cell(&|entry| speed(entry.mean_jet)),
    ]
}

/// Each thing that the latch makes worse, where it does so most.
fn worse(answer: &Answer, units: &OwnerUnits) -> Vec<String> {
    let mut most: [Option<(f64, String)>; 4] = [None, None, None, None];
    for appraisal in &answer.appraisals {
        let cast = appraisal.judgement.cast;
        for worse in &appraisal.entry.worse {
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
    let speed = |si: f64| rounded(units.speed, si, 3);
    match *worse {
        Worse::MoreAir { aside, set } => format!(
            "the vents have less time, and more of the mould's air stays in, up to {} instead of {} ({place})",
            percent(set),
            percent(aside)
        ),
        Worse::LiftsMatrix { force, hold_down, lasting } => format!(
            "the pressure lifts the matrix, which it does not with the latch aside, by up to {} {} against a hold-down of {} ({place})",
            rounded(units.force, force, 3),
            if lasting { "lasting" } else { "for a moment" },
            rounded(units.force, hold_down, 3)
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
                speed(set),
                speed(aside),
                round(slowest),
                round(fastest)
            )
        }
    }
}
