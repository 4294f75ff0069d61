//! How closely the sleeve must be made, in words.

use super::super::limits::verdict;
use super::super::owner::{OwnerUnits, percent, rounded, significant};
use super::{Answer, can_be_measured, named, ranked};
use latchstroke_core::studies::spread::Share;
use latchstroke_core::studies::tolerance::{Fit, Measure, Sleeve};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_scenario::key;

/// The answer as a paragraph.
pub(super) fn words(answer: &Answer, units: &OwnerUnits) -> String {
    let study = &answer.study;
    let (as_stated, perfect, fit) = match answer.sleeve {
        Sleeve::NotInPlay => {
            return "There is no sleeve, or neither the trip lift nor the preload follows from its length: its tolerance does not matter.".to_owned();
        }
        Sleeve::NothingToKeep => {
            return "As stated a limit is missed with the latch aside and set, so there is no verdict to keep. Ask for a size and pace that can be cast, with --body and --pace; \u{201c}latchstroke sleeve\u{201d} tells which length keeps all limits.".to_owned();
        }
        Sleeve::CalledOff => return "The work was called off before this was found.".to_owned(),
        Sleeve::Sought { as_stated, perfect, fit } => (as_stated, perfect, fit),
    };
    // Asked for, not computed: without zeros at the end.
    let asked = format!("{} %", (1000.0 * answer.chance).round() / 10.0);
    let keep = format!("that the verdict (\u{201c}{}\u{201d}) stands", verdict(study.stated.verdict));
    let own = study.inputs.iter().find(|input| input.path == key!(AbutmentStatement, sleeve));
    let lengths = |si: f64| rounded(units.rod, si, 2);
    let written =
        answer.written(key!(AbutmentStatement, sleeve)).and_then(|quantity| units.tolerance(quantity));
    let stated = own.map_or_else(
        || format!("With the sleeve exactly as long as stated the verdict stands in {}.", share(as_stated)),
        |input| {
            format!(
                "With the one now fitted, known to ± {}, it stands in {}.",
                written.unwrap_or_else(|| lengths(input.half_width())),
                share(as_stated)
            )
        },
    );
    let answered = match fit {
        Fit::Within(half_width, chance) => format!(
            "For a {asked} chance {keep}, make the sleeve to ± {} or closer; with that it stands in {}.",
            lengths(half_width),
            share(chance)
        ),
        Fit::Any(half_width, chance) => format!(
            "For a {asked} chance {keep} the sleeve need not be made closely: even with ± {} the verdict stands in {}.",
            lengths(half_width),
            share(chance)
        ),
        Fit::NotEvenPerfect => {
            let most = study.effects(Measure::Kept(study.deciding()));
            let remedy = most
                .and_then(|effects| {
                    ranked(study, &effects).into_iter().find(|(input, _)| {
                        input.path != key!(AbutmentStatement, sleeve) && can_be_measured(input)
                    })
                })
                .map_or_else(String::new, |(input, _)| {
                    format!(" Measure {} again first.", named(input, study))
                });
            format!(
                "Not even a perfect sleeve gives a {asked} chance {keep}: with it the verdict stands in {}.{remedy} \u{201c}latchstroke sleeve\u{201d} tells which length stands in the middle of the window.",
                share(perfect)
            )
        }
    };
    format!(
        "{answered} {stated} The other values keep their stated tolerances; {} machines were drawn for each tolerance tried.",
        answer.sleeve_turns
    )
}

/// A share of the machines drawn, with what so many draws leave open.
fn share(share: Share) -> String {
    let end = |share: f64| significant(100.0 * share, 3);
    format!(
        "{} of the machines drawn (95 % sure: {} to {} %)",
        percent(share.value()),
        end(share.low),
        end(share.high)
    )
}
