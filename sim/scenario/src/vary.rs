//! A scenario with other numbers in it: the values that carry a tolerance, and the same scenario with some of its values
//! replaced.

use super::mistakes::Mistake;
use super::quantity::{Quantity, format_in};
use super::resolved::{Item, Origin, Scenario, Value};

/// Values that no owner can measure: whatever stands in a scenario for them is an estimate.
pub const ESTIMATED: [&str; 12] = [
    "cross_block.train_stiffness",
    "cross_block.train_damping",
    "rod.drag",
    "rod.friction_speed",
    "rod.stop_stiffness",
    "rod.stop_damping",
    "well.bulk_modulus",
    "nozzle.loss",
    "mould.heat_transfer",
    "mould.packed_heat_transfer",
    "metal.sealing_fraction",
    "job.accepted_skin",
];

/// What is asked or chosen, not measured.
const ASKED: [&str; 7] = [
    "job.body",
    "job.set",
    "job.pace",
    "job.accepted_solid",
    "job.accepted_air",
    "job.margin",
    "stack.nut_turns",
];

impl Scenario {
    /// The full key of every single quantity or number of the machine that carries no tolerance, in catalogue order: a study of
    /// tolerances takes it for exact. What is asked or chosen is not among them, nor are the pieces to be made and the casts.
    pub fn taken_for_exact(&self) -> Vec<String> {
        let sections = self.sections.iter().filter(|s| !s.spec.is_record() && s.spec.name != "parts");
        let keys = sections.flat_map(|section| {
            let own = section.items.iter().filter(|item| !matches!(item.origin, Origin::SameAs(_)));
            let exact = own
                .filter(|item| single(item).is_some_and(|q| q.tolerance_si.is_none_or(|half| half <= 0.0)));
            exact.map(|item| format!("{}.{}", section.name(), item.entry.key))
        });
        keys.filter(|key| !ASKED.contains(&key.as_str())).collect()
    }

    /// Every single quantity or number that carries a tolerance above zero, with its full key, in catalogue order. A value that
    /// only follows another key is not among them, nor are the members of lists, the readings of a cam and the records of casts.
    pub fn toleranced(&self) -> Vec<(String, &Quantity)> {
        let mut found = Vec::new();
        for section in self.sections.iter().filter(|section| !section.spec.is_record()) {
            for item in section.items.iter().filter(|item| !matches!(item.origin, Origin::SameAs(_))) {
                if let Some(quantity) = single(item)
                    && quantity.tolerance_si.is_some_and(|half_width| half_width > 0.0)
                {
                    found.push((format!("{}.{}", section.name(), item.entry.key), quantity));
                }
            }
        }
        found
    }

    /// Whether a reading of the cam carries a tolerance, in its angle or its lift.
    pub fn readings_have_tolerances(&self) -> bool {
        let readings = self.readings("cam.readings").iter().flat_map(|(angle, lift)| [angle, lift]);
        readings.into_iter().any(|quantity| quantity.tolerance_si.is_some_and(|half_width| half_width > 0.0))
    }

    /// A mistake for each tolerance that reaches to where the value itself would be refused.
    pub fn tolerances_out_of_range(&self) -> Vec<Mistake> {
        self.toleranced().iter().filter_map(|(path, quantity)| self.out_of_range(path, quantity)).collect()
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
            let exact = single(section.items.get(index)?)?.with_si(si);
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

fn single(item: &Item) -> Option<&Quantity> {
    match &item.value {
        Value::Quantity(quantity) | Value::Number(quantity) => Some(quantity),
        Value::Choice(_) | Value::Text(_) | Value::List(_) | Value::Readings(_) => None,
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
    use crate::catalogue;

    #[test]
    fn estimates_are_keys_of_the_catalogue() {
        for path in ESTIMATED.into_iter().chain(ASKED) {
            assert!(catalogue::entry(path).is_some(), "{path}");
        }
    }
}
