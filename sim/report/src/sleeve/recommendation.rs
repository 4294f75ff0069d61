//! The length to make, why, and what is left in hand; or why there is none.

use super::super::owner::{milliseconds, percent, rounded};
use super::super::turn::wrapped;
use super::Told;
use latchstroke_core::studies::margins::HOLD_DOWN_RESERVE;
use latchstroke_core::studies::sleeve::{Ground, Hindrance, Recommendation, Refusal};

/// How far sleeve and extension may differ before it is worth a word, m.
const EQUAL: f64 = 0.05e-3;

/// The paragraphs.
pub(super) fn paragraphs(told: &Told<'_>) -> String {
    let mut text = String::from("\nRecommended\n");
    match &told.answer.recommendation {
        Ok(recommendation) => {
            for paragraph in
                [make(told, recommendation), why(told, recommendation), left(told, recommendation)]
            {
                text += &wrapped(&paragraph, 2, 2);
            }
            text += &casts(told, recommendation);
            text += &extension(told, recommendation);
        }
        Err(refusal) => text += &wrapped(&refused(told, *refusal), 2, 2),
    }
    text
}

fn make(told: &Told<'_>, recommendation: &Recommendation) -> String {
    let length = told.made(recommendation.step.sleeve);
    format!("A sleeve of {length}, and the rod lengthened by the same {length}.")
}

fn why(told: &Told<'_>, recommendation: &Recommendation) -> String {
    let units = &told.units;
    let size = units.size(recommendation.largest.body.0);
    let needed = rounded(units.volume, recommendation.needed, 3);
    let snap = rounded(units.volume, recommendation.step.snap_volume, 3);
    match recommendation.ground {
        Ground::SpringsFill => format!(
            "It is the longest whose snap volume ({snap}) still primes and fills {size} ({needed}), so that by volume the springs alone can drive it all; a shorter one would only load the latch more."
        ),
        Ground::LongestCovers => format!(
            "Even the longest that keeps the reserve has a snap volume ({snap}) that primes and fills {size} ({needed}); it is taken because it loads the latch least."
        ),
        Ground::LongestSnap(hindrance) => format!(
            "No length within the margins gives a snap volume that primes and fills {size} ({needed}); this one gives the longest snap that keeps them ({snap}). A shorter one {}.",
            match hindrance {
                Hindrance::Trip => "would trip with too little lift in hand",
                Hindrance::Coils => "would bring the springs too near to touching coils",
                Hindrance::Matrix => "would bring the matrix too near to lifting",
            }
        ),
    }
}

fn left(told: &Told<'_>, recommendation: &Recommendation) -> String {
    let (units, window, step) = (&told.units, told.answer.window, &recommendation.step);
    let lift = |si: f64| rounded(units.lift, si, 3);
    let mut text = format!(
        "It trips with {} of lift left and stands {} clear of the prongs; the reserve of {} is {}.",
        lift(window.lift_left(step.sleeve)),
        lift(window.clearance(step.sleeve)),
        lift(told.answer.reserve),
        if told.reserve_stated {
            "the sum of the tolerances stated for clearance, sleeve, prong travel and cam lift"
        } else {
            "two readings of a steel rule, half a millimetre each, since the clearance has no tolerance stated (common practice, no source)"
        }
    );
    if let (Some(load), Some(energy)) = (step.latch_load(), step.stored_energy()) {
        text += &format!(
            " The latch lets go under {}, {:.2} times the force at rest, with {energy:.2} J in the springs; no limit for that load is published.",
            rounded(units.force, load, 3),
            load / step.preload
        );
    }
    match step.casts.iter().filter_map(|cast| cast.coil_margin).reduce(f64::min) {
        Some(margin) => {
            text += &format!(
                " {} of closing are left before the springs are within 15 per cent of touching coils.",
                lift(margin)
            );
        }
        None => text += " How near the coils come is not known: free and solid lengths are not stated.",
    }
    match step.casts.iter().filter_map(|cast| cast.hold_down_margin).reduce(f64::min) {
        Some(margin) => {
            text += &format!(
                " The hold-down of the matrix has {} in hand; at least {} per cent of it are kept (common practice, no source).",
                rounded(units.force, margin, 3),
                100.0 * HOLD_DOWN_RESERVE
            );
        }
        None => text += " Whether the matrix lifts is not known: no hold-down is stated.",
    }
    text
}

