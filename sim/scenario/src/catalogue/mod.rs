//! The catalogue of keys: one static table of every section and key a scenario
//! may hold. Reading, suggestions for misspelt keys, the listing of a checked
//! scenario, the template for a new one and the JSON Schema all come from it.

mod assumed;
pub mod bench;
mod casting;
mod drive;
mod experience;
mod mould;
mod parts;
mod pump;
mod rules;
mod sets;
mod springs;
mod stack;
mod water;

use super::quantity::Dimension;
use latchstroke_models::fault::Field;

pub use assumed::{Assumed, Spread, Weight};
pub(crate) use casting::METAL;
pub use rules::{Condition, Demand, Rule};
pub(crate) use sets::Sets;
pub use sets::{joined, key_of};

/// A section of a scenario file, such as `[cam]`.
#[derive(Debug)]
pub struct Section {
    /// Its name between the brackets.
    pub name: &'static str,
    /// What it describes.
    pub help: &'static str,
    /// How many times it may stand in a file: once, or more for `[[spring]]`.
    pub most: usize,
    /// Its keys, in the order they are listed.
    pub entries: &'static [Entry],
    /// Which of its keys go together and which exclude each other.
    pub rules: &'static [Rule],
}

/// One key of a section.
#[derive(Debug)]
pub struct Entry {
    /// The key.
    pub key: &'static str,
    /// What its value is.
    pub kind: Kind,
    /// Whether it must be given.
    pub need: Need,
    /// The values that are possible.
    pub range: Option<Range>,
    /// What it is and how an owner measures it.
    pub help: &'static str,
    /// A plausible value, as typed.
    pub example: &'static str,
    /// The field of a statement that it is.
    pub(crate) sets: Sets,
}

/// What a value is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A quantity with its unit, in quotes.
    Quantity(Dimension),
    /// A plain number.
    Number,
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// Free text.
    Text,
    /// A list of quantities.
    QuantityList(Dimension),
    /// A list of pairs, shaft angle and lift.
    Readings,
    /// One half of such pairs: a list of quantities, or of plain numbers whose unit another key gives.
    Column(Dimension),
}

/// Whether a key must be given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// It must be given.
    Required,
    /// It has this value unless given.
    Default(&'static str),
    /// Left out, this is taken for it, which may be off.
    Assumed(Assumed),
    /// It has the value of this other key of its section unless given.
    SameAs(&'static str),
    /// It may be left out.
    Optional,
    /// Another key decides, by the rules of the section.
    Depends {
        /// When it is wanted, in words.
        when: &'static str,
        /// Whether the template gives it a value.
        shown: bool,
    },
}

/// The possible values of a key, both ends included, as typed quantities.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Least value.
    pub low: &'static str,
    /// Greatest value.
    pub high: &'static str,
    /// Why nothing outside can be right.
    pub why: &'static str,
}

/// Values from one to the other, both included, and why nothing outside can be right.
const fn within(low: &'static str, high: &'static str, why: &'static str) -> Range {
    Range { low, high, why }
}

/// What is taken for a value that is left out, how it may lie about that, what it can do to a verdict, and where it comes from.
const fn assumed(value: &'static str, spread: Spread, weight: Weight, source: &'static str) -> Need {
    Need::Assumed(Assumed { value, spread, weight, source })
}

impl Section {
    /// Whether a file may hold the section several times, as `[[name]]`.
    pub fn is_list(&self) -> bool {
        self.most > 1
    }

    /// Whether it records what came out of the machine, instead of saying what machine, metal or job there is. A file may do
    /// without.
    pub fn is_record(&self) -> bool {
        self.name == experience::EXPERIENCE.name
    }

    /// Whether a file without it is lacking something.
    pub fn is_wanted(&self) -> bool {
        let required = self.entries.iter().any(|entry| entry.need == Need::Required);
        let asks = |rule: &Rule| {
            matches!((rule.when, rule.demand), (Condition::Always, Demand::All(_) | Demand::ExactlyOne(_)))
        };
        !self.is_record() && (required || self.rules.iter().any(asks))
    }

    /// The entry of `key`.
    pub fn entry(&self, key: &str) -> Option<&'static Entry> {
        self.entries.iter().find(|entry| entry.key == key)
    }

    /// The section's header line.
    pub fn header(&self) -> String {
        if self.is_list() { format!("[[{}]]", self.name) } else { format!("[{}]", self.name) }
    }
}

impl Kind {
    /// The dimension of its quantities; a plain number is a ratio.
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Quantity(dimension) | Self::QuantityList(dimension) => Some(dimension),
            Self::Number => Some(Dimension::Ratio),
            Self::Choice(_) | Self::Text | Self::Readings | Self::Column(_) => None,
        }
    }
}

/// Every section, in the order the template writes them.
static SECTIONS: [&Section; 18] = [
    &drive::MACHINE,
    &drive::CAM,
    &drive::CROSS_BLOCK,
    &springs::SPRING,
    &stack::STACK,
    &stack::LATCH,
    &pump::ROD,
    &pump::LEVER,
    &pump::PISTON,
    &pump::WELL,
    &pump::CHANNEL,
    &pump::NOZZLE,
    &mould::MOULD,
    &water::COOLING_WATER,
    &casting::METAL,
    &casting::JOB,
    &experience::EXPERIENCE,
    &parts::PARTS,
];

/// The section `name`.
pub fn section(name: &str) -> Option<&'static Section> {
    sections().find(|section| section.name == name)
}

/// Every section in order.
pub fn sections() -> impl Iterator<Item = &'static Section> {
    SECTIONS.into_iter()
}

/// Every key that states a field, with its section, in order.
pub(crate) fn stating(field: Field) -> impl Iterator<Item = (&'static Section, &'static Entry)> {
    let states = move |entry: &&Entry| entry.sets.fields.iter().any(|known| known.names() == field.names());
    sections()
        .flat_map(move |section| section.entries.iter().filter(states).map(move |entry| (section, entry)))
}

/// Section and entry of a full key such as `cam.lift`.
pub fn entry(path: &str) -> Option<(&'static Section, &'static Entry)> {
    let (name, key) = path.split_once('.')?;
    let section = section(name.split('[').next()?)?;
    Some((section, section.entry(key)?))
}
