//! From a fault of a statement back to the key that an owner would look for, in his own units.

use super::experience::experiences;
use super::{Stated, from_alloy};
use crate::quantity::format_in;
use crate::{Item, Mistake, Origin, Scenario, catalogue};
use latchstroke_core::studies::calibrate::Experience;
use latchstroke_models::fault::{Fault, Field, Word};
use latchstroke_models::field;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{MouldStatement, WallStatement};
use latchstroke_models::units::Temperature;

/// A mould of which nothing can be wrong.
const COLD: Temperature = Temperature(f64::MIN_POSITIVE);

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

    /// A fault of the assembled machine as a mistake: at the key that states it, or where the owner did not give that one, at the first
    /// that he gave of those that have a say in it.
    pub fn mistake_of(&self, fault: &Fault) -> Mistake {
        let is_given = |key: &String| matches!(self.item(key).map(|i| &i.origin), Some(Origin::Given(_)));
        let key = fault.fields().map(|field| self.key_of(field)).find(is_given);
        let [message, right] =
            [&fault.what, &fault.right].map(|said| said.told(|word| self.told(fault, word)));
        self.mistake_at(&key.unwrap_or_else(|| self.key_of(fault.field)), message, right)
    }

    /// A fault in words, with its key.
    pub fn told_at(&self, fault: &Fault) -> String {
        format!("{}: {}", self.key_of(fault.field), fault.what.told(|word| self.told(fault, word)))
    }

    /// A word of a fault: a key without its section, or a figure, as the owner wrote it or in the unit in which he did.
    fn told(&self, fault: &Fault, word: Word) -> String {
        let single = |field: Field| self.item(&self.key_of(field)).and_then(Item::single);
        match word {
            Word::Name(field) => {
                let key = self.key_of(field);
                key.rsplit_once('.').map_or(key.clone(), |(_, plain)| plain.to_owned())
            }
            Word::Value(field, si) | Word::Figure(field, si) => match (single(field), single(fault.field)) {
                (Some(own), _) if matches!(word, Word::Value(..)) && own.si.total_cmp(&si).is_eq() => {
                    own.to_string()
                }
                (Some(own), _) => format_in(own.unit, si),
                (None, Some(other)) if self.is_of_alloy(field) => {
                    format!("{} in this alloy", format_in(other.unit, si))
                }
                (None, _) => si.to_string(),
            },
        }
    }

    /// Whether the metal's alloy gives the value of a field.
    fn is_of_alloy(&self, field: Field) -> bool {
        let mut keys = from_alloy(self).into_iter().map(|(entry, _)| entry.key);
        keys.any(|key| self.key_of(field) == format!("{}.{key}", catalogue::METAL.name))
    }

    /// What cannot be of the machine, or of it as it was when a remembered cast was made: the faults of a machine prepared, of values that
    /// could be read. How warm cooling water leaves the mould hangs on size and pace, and is for the study that asks: here it is cold.
    pub(crate) fn impossible(&self) -> Vec<Mistake> {
        let stated = Stated::of(self);
        let faults_of = |metal: MetalStatement| {
            let wall = match stated.machine.mould.wall {
                WallStatement::Cooled(_) => WallStatement::Temperature(COLD),
                stated @ WallStatement::Temperature(_) => stated,
            };
            let mould = MouldStatement { wall, ..stated.machine.mould };
            let machine = MachineStatement { metal, mould, ..stated.machine.clone() };
            let prepared = Machine::prepare(&machine, stated.cast.sort, stated.cast.pace, LatchSetting::Set);
            prepared.err().unwrap_or_default()
        };
        let metal = stated.machine.metal;
        let mut faults = stated.alloy().and_then(Result::err).unwrap_or_default();
        faults.extend(faults_of(metal));
        let pot = field!(MetalStatement, pot_temperature);
        for Experience { number, pot: then, .. } in experiences(self) {
            let then = then.map(|then| faults_of(metal.at_pot(then))).unwrap_or_default();
            let own = then.into_iter().filter(|fault| fault.field == pot);
            faults.extend(own.map(|fault| fault.of(pot, field!(Experience, pot).of(number))));
        }
        let is_read = |field: Field| self.item(&self.key_of(field)).is_some();
        // What an alloy gives is at fault beside what is stated alone.
        let is_known = |field: Field| is_read(field) || self.is_of_alloy(field);
        faults.retain(|fault| is_read(fault.field) && fault.fields().all(is_known));
        faults.iter().map(|fault| self.mistake_of(fault)).collect()
    }
}
