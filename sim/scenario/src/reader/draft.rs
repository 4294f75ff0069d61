//! A scenario half read: what each key holds so far.

use super::super::catalogue::{self, Condition, Demand, Entry, Need};
use super::super::mistakes::{Location, Mistake};
use super::super::quantity::Quantity;
use super::super::resolved::{Item, Origin, Scenario, Section, Value};
use super::cam::Noted;
use super::keys::{FREE_LENGTH, Key};
use super::value::from_text;

/// Every section there may be, in catalogue order, given or not.
pub(super) struct Draft {
    pub sections: Vec<DraftSection>,
}

/// A section of the draft.
pub(super) struct DraftSection {
    pub spec: &'static catalogue::Section,
    pub number: Option<usize>,
    /// Where its header stands; `None` if the file has no such section.
    pub header: Option<Location>,
    slots: Vec<(&'static Entry, Slot)>,
    /// Keys for which nothing is assumed, since another section says what they would.
    pub said_elsewhere: Vec<&'static str>,
}

/// What a key holds.
#[derive(Clone)]
pub(super) enum Slot {
    /// Nothing.
    Absent,
    /// Something that could not be read, and has been reported.
    Broken,
    /// Readings that are there and are read when their units are known.
    Held(Location),
    /// A value and where it stands.
    Good(Value, Location),
}

impl DraftSection {
    pub fn new(spec: &'static catalogue::Section, number: Option<usize>, header: Option<Location>) -> Self {
        let slots = spec.entries.iter().map(|entry| (entry, Slot::Absent)).collect();
        Self { spec, number, header, slots, said_elsewhere: Vec::new() }
    }

    /// What `key` holds; a key the catalogue lacks holds nothing.
    pub fn slot(&self, key: &str) -> &Slot {
        self.slots.iter().find(|(entry, _)| entry.key == key).map_or(&Slot::Absent, |(_, slot)| slot)
    }

    pub fn put(&mut self, key: &str, new: Slot) {
        if let Some((_, slot)) = self.slots.iter_mut().find(|(entry, _)| entry.key == key) {
            *slot = new;
        }
    }

    /// Whether `key` is there, readable or not.
    pub fn given(&self, key: &str) -> bool {
        !matches!(self.slot(key), Slot::Absent)
    }

    pub fn quantity(&self, key: &str) -> Option<&Quantity> {
        match self.slot(key) {
            Slot::Good(Value::Quantity(quantity) | Value::Number(quantity), _) => Some(quantity),
            _ => None,
        }
    }

    /// Where the value of `key` stands, if it could be read.
    pub fn place(&self, key: &str) -> Option<&Location> {
        match self.slot(key) {
            Slot::Good(_, place) | Slot::Held(place) => Some(place),
            _ => None,
        }
    }

    pub fn is_overridden(&self, key: &str) -> bool {
        matches!(self.place(key), Some(Location::Override { .. }))
    }

    /// The choice in force: as given, or the default if nothing is.
    pub fn choice(&self, key: &str) -> Option<&'static str> {
        match self.slot(key) {
            Slot::Good(Value::Choice(word), _) => Some(word),
            Slot::Absent => match self.spec.entry(key)?.need {
                Need::Default(word) => Some(word),
                _ => None,
            },
            _ => None,
        }
    }

    pub fn holds(&self, condition: Condition) -> bool {
        match condition {
            Condition::Always => true,
            Condition::Given(key) => self.given(key),
            Condition::NoneGiven(keys) => !keys.iter().any(|key| self.given(key)),
            Condition::AllGiven(keys) => keys.iter().all(|key| self.given(key)),
            Condition::NonZero(key) => self.quantity(key).is_some_and(|quantity| quantity.si != 0.0),
            Condition::Is(key, word) => self.choice(key) == Some(word),
            Condition::IsNot(key, word) => self.choice(key).is_some_and(|choice| choice != word),
        }
    }

