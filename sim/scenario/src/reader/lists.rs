//! Values that are lists: quantities to compare, and the readings of a cam.

use std::ops::Range;

use toml::Spanned;
use toml::de::DeValue;

use super::super::mistakes::Mistake;
use super::super::quantity::{Dimension, Quantity, unit_as_typed};
use super::super::resolved::Value;
use super::value::{Reader, in_range, kind_word};

/// Fewest readings that show the shape of a cam.
const FEWEST_READINGS: usize = 6;

impl Reader<'_> {
    /// One quantity inside a list.
    fn member(
        &self,
        value: &Spanned<DeValue<'_>>,
        dimension: Dimension,
        example: &str,
    ) -> Result<Quantity, Mistake> {
        let span = value.span();
        match value.get_ref() {
            DeValue::String(text) => {
                Quantity::parse(text, dimension).map_err(|fault| self.inside(fault, &span))
            }
            DeValue::Integer(_) | DeValue::Float(_) => {
                let number = self.source.get(span.clone()).unwrap_or_default();
                let message = format!("`{number}` has no unit: {} is wanted", dimension.in_words());
                Err(self.mistake(
                    message,
                    format!("write it as \"{number} {}\"", unit_as_typed(example)),
                    span,
                ))
            }
            other => {
                let message = format!("{} is wanted, and this is {}", dimension.in_words(), kind_word(other));
                Err(self.mistake(message, format!("write it as \"{example}\""), span))
            }
        }
    }

    pub fn list(
        &self,
        dimension: Dimension,
        list: &[Spanned<DeValue<'_>>],
        span: Range<usize>,
    ) -> Result<Value, Vec<Mistake>> {
        let example = self.entry.example.split('"').nth(1).unwrap_or_default();
        let mut quantities = Vec::new();
        let mut mistakes = Vec::new();
        for value in list {
            let member = self.member(value, dimension, example).and_then(|quantity| {
                match in_range(self.entry, &quantity) {
                    Ok(()) => Ok(quantity),
                    Err(fault) => Err(self.inside(fault, &value.span())),
                }
            });
            match member {
                Ok(quantity) => quantities.push(quantity),
                Err(mistake) => mistakes.push(mistake),
            }
        }
        if list.is_empty() {
            let right = format!("write {} = {}, or leave the line out", self.entry.key, self.entry.example);
            mistakes.push(self.mistake("this list is empty".to_owned(), right, span));
        }
        if mistakes.is_empty() { Ok(Value::List(quantities)) } else { Err(mistakes) }
    }

    pub fn readings(&self, list: &[Spanned<DeValue<'_>>], span: Range<usize>) -> Result<Value, Vec<Mistake>> {
        let mut readings: Vec<(Quantity, Quantity)> = Vec::new();
        let mut mistakes = Vec::new();
        for pair in list {
            match self.reading(pair, readings.last()) {
                Ok(reading) => readings.push(reading),
                Err(found) => mistakes.extend(found),
            }
        }
        if list.len() < FEWEST_READINGS {
            let message = format!("there are {} readings", list.len());
            let right =
                format!("give at least {FEWEST_READINGS} round the turn, to show the shape of the cam");
            mistakes.push(self.mistake(message, right, span));
        }
        if mistakes.is_empty() { Ok(Value::Readings(readings)) } else { Err(mistakes) }
    }

    /// One pair, which must stand further round the turn than the one before.
    fn reading(
        &self,
        pair: &Spanned<DeValue<'_>>,
        before: Option<&(Quantity, Quantity)>,
    ) -> Result<(Quantity, Quantity), Vec<Mistake>> {
        let [angle, lift] = elements(pair.get_ref()) else {
            let message =
                format!("a pair of angle and lift is wanted, and this is {}", kind_word(pair.get_ref()));
            let right = "write [\"20 deg\", \"2.9 mm\"]".to_owned();
            return Err(vec![self.mistake(message, right, pair.span())]);
        };
        let angle_read = self.member(angle, Dimension::Angle, "20 deg");
        let lift_read = self.member(lift, Dimension::Length, "2.9 mm");
        let mut mistakes = Vec::new();
        if let Ok(quantity) = &angle_read {
            let degrees = quantity.value_in("deg").unwrap_or(f64::NAN);
            if !(0.0..360.0).contains(&degrees) {
                let message = format!("`{quantity}` is not within one turn");
                let right = "write from 0 up to but not including 360 degrees".to_owned();
                mistakes.push(self.mistake(message, right, angle.span()));
            } else if let Some((last, _)) = before.filter(|(last, _)| last.si >= quantity.si) {
                let message = format!("`{quantity}` comes after `{last}`");
                let right = "put the angles in growing order, each once".to_owned();
                mistakes.push(self.mistake(message, right, angle.span()));
            }
        }
        if let Ok(quantity) = &lift_read {
            // No pump cam lifts further than the catalogue allows a stated lift.
            if !(0.0..=0.15).contains(&quantity.si) {
                let message = format!("a lift of `{quantity}` is impossible");
                let right = "write a lift between 0 mm and 150 mm, counted from the lowest place".to_owned();
                mistakes.push(self.mistake(message, right, lift.span()));
            }
        }
        match (angle_read, lift_read) {
            (Ok(angle), Ok(lift)) if mistakes.is_empty() => Ok((angle, lift)),
            (angle, lift) => {
                mistakes.extend(angle.err());
                mistakes.extend(lift.err());
                Err(mistakes)
            }
        }
    }
}

/// The elements of a list; none of any other value.
fn elements<'a, 'i>(value: &'a DeValue<'i>) -> &'a [Spanned<DeValue<'i>>] {
    match value {
        DeValue::Array(list) => list,
        _ => &[],
    }
}
