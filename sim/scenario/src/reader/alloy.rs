//! The metal's alloy, where the owner states it by composition: within the table, and its temperatures in order with those
//! that are stated.

use latchstroke_models::alloy::Alloy;
use latchstroke_models::fault::Fault;

use super::super::mistakes::Mistake;
use super::super::quantity::format_in;
use super::draft::Draft;
use super::keys::{ANTIMONY, Key, LIQUIDUS, POT_TEMPERATURE, SOLIDUS, TIN, WALL};

/// Reports an alloy outside the table, and temperatures that cannot go with it.
pub(super) fn check(draft: &Draft, mistakes: &mut Vec<Mistake>) {
    let per_cent = |key: Key| draft.quantity(key).map(|share| 100.0 * share.si);
    let (Some(metal), Some(tin), Some(antimony)) =
        (draft.section_of(ANTIMONY), per_cent(TIN), per_cent(ANTIMONY))
    else {
        return;
    };
    let alloy = match Alloy::new(tin, antimony) {
        Ok(alloy) => alloy,
        Err(faults) => {
            let at_antimony = |fault: Fault| metal.mistake_at(&ANTIMONY, fault.what, fault.right);
            mistakes.extend(faults.into_iter().map(at_antimony));
            return;
        }
    };
    let (liquidus, solidus) = (alloy.liquidus(), alloy.solidus());
    for (key, other, limit, is_below) in [
        (SOLIDUS, LIQUIDUS, liquidus, true),
        (WALL, SOLIDUS, solidus, true),
        (LIQUIDUS, SOLIDUS, solidus, false),
        (POT_TEMPERATURE, LIQUIDUS, liquidus, false),
    ] {
        if !draft.given(other) {
            mistakes.extend(out_of_order(draft, (key, other), limit, is_below));
        }
    }
}

/// Reports `key` unless it is below, or above, the alloy's own `other` (K).
fn out_of_order(draft: &Draft, (key, other): (Key, Key), limit: f64, is_below: bool) -> Option<Mistake> {
    let section = draft.section_of(key)?;
    let stated = section.quantity(&key)?;
    if (stated.si < limit) == is_below && stated.si.total_cmp(&limit).is_ne() {
        return None;
    }
    let (side, comparison) = if is_below { ("below", "less") } else { ("above", "more") };
    let limit = format_in(stated.unit, limit);
    let message = format!("`{key}` is {stated}, not {side} `{other}`, which is {limit} in this alloy");
    let right = format!("it must be {comparison} than {limit}, or tin and antimony are not as stated");
    Some(section.mistake_at(&key, message, right))
}