/// What the model says of the casts with that length, where it is not simply that all will do.
fn casts(told: &Told<'_>, recommendation: &Recommendation) -> String {
    let units = &told.units;
    let mut text = String::new();
    for cast in &recommendation.step.casts {
        let size = units.size(cast.sort.body.0);
        if !cast.will_do {
            let said = match cast.turn.sound_fill_time() {
                Some(time) => format!(
                    "takes {} to fill and may take {}",
                    milliseconds(time),
                    milliseconds(cast.allowed)
                ),
                None => format!("comes only {} full", percent(cast.turn.filled.min(1.0))),
            };
            let what =
                format!("! {size} {said} even so; \u{201c}latchstroke judge\u{201d} tells what would do.");
            text += &wrapped(&what, 2, 4);
        }
    }
    let largest = recommendation.step.casts.iter().find(|cast| cast.sort == recommendation.largest);
    let Some(cast) = largest.filter(|cast| cast.turn.fill.is_some()) else { return text };
    let size = units.size(cast.sort.body.0);
    if cast.filled_by_springs < 1.0 {
        let filled = percent(cast.filled_by_springs);
        text += &wrapped(
            &format!(
                "As solved, {size} is {filled} full as the rod catches up with the cross block, and the cam drives the rest: the first of the snap goes while the piston covers its inlet, and some metal slips past it."
            ),
            2,
            2,
        );
    } else if cast.turn.snap_share < 1.0 {
        text += &wrapped(
            &format!(
                "As solved, {size} is full before the rod has caught up all the same: the cross block goes on rising while the springs throw the rod."
            ),
            2,
            2,
        );
    }
    text
}

/// A word on an extension that is not as long as the sleeve.
fn extension(told: &Told<'_>, recommendation: &Recommendation) -> String {
    let present = &told.answer.present;
    let surplus = present.extension - present.sleeve;
    if surplus.abs() < EQUAL {
        return String::new();
    }
    let force = |si: f64| rounded(told.units.force, si, 3);
    let kept = recommendation.step.sleeve + surplus;
    let keep = if kept >= 0.0 {
        format!(" To keep the force as it is, lengthen the rod by {} instead.", told.made(kept))
    } else {
        String::new()
    };
    wrapped(
        &format!(
            "! At present the rod's extension is {} than the sleeve by {}; with both alike the springs' force at rest goes from {} to {}.{keep}",
            if surplus > 0.0 { "longer" } else { "shorter" },
            told.long(surplus.abs()),
            force(told.answer.preload),
            force(recommendation.step.preload),
        ),
        2,
        4,
    )
}

fn refused(told: &Told<'_>, refusal: Refusal) -> String {
    let window = told.answer.window;
    let lift = |si: f64| rounded(told.units.lift, si, 3);
    match refusal {
        Refusal::NoWindow => format!(
            "No sleeve works. The prongs must travel {} before the latch lets go, and the cross block lifts only {}: a sleeve short enough to hold never trips. Measure the prong travel and the cam's lift again.",
            lift(window.prong_travel),
            lift(window.block_lift)
        ),
        Refusal::TooNarrow => format!(
            "No length can be recommended: the window is {} wide and a reserve of {} is wanted at either end. Measure the clearance to the prongs more closely and state its tolerance.",
            lift(window.longest - window.shortest),
            lift(told.answer.reserve)
        ),
        Refusal::NoMargin => "No length keeps the margins: the springs come within 15 per cent of touching coils, or the matrix lifts, however short the throw. Ease the preload first (\u{201c}latchstroke preload\u{201d}).".to_owned(),
    }
}
