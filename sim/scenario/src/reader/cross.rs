//! What one value says of another: freezing points in order, angles that fit
//! in a turn, springs that can be wound.
//!
//! A sleeve too long or too short for the latch is no mistake: the machine can
//! be built that way, and the program is there to say what comes of it.

use super::super::mistakes::Mistake;
use super::super::quantity::{Quantity, format_in};
use super::draft::{Draft, DraftSection};

/// Reports values that cannot all be right, among those that could be read.
pub(super) fn check(draft: &Draft, mistakes: &mut Vec<Mistake>) {
    if let Some(cam) = draft.section("cam") {
        mistakes.extend(one_turn(cam));
    }
    if let Some(metal) = draft.section("metal") {
        mistakes.extend(below(
            (metal, "solidus"),
            (metal, "liquidus"),
            "freezing begins at the liquidus and ends at the solidus",
        ));
        mistakes.extend(below(
            (metal, "liquidus"),
            (metal, "pot_temperature"),
            "the metal in the pot must be molten",
        ));
        if let Some(mould) = draft.section("mould") {
            mistakes.extend(below(
                (mould, "wall_temperature"),
                (metal, "solidus"),
                "in a mould as hot as this the type would not set",
            ));
        }
    }
    mistakes.extend(draft.all("experience").filter_map(|cast| frozen_pot(draft, cast)));
    for spring in draft.springs() {
        mistakes.extend(winding(spring));
        mistakes.extend(below(
            (spring, "solid_length"),
            (spring, "free_length"),
            "a spring gets shorter as it is squeezed",
        ));
        mistakes.extend(squeezed_solid(draft, spring));
    }
}

/// Reports the first key unless its value is less than that of the second.
fn below(first: (&DraftSection, &str), second: (&DraftSection, &str), why: &str) -> Option<Mistake> {
    let (low, high) = (first.0.quantity(first.1)?, second.0.quantity(second.1)?);
    if low.si < high.si {
        return None;
    }
    let message = format!("`{}` is {low}, not below `{}`, which is {high}", first.1, second.1);
    let right = format!("it must be less than {}: {why}", format_in(low.unit, high.si));
    Some(first.0.mistake_at(first.1, message, right))
}

/// The pot a remembered cast came from must have held molten metal.
fn frozen_pot(draft: &Draft, cast: &DraftSection) -> Option<Mistake> {
    let (pot, liquidus) = (cast.quantity("pot_temperature")?, draft.section("metal")?.quantity("liquidus")?);
    if pot.si > liquidus.si {
        return None;
    }
    let message =
        format!("`pot_temperature` is {pot}, not above the `liquidus` of [metal], which is {liquidus}");
    let right = format!(
        "it must be more than {}: the metal in the pot must be molten",
        format_in(pot.unit, liquidus.si)
    );
    Some(cast.mistake_at("pot_temperature", message, right))
}

/// Rise, dwell and return must fit in one turn.
fn one_turn(cam: &DraftSection) -> Option<Mistake> {
    let parts = [
        // Left out, the rise starts with the turn.
        cam.quantity("rise_start").map_or(0.0, |angle| angle.si),
        cam.quantity("rise")?.si,
        cam.quantity("dwell")?.si,
        cam.quantity("return")?.si,
    ];
    let sum: f64 = parts.iter().sum();
    // A table of whole degrees adds up to 360 to within rounding.
    if sum <= std::f64::consts::TAU * (1.0 + 1e-9) {
        return None;
    }
    let message = format!("rise_start, rise, dwell and return together take {:.4} degrees", sum.to_degrees());
    let right = "they can take at most 360 degrees, one turn".to_owned();
    Some(cam.mistake_at("return", message, right))
}

/// Wire thinner than its coil, and no more coils active than there are.
fn winding(spring: &DraftSection) -> Vec<Mistake> {
    let mut mistakes = Vec::new();
    let coil = |key: &str, wires: f64| -> Option<Mistake> {
        let (wire, coil) = (spring.quantity("wire")?, spring.quantity(key)?);
        (coil.si <= wires * wire.si).then(|| {
            let message = format!("`{key}` is {coil}, too small for wire of {wire}");
            let right = format!(
                "it must be more than {}, or the coil has no inside",
                format_in(coil.unit, wires * wire.si)
            );
            spring.mistake_at(key, message, right)
        })
    };
    mistakes.extend(coil("mean_coil", 1.0));
    mistakes.extend(coil("outside_coil", 2.0));
    if let (Some(active), Some(total)) = (spring.quantity("active_coils"), spring.quantity("total_coils"))
        && active.si > total.si
    {
        let message = format!("{active} coils are active of {total} in all");
        let right = "count all coils, active and closed, in total_coils".to_owned();
        mistakes.push(spring.mistake_at("total_coils", message, right));
    }
    mistakes
}

/// The gap left between abutment and nut must hold the spring's solid length.
fn squeezed_solid(draft: &Draft, spring: &DraftSection) -> Option<Mistake> {
    let stack = draft.section("stack")?;
    let bare_gap = stack.quantity("bare_gap")?;
    let length = |key: &str| stack.quantity(key).map_or(0.0, |quantity| quantity.si);
    let gap =
        bare_gap.si - length("sleeve") + length("extension") - length("nut_turns") * length("thread_pitch");
    let solid = solid_length(spring)?;
    // A spring that is as long solid as free is a mistake of its own.
    if gap > solid || spring.quantity("free_length").is_some_and(|free| free.si <= solid) {
        return None;
    }
    let message = format!(
        "at rest the stack leaves a gap of {} for {}, which is {} long with its coils touching",
        format_in(bare_gap.unit, gap),
        spring.title(),
        format_in(bare_gap.unit, solid),
    );
    let right =
        "it takes a longer bare_gap or extension, a shorter sleeve, or fewer turns of the adjusting nut"
            .to_owned();
    Some(stack.mistake_at("bare_gap", message, right))
}

/// The solid length as given, or all coils side by side, in metres.
fn solid_length(spring: &DraftSection) -> Option<f64> {
    let si = |key: &str| spring.quantity(key).map(|quantity: &Quantity| quantity.si);
    si("solid_length").or_else(|| Some(si("total_coils")? * si("wire")?))
}