    /// Whether a rule in force refuses `key`.
    fn refuses(&self, key: &str) -> bool {
        self.spec.rules.iter().any(|rule| match rule.demand {
            Demand::None(keys) => keys.contains(&key) && self.holds(rule.when),
            _ => false,
        })
    }

    /// Whether nothing is to be assumed for `key`.
    fn is_said_otherwise(&self, key: &str) -> bool {
        let rules = self.spec.rules.iter().any(|rule| match rule.demand {
            Demand::NotAssumed(keys) => keys.contains(&key) && self.holds(rule.when),
            _ => false,
        });
        rules || self.said_elsewhere.contains(&key) || self.refuses(key)
    }

    /// Its header's place, or the file as a whole.
    pub fn header_place(&self) -> Location {
        self.header.clone().unwrap_or(Location::WholeFile)
    }

    /// A mistake at the value of `key`, or at the header.
    pub fn mistake_at(&self, key: &str, message: String, right: String) -> Mistake {
        Mistake { message, right, location: self.place(key).cloned().unwrap_or_else(|| self.header_place()) }
    }

    /// Its name as the file writes it, with a number for one of several.
    pub fn title(&self) -> String {
        match self.number {
            Some(number) => format!("{} {number}", self.spec.name),
            None => self.spec.header(),
        }
    }

    fn resolve(self) -> Section {
        let mut items: Vec<Item> = Vec::with_capacity(self.slots.len());
        for (entry, slot) in &self.slots {
            let (value, origin) = match (slot, entry.need) {
                (Slot::Good(value, place), _) => (Some(value.clone()), Origin::Given(place.clone())),
                // Nothing stands for what was meant and could not be read.
                (Slot::Broken | Slot::Held(_), _) => (None, Origin::Default),
                (_, Need::Default(text)) if !self.refuses(entry.key) => {
                    (from_text(entry, text).ok(), Origin::Default)
                }
                (_, Need::Assumed(assumed)) if !self.is_said_otherwise(entry.key) => {
                    (from_text(entry, assumed.value).ok(), Origin::Assumed)
                }
                (_, Need::SameAs(other)) => {
                    let model = items.iter().find(|item| item.entry.key == other);
                    (model.map(|item| item.value.clone()), Origin::SameAs(other))
                }
                _ => (None, Origin::Default),
            };
            items.extend(value.map(|value| Item { entry, value, origin }));
        }
        Section { spec: self.spec, number: self.number, header: self.header, items }
    }
}

impl Draft {
    /// The only section `name`.
    pub fn section(&self, name: &str) -> Option<&DraftSection> {
        self.sections.iter().find(|section| section.spec.name == name)
    }

    /// The section that a key belongs to.
    pub fn section_of(&self, key: Key) -> Option<&DraftSection> {
        self.section(key.section)
    }

    /// The quantity of a key of which there is one.
    pub fn quantity(&self, key: Key) -> Option<&Quantity> {
        self.section_of(key)?.quantity(&key)
    }

    /// Whether a key of which there is one is there, readable or not.
    pub fn given(&self, key: Key) -> bool {
        self.section_of(key).is_some_and(|section| section.given(&key))
    }

    pub fn section_mut(&mut self, name: &str) -> Option<&mut DraftSection> {
        self.sections.iter_mut().find(|section| section.spec.name == name)
    }

    /// Every section `name` of those of which there may be several.
    pub fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a DraftSection> {
        self.sections.iter().filter(move |section| section.spec.name == name)
    }

    pub fn springs(&self) -> impl Iterator<Item = &DraftSection> {
        self.all(FREE_LENGTH.section)
    }

    pub fn resolve(self, file_name: &str, text: &str, noted: Noted) -> Scenario {
        Scenario {
            file_name: file_name.to_owned(),
            source: text.to_owned(),
            files: noted.file.into_iter().collect(),
            remarks: noted.remarks,
            sections: self.sections.into_iter().map(DraftSection::resolve).collect(),
        }
    }
}
