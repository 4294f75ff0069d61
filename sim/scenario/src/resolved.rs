//! A scenario that has been read: every value known, defaults filled in.

use super::catalogue::{self, Entry};
use super::mistakes::{Location, Mistake};
use super::quantity::Quantity;
use super::stated::Title;
use crate::key;
use std::path::PathBuf;

/// A scenario without mistakes. Sections and keys stand in catalogue order.
#[derive(Clone, Debug)]
pub struct Scenario {
    pub(super) file_name: String,
    pub(super) source: String,
    pub(super) files: Vec<PathBuf>,
    pub(super) remarks: Vec<Mistake>,
    pub(super) sections: Vec<Section>,
}

/// One section with its values.
#[derive(Clone, Debug)]
pub struct Section {
    /// What the catalogue says of it.
    pub spec: &'static catalogue::Section,
    /// Which one it is, from 1, where there may be several.
    pub number: Option<usize>,
    /// Where its header stands; none where the file has no such section.
    pub(super) header: Option<Location>,
    /// Its values; keys left out without a default are not among them.
    pub items: Vec<Item>,
}

/// A key with its value.
#[derive(Clone, Debug)]
pub struct Item {
    /// What the catalogue says of the key.
    pub entry: &'static Entry,
    /// The value.
    pub value: Value,
    /// Where the value comes from.
    pub origin: Origin,
}

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The file or an override, at this place.
    Given(Location),
    /// The catalogue's default, which is what it is wherever nothing else is said.
    Default,
    /// Nobody's measurement: what the catalogue assumes, and how far off it takes that to be.
    Assumed,
    /// A fit to what was measured of the machine at work.
    Fitted,
    /// What was measured at the bench, in the words given.
    Measured(String),
    /// Another key of the section, which this one follows.
    SameAs(&'static str),
}

/// A value of any kind.
#[derive(Clone, Debug)]
pub enum Value {
    /// A quantity with its unit.
    Quantity(Quantity),
    /// A plain number, kept as a ratio with its text.
    Number(Quantity),
    /// A word from the catalogue's list.
    Choice(&'static str),
    /// Free text.
    Text(String),
    /// Several quantities.
    List(Vec<Quantity>),
    /// Shaft angles and lifts.
    Readings(Vec<(Quantity, Quantity)>),
}

impl Scenario {
    /// The name of the file it was read from.
    pub fn file_name(&self) -> &str {
        &self.file_name
    }

    /// The file's text.
    pub fn source(&self) -> &str {
        &self.source
    }

    /// The files it was read from: its own, and a table that it names.
    pub fn files(&self) -> &[PathBuf] {
        &self.files
    }

    /// What reads without a mistake and is likely one all the same, with its place.
    pub fn remarks(&self) -> &[Mistake] {
        &self.remarks
    }

    /// Every section in catalogue order.
    pub fn sections(&self) -> &[Section] {
        &self.sections
    }

    /// The springs in the order of the file, outermost first.
    pub fn springs(&self) -> impl Iterator<Item = &Section> {
        self.all("spring")
    }

    /// The casts an owner remembers, in the order of the file.
    pub fn experiences(&self) -> impl Iterator<Item = &Section> {
        self.all("experience")
    }

    /// Every section `name` of those of which there may be several.
    fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Section> {
        self.sections.iter().filter(move |section| section.spec.name == name)
    }

    /// The item of a full key such as `cam.lift` or `spring[1].rate`.
    pub fn item(&self, path: &str) -> Option<&Item> {
        let (section, key) = path.split_once('.')?;
        self.sections.iter().find(|candidate| candidate.name() == section)?.item(key)
    }

    /// The quantity of a full key.
    pub fn quantity(&self, path: &str) -> Option<&Quantity> {
        self.item(path)?.value.as_quantity()
    }

    /// The plain number of a full key.
    pub fn number(&self, path: &str) -> Option<f64> {
        self.item(path)?.value.as_number()
    }

