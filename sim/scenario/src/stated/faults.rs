//! From a fault of a statement back to the key that an owner would look for.

use crate::{Mistake, Scenario, catalogue};
use latchstroke_models::fault::{Fault, Field};

impl Scenario {
    /// The full key that states a field: of several the one that is given. A field that no key states goes by its own name.
    pub fn key_of(&self, field: Field) -> String {
        let keys = catalogue::stating(field).map(|(section, entry)| match field.number() {
            Some(number) if section.is_list() => format!("{}[{number}].{}", section.name, entry.key),
            _ => format!("{}.{}", section.name, entry.key),
        });
        let keys: Vec<String> = keys.collect();
        let given = keys.iter().find(|key| self.item(key).is_some());
        given.or(keys.first()).cloned().unwrap_or_else(|| field.to_string())
    }

    /// A fault that only the assembled machine shows, as a mistake at the key that states it.
    pub fn mistake_of(&self, fault: Fault) -> Mistake {
        self.mistake_at(&self.key_of(fault.field), fault.what, fault.right)
    }
}
