//! A scenario with other numbers in it: the values that are not known exactly, and the same scenario with some of its values
//! replaced.

use super::catalogue::{self, Assumed, Need};
use super::mistakes::Mistake;
use super::quantity::{Quantity, format_in};
use super::resolved::{Item, Origin, Scenario, Value};
use crate::key;
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::judge::Terms;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cam::CamStatement;
use latchstroke_models::mould::Sort;

/// A value that is not known exactly.
#[derive(Debug)]
pub struct Doubt<'a> {
    /// Its full key.
    pub path: String,
    /// What stands for it, or is assumed.
    pub quantity: &'a Quantity,
    /// How it may lie, SI.
    pub distribution: Distribution,
    /// What the catalogue assumes; none where the owner states the value with a tolerance.
    pub assumed: Option<Assumed>,
}

/// Whether something would be assumed for a full key that is left out, because few can measure it: whatever is stated for it is likely
/// an estimate.
pub fn is_estimate(path: &str) -> bool {
    catalogue::entry(path).is_some_and(|(_, entry)| matches!(entry.need, Need::Assumed(_)))
}

/// What is asked or chosen, not measured.
const ASKED: [&str; 7] = [
    key!(Sort, body),
    key!(Sort, set),
    key!(Cast, pace),
    key!(Acceptance, solid),
    key!(Terms, accepted_air),
    key!(Acceptance, margin),
    key!(AbutmentStatement, nut_turns),
];

impl Scenario {
    /// The full key of every single quantity or number of the machine that carries no tolerance, in catalogue order: a study of
    /// tolerances takes it for exact. What is asked or chosen is not among them, nor are the pieces to be made and the casts.
    pub fn taken_for_exact(&self) -> Vec<String> {
        let sections = self.sections.iter().filter(|s| !s.spec.is_record() && s.spec.name != "parts");
        let keys = sections.flat_map(|section| {
            let own = section.items.iter().filter(|item| !matches!(item.origin, Origin::SameAs(_)));
            let exact = own
                .filter(|item| item.origin != Origin::Assumed)
                .filter(|item| item.single().is_some_and(|q| q.tolerance_si.is_none_or(|half| half <= 0.0)));
            exact.map(|item| format!("{}.{}", section.name(), item.entry.key))
        });
        keys.filter(|key| !ASKED.contains(&key.as_str())).collect()
    }

    /// Every single quantity or number that carries a tolerance above zero or is assumed with a spread, in catalogue order. A value that
    /// only follows another key is not among them, nor are the members of lists, the readings of a cam and the records of casts.
    pub fn doubts(&self) -> Vec<Doubt<'_>> {
        let mut found = Vec::new();
        for section in self.sections.iter().filter(|section| !section.spec.is_record()) {
            for item in section.items.iter().filter(|item| !matches!(item.origin, Origin::SameAs(_))) {
                let Some(quantity) = item.single() else { continue };
                let assumed = item.assumed();
                let distribution = match (assumed, quantity.tolerance_si) {
                    (Some(assumed), _) => assumed.distribution(quantity.dimension),
                    (None, Some(half)) if half > 0.0 => Some(Distribution::within(quantity.si, half)),
                    _ => None,
                };
                let path = || format!("{}.{}", section.name(), item.entry.key);
                found.extend(distribution.map(|distribution| Doubt {
                    path: path(),
                    quantity,
                    distribution,
                    assumed,
                }));
            }
        }
        found
    }

    /// The single quantity or plain number of a full key.
    pub fn single(&self, path: &str) -> Option<&Quantity> {
        self.item(path)?.single()
    }

    /// Every assumed value with its full key, in catalogue order, the chosen ones among them.
    pub fn assumptions(&self) -> Vec<(String, &Item)> {
        let mut found = Vec::new();
        for section in &self.sections {
            let assumed = section.items.iter().filter(|item| item.origin == Origin::Assumed);
            found.extend(assumed.map(|item| (format!("{}.{}", section.name(), item.entry.key), item)));
        }
        found
    }

    /// Whether a reading of the cam carries a tolerance, in its angle or its lift.
    pub fn readings_have_tolerances(&self) -> bool {
        let readings =
            self.readings(key!(CamStatement::Measured, 0)).iter().flat_map(|(angle, lift)| [angle, lift]);
        readings.into_iter().any(|quantity| quantity.tolerance_si.is_some_and(|half_width| half_width > 0.0))
    }

    /// A mistake for each tolerance that reaches to where the value itself would be refused.
    pub fn tolerances_out_of_range(&self) -> Vec<Mistake> {
        let stated = self.doubts().into_iter().filter(|doubt| doubt.assumed.is_none());
        stated.filter_map(|doubt| self.out_of_range(&doubt.path, doubt.quantity)).collect()
    }

    fn out_of_range(&self, path: &str, quantity: &Quantity) -> Option<Mistake> {
        let range = self.item(path)?.entry.range?;
        let end = |text: &str| Quantity::parse(text, quantity.dimension).ok().map(|end| end.si);
        let (low, high) = (end(range.low)?, end(range.high)?);
        let half_width = quantity.tolerance_si?;
        // As for values: the last bit may differ between a range in one unit and a value in another.
        let slack = 1e-12 * (low.abs() + high.abs());
        let reached = if quantity.si - half_width < low - slack {
            quantity.si - half_width
        } else if quantity.si + half_width > high + slack {
            quantity.si + half_width
        } else {
            return None;
        };
        let written = |si: f64| format_in(quantity.unit, si);
        let message = format!("by its tolerance `{quantity}` may be {}, which cannot be", written(reached));
        let right =
            format!("value and tolerance within {} to {}: {}", written(low), written(high), range.why);
        Some(self.mistake_at(path, message, right))
    }

    /// The same scenario with other SI values for some full keys, each then exact, without a tolerance. A value that follows a
    /// replaced key follows it here too. Nothing if a key holds neither a quantity nor a number.
    pub fn with_values(&self, values: &[(&str, f64)]) -> Option<Self> {
        let mut varied = self.clone();
        for &(path, si) in values {
            let (name, key) = path.split_once('.')?;
            let section = varied.sections.iter_mut().find(|section| section.name() == name)?;
            let index = section.items.iter().position(|item| item.entry.key == key)?;
            let exact = section.items.get(index)?.single()?.with_si(si);
            for (at, item) in section.items.iter_mut().enumerate() {
                let follows = matches!(item.origin, Origin::SameAs(model) if model == key);
                match &mut item.value {
                    Value::Quantity(quantity) | Value::Number(quantity) if at == index || follows => {
                        *quantity = exact.clone();
                    }
                    _ => {}
                }
            }
        }
        Some(varied)
    }
}

impl Quantity {
    /// The same kind of quantity in the same unit with another SI value, exact; its text reads back to that value.
    #[must_use]
    pub fn with_si(&self, si: f64) -> Self {
        let text = format!("{} {}", self.unit.from_si(si), self.unit.typeable());
        Self { si, tolerance_si: None, text: text.trim_end().to_owned(), ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_asked_are_keys_of_the_catalogue() {
        for path in ASKED {
            assert!(catalogue::entry(path).is_some(), "{path}");
        }
    }
}
