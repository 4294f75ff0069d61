//! Readings as the scenario has them: pairs, two lists, or the name of a table.

use std::ops::Range;
use std::path::Path;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::super::super::mistakes::Mistake;
use super::super::super::quantity::Dimension;
use super::super::super::resolved::Value;
use super::super::draft::{DraftSection, Slot};
use super::super::value::kind_word;
use super::{Cell, READINGS, Rows, Source, table};

/// The readings that the section gives, whichever way.
pub(super) fn rows<'a>(
    cam: &DraftSection,
    file: &DeTable<'_>,
    text: &'a str,
    folder: Option<&Path>,
) -> Result<Rows<'a>, Vec<Mistake>> {
    let source = Source::Scenario(text);
    let unread = |key: &str| match cam.slot(key) {
        Slot::Held(_) => list_of(file, key),
        _ => None,
    };
    if let Some((list, span)) = unread("readings") {
        few_enough(list.len(), &source, &span)?;
        let mut cells = Vec::new();
        let mut mistakes = Vec::new();
        for pair in list {
            match pair.get_ref() {
                DeValue::Array(both) if both.len() == 2 => {
                    match (
                        cell(&both[0], Dimension::Angle, text, &source),
                        cell(&both[1], Dimension::Length, text, &source),
                    ) {
                        (Ok(angle), Ok(lift)) => cells.push((angle, lift)),
                        (angle, lift) => mistakes.extend(angle.err().into_iter().chain(lift.err())),
                    }
                }
                other => {
                    let what = match other {
                        DeValue::Array(list) => format!("a list of {}", list.len()),
                        other => kind_word(other).to_owned(),
                    };
                    let message = format!("a pair of angle and lift is wanted, and this is {what}");
                    mistakes.push(source.mistake(message, "write [\"20 deg\", \"2.9 mm\"]", pair.span()));
                }
            }
        }
        return if mistakes.is_empty() {
            Ok(Rows { cells, source, span, heading: (None, None) })
        } else {
            Err(mistakes)
        };
    }
    if let (Some((angles, span)), Some((lifts, _))) = (unread("angles"), unread("lifts")) {
        few_enough(angles.len().max(lifts.len()), &source, &span)?;
        if angles.len() != lifts.len() {
            let message = format!("there are {} angles and {} lifts", angles.len(), lifts.len());
            return Err(vec![source.mistake(message, "give one lift for each angle", span)]);
        }
        let all = |list: &[Spanned<DeValue<'_>>], dimension| {
            let (good, bad): (Vec<_>, Vec<_>) =
                list.iter().map(|value| cell(value, dimension, text, &source)).partition(Result::is_ok);
            let bad: Vec<Mistake> = bad.into_iter().filter_map(Result::err).collect();
            if bad.is_empty() { Ok(good.into_iter().flatten().collect::<Vec<Cell>>()) } else { Err(bad) }
        };
        let (angles, lifts) = (all(angles, Dimension::Angle)?, all(lifts, Dimension::Length)?);
        let cells = angles.into_iter().zip(lifts).collect();
        return Ok(Rows { cells, source, span, heading: (None, None) });
    }
    match (cam.slot("readings_file"), cam.place("readings_file")) {
        (Slot::Good(Value::Text(name), _), Some(place)) => table::rows(name, place, folder),
        _ => Err(Vec::new()),
    }
}

/// Refuses more readings than are worth the sums, before any is looked at.
fn few_enough(count: usize, source: &Source<'_>, span: &Range<usize>) -> Result<(), Vec<Mistake>> {
    if count <= *READINGS.end() { Ok(()) } else { Err(vec![source.too_many(span.clone())]) }
}

/// The list that a key of [cam] holds in the file.
fn list_of<'a, 'i>(file: &'a DeTable<'i>, key: &str) -> Option<(&'a [Spanned<DeValue<'i>>], Range<usize>)> {
    let cam = match file.get("cam")?.get_ref() {
        DeValue::Table(table) => table,
        DeValue::Array(list) => match list.first()?.get_ref() {
            DeValue::Table(table) => table,
            _ => return None,
        },
        _ => return None,
    };
    let value = cam.get(key)?;
    match value.get_ref() {
        DeValue::Array(list) => Some((list, value.span())),
        _ => None,
    }
}

fn cell(
    value: &Spanned<DeValue<'_>>,
    dimension: Dimension,
    text: &str,
    source: &Source<'_>,
) -> Result<Cell, Mistake> {
    let span = value.span();
    let raw = text.get(span.clone()).unwrap_or_default();
    match value.get_ref() {
        DeValue::String(text) => {
            Ok(Cell { text: text.to_string(), quoted: raw.starts_with(['"', '\'']), span })
        }
        DeValue::Integer(_) | DeValue::Float(_) => Ok(Cell { text: raw.to_owned(), span, quoted: false }),
        other => {
            let message = format!("{} is wanted, and this is {}", dimension.in_words(), kind_word(other));
            Err(source.mistake(message, "write a number, with its unit in quotes", span))
        }
    }
}
