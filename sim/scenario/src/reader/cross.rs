//! What one value says of another: freezing points in order, angles that fit
//! in a turn, springs that can be wound.
//!
//! A sleeve too long or too short for the latch is no mistake: the machine can
//! be built that way, and the program is there to say what comes of it.

use super::super::mistakes::Mistake;
use super::super::quantity::{Quantity, format_in};
use super::draft::{Draft, DraftSection};
use super::keys::{
    ACTIVE_COILS, BARE_GAP, DWELL, EXTENSION, FALL, FREE_LENGTH, Key, LIQUIDUS, MEAN_COIL, NUT_TURNS,
    OUTSIDE_COIL, POT_TEMPERATURE, REMEMBERED_POT, RISE, RISE_START, SLEEVE, SOLID_LENGTH, SOLIDUS,
    THREAD_PITCH, TOTAL_COILS, WALL, WIRE,
};

/// Reports values that cannot all be right, among those that could be read.
pub(super) fn check(draft: &Draft, mistakes: &mut Vec<Mistake>) {
    mistakes.extend(draft.section_of(FALL).and_then(one_turn));
    for (low, high, why) in [
        (SOLIDUS, LIQUIDUS, "freezing begins at the liquidus and ends at the solidus"),
        (LIQUIDUS, POT_TEMPERATURE, "the metal in the pot must be molten"),
        (WALL, SOLIDUS, "in a mould as hot as this the type would not set"),
    ] {
        let sections = draft.section_of(low).zip(draft.section_of(high));
        mistakes.extend(sections.and_then(|(of_low, of_high)| below((of_low, low), (of_high, high), why)));
    }
    mistakes.extend(draft.all(REMEMBERED_POT.section).filter_map(|cast| frozen_pot(draft, cast)));
    for spring in draft.springs() {
        mistakes.extend(winding(spring));
        mistakes.extend(below(
            (spring, SOLID_LENGTH),
            (spring, FREE_LENGTH),
            "a spring gets shorter as it is squeezed",
        ));
        mistakes.extend(squeezed_solid(draft, spring));
    }
}

/// Reports the first key unless its value is less than that of the second.
fn below(first: (&DraftSection, Key), second: (&DraftSection, Key), why: &str) -> Option<Mistake> {
    let (low, high) = (first.0.quantity(&first.1)?, second.0.quantity(&second.1)?);
    if low.si < high.si {
        return None;
    }
    let message = format!("`{}` is {low}, not below `{}`, which is {high}", first.1, second.1);
    let right = format!("it must be less than {}: {why}", format_in(low.unit, high.si));
    Some(first.0.mistake_at(&first.1, message, right))
}

/// The pot a remembered cast came from must have held molten metal.
fn frozen_pot(draft: &Draft, cast: &DraftSection) -> Option<Mistake> {
    let (pot, liquidus) = (cast.quantity(&REMEMBERED_POT)?, draft.quantity(LIQUIDUS)?);
    if pot.si > liquidus.si {
        return None;
    }
    let message =
        format!("`{REMEMBERED_POT}` is {pot}, not above the `{LIQUIDUS}` of [metal], which is {liquidus}");
    let right = format!(
        "it must be more than {}: the metal in the pot must be molten",
        format_in(pot.unit, liquidus.si)
    );
    Some(cast.mistake_at(&REMEMBERED_POT, message, right))
}

/// Rise, dwell and return must fit in one turn.
fn one_turn(cam: &DraftSection) -> Option<Mistake> {
    let parts = [
        // Left out, the rise starts with the turn.
        cam.quantity(&RISE_START).map_or(0.0, |angle| angle.si),
        cam.quantity(&RISE)?.si,
        cam.quantity(&DWELL)?.si,
        cam.quantity(&FALL)?.si,
    ];
    let sum: f64 = parts.iter().sum();
    // A table of whole degrees adds up to 360 to within rounding.
    if sum <= std::f64::consts::TAU * (1.0 + 1e-9) {
        return None;
    }
    let degrees = sum.to_degrees();
    let message = format!("{RISE_START}, {RISE}, {DWELL} and {FALL} together take {degrees:.4} degrees");
    let right = "they can take at most 360 degrees, one turn".to_owned();
    Some(cam.mistake_at(&FALL, message, right))
}

/// Wire thinner than its coil, and no more coils active than there are.
fn winding(spring: &DraftSection) -> Vec<Mistake> {
    let mut mistakes = Vec::new();
    let coil = |key: Key, wires: f64| -> Option<Mistake> {
        let (wire, coil) = (spring.quantity(&WIRE)?, spring.quantity(&key)?);
        (coil.si <= wires * wire.si).then(|| {
            let message = format!("`{key}` is {coil}, too small for wire of {wire}");
            let right = format!(
                "it must be more than {}, or the coil has no inside",
                format_in(coil.unit, wires * wire.si)
            );
            spring.mistake_at(&key, message, right)
        })
    };
    mistakes.extend(coil(MEAN_COIL, 1.0));
    mistakes.extend(coil(OUTSIDE_COIL, 2.0));
    if let (Some(active), Some(total)) = (spring.quantity(&ACTIVE_COILS), spring.quantity(&TOTAL_COILS))
        && active.si > total.si
    {
        let message = format!("{active} coils are active of {total} in all");
        let right = format!("count all coils, active and closed, in {TOTAL_COILS}");
        mistakes.push(spring.mistake_at(&TOTAL_COILS, message, right));
    }
    mistakes
}

/// The gap left between abutment and nut must hold the spring's solid length.
fn squeezed_solid(draft: &Draft, spring: &DraftSection) -> Option<Mistake> {
    let stack = draft.section_of(BARE_GAP)?;
    let bare_gap = stack.quantity(&BARE_GAP)?;
    let length = |key: Key| stack.quantity(&key).map_or(0.0, |quantity| quantity.si);
    let gap = bare_gap.si - length(SLEEVE) + length(EXTENSION) - length(NUT_TURNS) * length(THREAD_PITCH);
    let solid = solid_length(spring)?;
    // A spring that is as long solid as free is a mistake of its own.
    if gap > solid || spring.quantity(&FREE_LENGTH).is_some_and(|free| free.si <= solid) {
        return None;
    }
    let message = format!(
        "at rest the stack leaves a gap of {} for {}, which is {} long with its coils touching",
        format_in(bare_gap.unit, gap),
        spring.title(),
        format_in(bare_gap.unit, solid),
    );
    let right = format!(
        "it takes a longer {BARE_GAP} or {EXTENSION}, a shorter {SLEEVE}, or fewer turns of the adjusting nut"
    );
    Some(stack.mistake_at(&BARE_GAP, message, right))
}

/// The solid length as given, or all coils side by side, in metres.
fn solid_length(spring: &DraftSection) -> Option<f64> {
    let si = |key: Key| spring.quantity(&key).map(|quantity: &Quantity| quantity.si);
    si(SOLID_LENGTH).or_else(|| Some(si(TOTAL_COILS)? * si(WIRE)?))
}