    /// The word chosen for a full key.
    pub fn choice(&self, path: &str) -> Option<&'static str> {
        self.item(path)?.value.as_choice()
    }

    /// The text of a full key.
    pub fn text(&self, path: &str) -> Option<&str> {
        self.item(path)?.value.as_text()
    }

    /// What the machine is called.
    pub fn machine_name(&self) -> &str {
        self.text(key!(Title, name)).unwrap_or("The machine")
    }

    /// The list of quantities of a full key; empty if it is not given.
    pub fn list(&self, path: &str) -> &[Quantity] {
        self.item(path).map_or(&[], |item| item.value.as_list())
    }

    /// The readings of a full key; empty if there are none.
    pub fn readings(&self, path: &str) -> &[(Quantity, Quantity)] {
        self.item(path).map_or(&[], |item| item.value.as_readings())
    }

    /// A mistake found after reading, shown at the value of a full key; if the owner did not give that
    /// key, at its section, or else at the file as a whole.
    pub fn mistake_at(&self, path: &str, message: String, right: String) -> Mistake {
        let section = || {
            let (name, _) = path.split_once('.')?;
            self.sections.iter().find(|section| section.name() == name)?.header.clone()
        };
        let location = match self.item(path).map(|item| &item.origin) {
            Some(Origin::Given(location)) => location.clone(),
            _ => section().unwrap_or(Location::WholeFile),
        };
        Mistake { message, right, location }
    }
}

impl Item {
    /// The quantity or number it holds; none where it holds something else, or several.
    pub fn single(&self) -> Option<&Quantity> {
        match &self.value {
            Value::Quantity(quantity) | Value::Number(quantity) => Some(quantity),
            Value::Choice(_) | Value::Text(_) | Value::List(_) | Value::Readings(_) => None,
        }
    }

    /// Half the width of its tolerance, SI, where it is a single number that carries one.
    pub fn tolerance(&self) -> Option<f64> {
        match &self.value {
            Value::Quantity(quantity) | Value::Number(quantity) => quantity.tolerance_si,
            _ => None,
        }
    }

    /// What the catalogue assumes, where that is what stands here.
    pub fn assumed(&self) -> Option<catalogue::Assumed> {
        match self.entry.need {
            catalogue::Need::Assumed(assumed) if self.origin == Origin::Assumed => Some(assumed),
            _ => None,
        }
    }
}

impl Section {
    /// Its name, with a number where there may be several: `spring[1]`.
    pub fn name(&self) -> String {
        match self.number {
            Some(number) => format!("{}[{number}]", self.spec.name),
            None => self.spec.name.to_owned(),
        }
    }

    /// The item of a key of this section.
    pub fn item(&self, key: &str) -> Option<&Item> {
        self.items.iter().find(|item| item.entry.key == key)
    }

    /// The quantity of a key of this section.
    pub fn quantity(&self, key: &str) -> Option<&Quantity> {
        self.item(key)?.value.as_quantity()
    }

    /// The plain number of a key of this section.
    pub fn number(&self, key: &str) -> Option<f64> {
        self.item(key)?.value.as_number()
    }

    /// The word chosen for a key of this section.
    pub fn choice(&self, key: &str) -> Option<&'static str> {
        self.item(key)?.value.as_choice()
    }

    /// The text of a key of this section.
    pub fn text(&self, key: &str) -> Option<&str> {
        self.item(key)?.value.as_text()
    }
}

impl Value {
    fn as_quantity(&self) -> Option<&Quantity> {
        match self {
            Self::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    fn as_number(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(number.si),
            _ => None,
        }
    }

    fn as_choice(&self) -> Option<&'static str> {
        match self {
            Self::Choice(word) => Some(word),
            _ => None,
        }
    }

    fn as_text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            _ => None,
        }
    }

    fn as_list(&self) -> &[Quantity] {
        match self {
            Self::List(list) => list,
            _ => &[],
        }
    }

    fn as_readings(&self) -> &[(Quantity, Quantity)] {
        match self {
            Self::Readings(readings) => readings,
            _ => &[],
        }
    }
}
