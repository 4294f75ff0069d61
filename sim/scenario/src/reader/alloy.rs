//! The metal's alloy, where the owner states it by composition: within the table, and its temperatures in order with those
//! that are stated.

use latchstroke_models::alloy::Alloy;

use super::super::mistakes::Mistake;
use super::super::quantity::format_in;
use super::draft::{Draft, DraftSection};

/// Reports an alloy outside the table, and temperatures that cannot go with it.
pub(super) fn check(draft: &Draft, mistakes: &mut Vec<Mistake>) {
    let Some(metal) = draft.section("metal") else { return };
    let per_cent = |key: &str| metal.quantity(key).map(|share| 100.0 * share.si);
    let (Some(tin), Some(antimony)) = (per_cent("tin"), per_cent("antimony")) else { return };
    let alloy = match Alloy::new(tin, antimony) {
        Ok(alloy) => alloy,
        Err(faults) => {
            for fault in faults {
                mistakes.push(metal.mistake_at("antimony", fault.what, fault.right));
            }
            return;
        }
    };
    let mut below = |section: &DraftSection, key: &str, other: &str, high: f64| {
        mistakes.extend(out_of_order(section, key, other, high, true));
    };
    let is_stated = |key: &str| metal.given(key);
    if !is_stated("liquidus") {
        below(metal, "solidus", "liquidus", alloy.liquidus());
    }
    if !is_stated("solidus")
        && let Some(mould) = draft.section("mould")
    {
        below(mould, "wall_temperature", "solidus", alloy.solidus());
    }
    let mut above = |key: &str, other: &str, low: f64| {
        mistakes.extend(out_of_order(metal, key, other, low, false));
    };
    if !is_stated("solidus") {
        above("liquidus", "solidus", alloy.solidus());
    }
    if !is_stated("liquidus") {
        above("pot_temperature", "liquidus", alloy.liquidus());
    }
}

/// Reports `key` unless it is below, or above, the alloy's own `other` (K).
fn out_of_order(
    section: &DraftSection,
    key: &str,
    other: &str,
    limit: f64,
    is_below: bool,
) -> Option<Mistake> {
    let stated = section.quantity(key)?;
    if (stated.si < limit) == is_below && stated.si.total_cmp(&limit).is_ne() {
        return None;
    }
    let (side, comparison) = if is_below { ("below", "less") } else { ("above", "more") };
    let limit = format_in(stated.unit, limit);
    let message = format!("`{key}` is {stated}, not {side} `{other}`, which is {limit} in this alloy");
    let right = format!("it must be {comparison} than {limit}, or tin and antimony are not as stated");
    Some(section.mistake_at(key, message, right))
}
