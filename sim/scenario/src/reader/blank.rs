//! Values that are still to be filled in: one message for all of them, however many there are.

use super::super::catalogue::{Entry, Section};
use super::super::mistakes::{Location, Mistake};
use std::fmt::Write as _;
use std::ops::Range;
use toml::Spanned;
use toml::de::DeValue;

/// The blanks found so far, in the order of the file.
#[derive(Default)]
pub(super) struct Blanks {
    sections: Vec<(&'static Section, Vec<&'static Entry>)>,
    first: Option<Range<usize>>,
}

impl Blanks {
    /// Notes the value if it is a blank, a text with nothing in it.
    pub fn takes(
        &mut self,
        section: &'static Section,
        entry: &'static Entry,
        value: &Spanned<DeValue<'_>>,
    ) -> bool {
        let DeValue::String(text) = value.get_ref() else { return false };
        if !text.trim().is_empty() {
            return false;
        }
        match self.sections.last_mut().filter(|(last, _)| last.name == section.name) {
            Some((_, keys)) => keys.push(entry),
            None => self.sections.push((section, vec![entry])),
        }
        self.first.get_or_insert(value.span());
        true
    }

    /// What to say of them, at the first; nothing where there are none.
    pub fn mistake(&self, text: &str) -> Option<Mistake> {
        let place = self.first.clone()?;
        let count: usize = self.sections.iter().map(|(_, keys)| keys.len()).sum();
        let message = match count {
            1 => "a value is still to be filled in".to_owned(),
            _ => format!("{count} values are still to be filled in"),
        };
        let mut right = String::new();
        for (section, keys) in &self.sections {
            let keys: Vec<&str> = keys.iter().map(|entry| entry.key).collect();
            let separator = if right.is_empty() { "" } else { "; " };
            // Writing to a string does not fail.
            let _ = write!(right, "{separator}{} {}", section.header(), keys.join(", "));
        }
        Some(Mistake { message, right, location: Location::in_file(text, place) })
    }
}
