//! From the parsed TOML to a draft: every section and key in its place.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use super::super::catalogue;
use super::super::mistakes::{Location, Mistake, Mistakes};
use super::blank::Blanks;
use super::draft::{Draft, DraftSection, Slot};
use super::neighbours::Neighbours;
use super::suggest::nearest;
use super::syntax::Syntax;
use super::value::{self, Reader};

/// What the walk carries along.
struct Walk<'a> {
    text: &'a str,
    syntax: &'a Syntax<'a>,
    neighbours: &'a Neighbours,
    mistakes: &'a mut Vec<Mistake>,
    blanks: Blanks,
}

/// The draft of a parsed file.
pub(super) fn draft(
    table: &DeTable<'_>,
    text: &str,
    syntax: &Syntax<'_>,
    neighbours: &Neighbours,
    mistakes: &mut Vec<Mistake>,
) -> Draft {
    let mut walk = Walk { text, syntax, neighbours, mistakes, blanks: Blanks::default() };
    let mut sections = Vec::new();
    for spec in catalogue::sections() {
        let found = table.iter().find(|(key, _)| key.get_ref() == spec.name);
        match found {
            Some((_, value)) => sections.extend(walk.section(spec, value)),
            None if spec.is_list() => {}
            None => sections.push(DraftSection::new(spec, None, None)),
        }
    }
    for (key, _) in table {
        if catalogue::section(key.get_ref()).is_none() {
            walk.stray_at_root(key.get_ref(), key.span());
        }
    }
    walk.mistakes.extend(walk.blanks.mistake(text));
    Draft { sections }
}

impl Walk<'_> {
    fn report(&mut self, message: String, right: String, span: Range<usize>) {
        if self.mistakes.len() >= Mistakes::MOST {
            return;
        }
        let location = Location::in_file(self.text, span);
        self.mistakes.push(Mistake { message, right, location });
    }

    /// The sections under one name: one, or several of a list.
    fn section(
        &mut self,
        spec: &'static catalogue::Section,
        value: &Spanned<DeValue<'_>>,
    ) -> Vec<DraftSection> {
        match value.get_ref() {
            DeValue::Table(table) => {
                if spec.is_list() {
                    let right = format!("write {}", spec.header());
                    self.report(
                        format!("there may be several: [{}] has one bracket", spec.name),
                        right,
                        value.span(),
                    );
                }
                let number = spec.is_list().then_some(1);
                vec![self.table(spec, number, table, value.span())]
            }
            DeValue::Array(list) => self.several(spec, list),
            other => {
                let message =
                    format!("`{}` is a section, and this is {}", spec.name, value::kind_word(other));
                self.report(
                    message,
                    format!("write a line {} and its keys under it", spec.header()),
                    value.span(),
                );
                Vec::new()
            }
        }
    }

    fn several(&mut self, spec: &'static catalogue::Section, list: &DeArray<'_>) -> Vec<DraftSection> {
        let mut sections = Vec::new();
        for (index, element) in list.iter().enumerate() {
            let DeValue::Table(table) = element.get_ref() else {
                let message = format!(
                    "`{}` is a section, and this is {}",
                    spec.name,
                    value::kind_word(element.get_ref())
                );
                self.report(
                    message,
                    format!("write a line {} and its keys under it", spec.header()),
                    element.span(),
                );
                continue;
            };
            if index == spec.most {
                let (message, right) = if spec.is_list() {
                    let instead = if spec.is_record() {
                        "keep those you are surest of"
                    } else {
                        "springs side by side may be stated as one"
                    };
                    (
                        format!("there are more than {} sections {}", spec.most, spec.header()),
                        format!("write at most {}; {instead}", spec.most),
                    )
                } else {
                    (format!("there is a second section [{}]", spec.name), "keep one".to_owned())
                };
                self.report(message, right, element.span());
                break;
            }
            if index == 0 && !spec.is_list() {
                let right = format!("write {}", spec.header());
                self.report(
                    format!("[[{}]] has two brackets, and there is only one", spec.name),
                    right,
                    element.span(),
                );
            }
            let number = spec.is_list().then_some(index + 1);
            sections.push(self.table(spec, number, table, element.span()));
        }
        // The rest of the reader counts on one section of every other name.
        if !spec.is_list() {
            sections.truncate(1);
        }
        sections
    }

    fn table(
        &mut self,
        spec: &'static catalogue::Section,
        number: Option<usize>,
        table: &DeTable<'_>,
        header: Range<usize>,
    ) -> DraftSection {
        let mut section = DraftSection::new(spec, number, Some(Location::in_file(self.text, header)));
        for (key, value) in table {
            let Some(entry) = spec.entry(key.get_ref()) else {
                continue;
            };
            let slot = if self.syntax.spoils(value.span()) || self.blanks.takes(spec, entry, value) {
                Slot::Broken
            } else {
                let reader =
                    Reader { entry, source: self.text, section: spec.name, neighbours: self.neighbours };
                match value::from_toml(&reader, value) {
                    Ok(slot) => slot,
                    Err(mistakes) => {
                        self.mistakes.extend(mistakes);
                        Slot::Broken
                    }
                }
            };
            section.put(entry.key, slot);
        }
        for (key, _) in table {
            if spec.entry(key.get_ref()).is_none() {
                self.stray_in_section(&mut section, key.get_ref(), key.span());
            }
        }
        section
    }

    /// A key the section does not have. A key it resembles is not missing too.
    fn stray_in_section(&mut self, section: &mut DraftSection, key: &str, span: Range<usize>) {
        let spec = section.spec;
        let message = format!("{} has no key `{key}`", spec.header());
        let known = spec.entries.iter().map(|entry| entry.key);
        let right = if let Some(near) = nearest(key, known.clone()) {
            if !section.given(near) {
                section.put(near, Slot::Broken);
            }
            format!("did you mean `{near}`?")
        } else if let Some(home) = catalogue::sections().find(|other| other.entry(key).is_some()) {
            format!("`{key}` belongs in {}", home.header())
        } else {
            let keys: Vec<&str> = known.collect();
            format!("its keys are {}", keys.join(", "))
        };
        self.report(message, right, span);
    }

    /// A name outside any section that is not a section's.
    fn stray_at_root(&mut self, name: &str, span: Range<usize>) {
        let message = format!("there is no section `{name}`");
        if let Some(home) = catalogue::sections().find(|section| section.entry(name).is_some()) {
            let message = format!("`{name}` stands outside any section");
            self.report(message, format!("move it under {}", home.header()), span);
        } else if let Some(near) = nearest(name, catalogue::sections().map(|section| section.name)) {
            self.report(message, format!("did you mean `{near}`?"), span);
        } else {
            let names: Vec<&str> = catalogue::sections().map(|section| section.name).collect();
            self.report(message, format!("the sections are {}", names.join(", ")), span);
        }
    }
}
