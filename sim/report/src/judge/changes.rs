//! What would change the answer, in words.

use super::{Answer, Size, words};
use crate::owner::{OwnerUnits, rounded};
use crate::turn::wrapped;
use latchstroke_core::studies::judge::Appraisal;
use latchstroke_core::studies::remedy::{Change, Flip, Remedy, Then};

/// Remedies in full for each size that fails, and a paragraph for each that does not.
pub(super) fn text(answer: &Answer, units: &OwnerUnits) -> String {
    let (mut stand, mut failures) = (String::new(), String::new());
    for size in &answer.sizes {
        let Some((appraisal, remedies)) = told(answer, size) else { continue };
        if appraisal.can_be_cast() {
            stand += &wrapped(&standing(appraisal, remedies, units), 2, 4);
        } else {
            failures += &full(appraisal, remedies, units);
        }
    }
    if !stand.is_empty() {
        stand = format!("\nWhat would change the verdict, one thing at a time\n{stand}");
    }
    failures + &stand
}

fn told<'a>(answer: &'a Answer, size: &'a Size) -> Option<(&'a Appraisal, &'a [Remedy])> {
    let (place, remedies) = size.remedies.as_ref()?;
    Some((answer.appraisals.get(*place)?, remedies))
}

/// "24 pt at 12.2 turns/min, SET: pace below 4.5 turns/min (neither will do) or above …; …."
fn standing(appraisal: &Appraisal, remedies: &[Remedy], units: &OwnerUnits) -> String {
    let cast = appraisal.judgement.cast;
    let all: Vec<String> = remedies
        .iter()
        .filter_map(|remedy| {
            let said = |side: &str, flip: Flip| {
                format!(
                    "{side} {} ({})",
                    words::value(remedy.change, flip.value, units),
                    words::then(flip.then)
                )
            };
            let sides = [remedy.below.map(|f| said("below", f)), remedy.above.map(|f| said("above", f))];
            let sides: Vec<String> = sides.into_iter().flatten().collect();
            (!sides.is_empty()).then(|| format!("{} {}", words::change(remedy.change), sides.join(" or ")))
        })
        .collect();
    let said = if all.is_empty() { "nothing within reach".to_owned() } else { all.join("; ") };
    format!(
        "{} at {}, {}: {said}.",
        units.size(cast.sort.body.0),
        units.turns(cast.pace.0),
        words::verdict(appraisal)
    )
}

fn full(appraisal: &Appraisal, remedies: &[Remedy], units: &OwnerUnits) -> String {
    let cast = appraisal.judgement.cast;
    let mut text = format!(
        "\nWhat would do for {} at {}, one thing at a time\n",
        units.size(cast.sort.body.0),
        units.turns(cast.pace.0)
    );
    for remedy in remedies {
        let held = remedy.below.is_some_and(|flip| matches!(flip.then, Then::Loses(_)));
        if !held {
            text += &format!("  {:<13}  {}\n", words::change(remedy.change), instead(remedy, units));
        }
    }
    text
}

fn instead(remedy: &Remedy, units: &OwnerUnits) -> String {
    let value = |si: f64| words::value(remedy.change, si, units);
    let said = |flip: Flip| {
        let sleeve = if remedy.change == Change::TripLift {
            let longer = if flip.value < remedy.now { "longer" } else { "shorter" };
            format!(", a sleeve {longer} by {}", rounded(units.lift, (flip.value - remedy.now).abs(), 3))
        } else {
            String::new()
        };
        let then = match flip.then {
            Then::LeaveAside => "latch aside".to_owned(),
            Then::Set => "latch set".to_owned(),
            other => words::then(other),
        };
        format!("{} ({then}{sleeve})", value(flip.value))
    };
    let sides: Vec<String> = [remedy.below, remedy.above].into_iter().flatten().map(said).collect();
    if sides.is_empty() {
        let (least, most) = remedy.tried;
        return if least < most {
            format!("nothing from {} to {}", value(least), value(most))
        } else {
            format!("nothing, since {} is the least there can be", value(least))
        };
    }
    format!("{} instead of {}", sides.join(" or "), value(remedy.now))
}
