//! How closely the sleeve must be made, in words.

use super::super::owner::{percent, rounded};
use super::super::turn::verdict;
use super::{Answer, named, ranked};
use latchstroke_core::studies::tolerance::{Fit, Measure, Sleeve};
use latchstroke_scenario::{Dimension, Unit};

/// The answer as a paragraph.
pub(super) fn words(answer: &Answer) -> String {
    let study = &answer.study;
    let (as_stated, perfect, fit) = match answer.sleeve {
        Sleeve::NotInPlay => {
            return "There is no sleeve, or neither the trip lift nor the preload follows from its length: its tolerance does not matter.".to_owned();
        }
        Sleeve::NothingToKeep => {
            return "As stated neither setting of the latch does, so there is no verdict to keep. Ask for a size and pace that can be cast, with --body and --pace.".to_owned();
        }
        Sleeve::CalledOff => return "The work was called off before this was found.".to_owned(),
        Sleeve::Sought { as_stated, perfect, fit } => (as_stated, perfect, fit),
    };
    // Asked for, not computed: without zeros at the end.
    let asked = format!("{} %", (1000.0 * answer.chance).round() / 10.0);
    let keep = format!("that the verdict (\u{201c}{}\u{201d}) stands", verdict(study.stated.verdict));
    let own = study.inputs.iter().find(|input| input.path == "stack.sleeve");
    let unit = answer.written("stack.sleeve").map_or(&Dimension::Length.units().si, |length| length.unit);
    let stated = own.map_or_else(
        || format!("With the sleeve exactly as stated the chance is {}.", percent(as_stated)),
        |input| {
            format!("As stated, ± {}, the chance is {}.", lengths(unit, input.half_width), percent(as_stated))
        },
    );
    let answered = match fit {
        Fit::Within(half_width, chance) => format!(
            "For a {asked} chance {keep}, make the sleeve to ± {} or closer; that gives {}.",
            lengths(unit, half_width),
            percent(chance)
        ),
        Fit::Any(half_width, chance) => format!(
            "For a {asked} chance {keep} the sleeve need not be made closely: even ± {} gives {}.",
            lengths(unit, half_width),
            percent(chance)
        ),
        Fit::NotEvenPerfect => {
            let most = study.effects(Measure::TimeTaken(study.deciding()));
            let remedy = most
                .and_then(|effects| {
                    ranked(study, &effects).into_iter().find(|(input, _)| input.path != "stack.sleeve")
                })
                .map_or_else(String::new, |(input, _)| {
                    format!(" Measure {} again first.", named(&input.path, study))
                });
            format!(
                "Not even a perfect sleeve gives a {asked} chance {keep}: the other tolerances alone leave {}.{remedy}",
                percent(perfect)
            )
        }
    };
    format!(
        "{answered} {stated} The other values keep their stated tolerances; {} machines were drawn for each tolerance tried.",
        answer.sleeve_turns
    )
}

/// A small length in the owner's unit, with millimetres beside inches.
fn lengths(unit: &'static Unit, metres: f64) -> String {
    let own = rounded(unit, metres, 2);
    match Dimension::Length.find("mm") {
        Some(mm) if unit.symbol != "mm" => format!("{own} ({})", rounded(mm, metres, 2)),
        _ => own,
    }
}
