//! Overrides put into the draft.

use super::super::catalogue;
use super::super::mistakes::{Location, Mistake};
use super::super::overrides::{Override, Parts};
use super::draft::{Draft, DraftSection, Slot};
use super::suggest::nearest;
use super::value::from_text;

/// Puts one override in its place.
pub(super) fn apply(draft: &mut Draft, given: &Override) -> Result<(), Mistake> {
    let parts = given.parts()?;
    let section = find(draft, given, &parts)?;
    let Some(entry) = section.spec.entry(parts.key) else {
        let known = || section.spec.entries.iter().map(|entry| entry.key);
        let right = match nearest(parts.key, known()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("its keys are {}", known().collect::<Vec<_>>().join(", ")),
        };
        let message = format!("{} has no key `{}`", section.spec.header(), parts.key);
        return Err(given.mistake(message, right, parts.path_span));
    };
    let start = parts.value_start;
    match from_text(entry, parts.value) {
        Ok(value) => {
            let place =
                Location::Override { text: given.text().to_owned(), span: start..start + parts.value.len() };
            section.put(entry.key, Slot::Good(value, place));
            Ok(())
        }
        Err(fault) => {
            if !section.given(entry.key) {
                section.put(entry.key, Slot::Broken);
            }
            let span = start + fault.span.start..start + fault.span.end;
            Err(given.mistake(fault.message, fault.right, span))
        }
    }
}

fn find<'a>(
    draft: &'a mut Draft,
    given: &Override,
    parts: &Parts<'_>,
) -> Result<&'a mut DraftSection, Mistake> {
    let Some(spec) = catalogue::section(parts.section) else {
        let names = || catalogue::sections().map(|section| section.name);
        let right = match nearest(parts.section, names()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("the sections are {}", names().collect::<Vec<_>>().join(", ")),
        };
        let message = format!("there is no section `{}`", parts.section);
        return Err(given.mistake(message, right, parts.path_span.clone()));
    };
    // "spring.2.rate" says it, though in another way.
    if spec.is_list()
        && parts.number.is_none()
        && let Some((number, key)) = parts.key.split_once('.')
        && let Ok(number) = number.parse::<usize>()
    {
        let message = format!(
            "`{}` is not how a {} is numbered",
            given.text().get(parts.path_span.clone()).unwrap_or_default(),
            spec.name
        );
        return Err(given.mistake(
            message,
            format!("write {}[{number}].{key}", spec.name),
            parts.path_span.clone(),
        ));
    }
    let message = match (spec.is_list(), parts.number) {
        (true, None) => format!("which of the {}s is not said", spec.name),
        (false, Some(_)) => format!("there is only one section {}", spec.header()),
        _ => format!("there is no {} number {}", spec.name, parts.number.unwrap_or(1)),
    };
    let right = if spec.is_list() {
        match draft.all(spec.name).count() {
            0 => format!("write it into the file, as {}", spec.header()),
            count => format!("write {0}[1] to {0}[{count}], in the order of the file", spec.name),
        }
    } else {
        format!("write {}.{}", spec.name, parts.key)
    };
    draft
        .sections
        .iter_mut()
        .find(|section| section.spec.name == spec.name && section.number == parts.number)
        .ok_or_else(|| given.mistake(message, right, parts.path_span.clone()))
}
