//! The length to make or to keep, and what is left in hand; or why there is none.

use super::super::handout::listed;
use super::super::limits::{missed, name};
use super::super::turn::wrapped;
use super::{Told, beyond, slack_or, stands};
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::sleeve::{Group, Recommendation, Refusal};

/// How far sleeve and extension may differ before it is worth a word, m.
const EQUAL: f64 = 0.05e-3;

/// The paragraphs.
pub(super) fn paragraphs(told: &Told<'_>) -> String {
    let mut text = String::from("Recommended\n");
    match &told.answer.recommendation {
        Ok(recommendation) => {
            for paragraph in [make(told, recommendation), left(told, recommendation)] {
                text += &wrapped(&paragraph, 2, 2);
            }
            text += &extension(told, recommendation);
        }
        Err(refusal) => text += &wrapped(&refused(told, refusal), 2, 2),
    }
    text
}

/// Sizes in words: "14, 18 and 24 pt".
fn sizes(told: &Told<'_>, casts: &[Cast]) -> String {
    let all: Vec<String> = casts.iter().map(|cast| told.units.size(cast.sort.body.0)).collect();
    listed(&all)
}

fn make(told: &Told<'_>, recommendation: &Recommendation) -> String {
    let length = told.made(recommendation.step.sleeve);
    let window = told.span(recommendation.window);
    let said = if recommendation.keep {
        format!("Keep the sleeve you have, {length}: it is inside the window of {window}, within which")
    } else {
        format!(
            "A sleeve of {length}, and the rod lengthened by the same {length}: the middle of the window of {window}, within which"
        )
    };
    let wanting: Vec<Cast> =
        told.answer.served.iter().filter(|served| served.wants_latch).map(|served| served.cast).collect();
    if wanting.is_empty() {
        format!(
            "{said} every size keeps all limits with the latch set. None of them wants it: with the latch aside any sleeve serves."
        )
    } else if wanting.len() < told.answer.served.len() {
        format!(
            "{said} {} keep all limits with the latch set. The other sizes want the latch aside, where any sleeve serves.",
            sizes(told, &wanting)
        )
    } else {
        format!(
            "{said} {} keeps all limits with the latch set.",
            if wanting.len() > 1 { "every size".to_owned() } else { sizes(told, &wanting) }
        )
    }
}

fn left(told: &Told<'_>, recommendation: &Recommendation) -> String {
    let (units, step) = (&told.units, &recommendation.step);
    let [shorter, longer] = recommendation.ended_by.map(beyond);
    let mut text = format!(
        "Shorter, {shorter}; longer, {longer}. Of the way to the nearer end {} is used up by {}, which leaves ± {} for the making. With it the limit that decides is: {}.",
        told.little(told.answer.tolerance),
        if told.reserve_stated {
            "the tolerances stated for clearance, sleeve, prong travel and cam lift"
        } else {
            "two readings of a steel rule, half a millimetre each, since the clearance has no tolerance stated (common practice, no source)"
        },
        told.little(recommendation.room),
        stands(told, step),
    );
    if let Some(load) = step.latch_load().filter(|_| step.preload > 0.0) {
        text += &format!(
            " The latch lets go under {}, {:.2} times the force at rest; no limit for that load is published.",
            units.force(load),
            load / step.preload
        );
    }
    text
}

/// A word on an extension that is not as long as the sleeve.
fn extension(told: &Told<'_>, recommendation: &Recommendation) -> String {
    let present = &told.answer.present;
    let surplus = present.extension - present.sleeve;
    if surplus.abs() < EQUAL || recommendation.keep {
        return String::new();
    }
    let force = |si: f64| slack_or(si, &|si| told.units.force(si));
    let kept = recommendation.step.sleeve + surplus;
    let keep = if kept >= 0.0 && told.answer.preload > 0.0 {
        format!(" To keep the force as it is, lengthen the rod by {} instead.", told.made(kept))
    } else {
        String::new()
    };
    wrapped(
        &format!(
            "! At present the rod's extension is {} than the sleeve by {}; with both alike the springs at rest go from {} to {}.{keep}",
            if surplus > 0.0 { "longer" } else { "shorter" },
            told.little(surplus.abs()),
            force(told.answer.preload),
            force(recommendation.step.preload),
        ),
        2,
        4,
    )
}

/// Why no length is recommended, as sentences.
pub fn refused(told: &Told<'_>, refusal: &Refusal) -> String {
    let window = told.answer.window;
    match refusal {
        Refusal::NoWindow => format!(
            "No sleeve works. The prongs must travel {} before the latch lets go, and the cross block lifts only {}: a sleeve short enough to hold never trips. Measure the prong travel and the cam's lift again.",
            told.units.lift(window.prong_travel),
            told.units.lift(window.block_lift)
        ),
        Refusal::TooNarrow(low, high) => format!(
            "No length can be recommended. All limits are kept from {}, which is {} wide, and the tolerances take {} at either end. Measure the clearance to the prongs more closely and state its tolerance; the middle, as far as it is known, is {}.",
            told.span((*low, *high)),
            told.little(high - low),
            told.little(told.answer.tolerance),
            told.made(f64::midpoint(*low, *high)),
        ),
        Refusal::NoOneLength(groups, none) => no_one_length(told, groups, none),
    }
}

fn no_one_length(told: &Told<'_>, groups: &[Group], none: &[Cast]) -> String {
    let mut said = match groups {
        [] => "No length keeps all limits for any size that wants the latch.".to_owned(),
        [_] => "No one length serves all.".to_owned(),
        _ => "No one length serves all: it takes one sleeve for each of these.".to_owned(),
    };
    for group in groups {
        let middle = f64::midpoint(group.window.0, group.window.1);
        said += &format!(
            " One sleeve of {} serves {}; its middle is {}{}.",
            told.span(group.window),
            sizes(told, &group.casts),
            told.made(middle),
            if (group.window.0..=group.window.1).contains(&told.answer.present.sleeve) {
                ", and the one you have is inside"
            } else {
                ""
            }
        );
    }
    for cast in none {
        let served = told.answer.served.iter().find(|served| served.cast == *cast);
        let why = served.and_then(|served| served.hindered_by);
        said += &format!(
            " None serves {}{}.",
            told.units.size(cast.sort.body.0),
            why.map_or_else(String::new, |limit| format!(
                ": at the length that comes nearest {} ({})",
                missed(limit),
                name(limit)
            ))
        );
    }
    if !none.is_empty() {
        said += " \u{201c}latchstroke judge\u{201d} tells what would do.";
    }
    said
}
