//! One value: from its TOML or its text to the kind the catalogue states.

use std::ops::Range;

use toml::Spanned;
use toml::de::DeValue;

use super::super::catalogue::{Entry, Kind};
use super::super::mistakes::{Location, Mistake};
use super::super::quantity::{Dimension, Quantity, QuantityError, Unit, decimals, trimmed};
use super::super::resolved::Value;
use super::draft::Slot;
use super::lists::MOST;
use super::neighbours::Neighbours;
use super::place::within_text;
use super::suggest::nearest;

/// The value of a text, such as that of an override or a default. A list is
/// separated by commas.
pub(in super::super) fn from_text(entry: &Entry, text: &str) -> Result<Value, QuantityError> {
    match entry.kind {
        Kind::Quantity(dimension) => quantity(entry, text, dimension).map(Value::Quantity),
        Kind::Number => quantity(entry, text, Dimension::Ratio).map(Value::Number),
        Kind::Text => plain_text(text),
        Kind::Choice(words) => choice(words, text),
        Kind::QuantityList(_) if text.split(',').count() > MOST => Err(QuantityError {
            message: format!("this list has {} values", text.split(',').count()),
            right: format!("keep at most {MOST}"),
            span: 0..text.len(),
        }),
        Kind::QuantityList(dimension) => {
            let mut list = Vec::new();
            let mut start = 0;
            for part in text.split(',') {
                list.push(quantity(entry, part, dimension).map_err(|error| shifted(error, start))?);
                start += part.len() + 1;
            }
            Ok(Value::List(list))
        }
        Kind::Readings | Kind::Column(_) => Err(QuantityError {
            message: "readings cannot be given here".to_owned(),
            right: "put them in the scenario file, or name a CSV file, as in cam.readings_file=cam.csv"
                .to_owned(),
            span: 0..text.len(),
        }),
    }
}

/// The value the file gives for `entry`, or every mistake in it. Readings of a cam are held until their units are known.
pub(super) fn from_toml(reader: &Reader<'_>, value: &Spanned<DeValue<'_>>) -> Result<Slot, Vec<Mistake>> {
    let place = Location::in_file(reader.source, value.span());
    let read = match (reader.entry.kind, value.get_ref()) {
        (Kind::QuantityList(dimension), DeValue::Array(list)) => reader.list(dimension, list, value.span()),
        (Kind::Readings | Kind::Column(_), DeValue::Array(_)) => return Ok(Slot::Held(place)),
        (Kind::QuantityList(_) | Kind::Readings | Kind::Column(_), other) => {
            Err(vec![reader.wrong_kind(other, value.span())])
        }
        _ => reader.single(value).map_err(|mistake| vec![mistake]),
    };
    read.map(|value| Slot::Good(value, place))
}

/// What a TOML value is, in words.
pub(super) fn kind_word(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a section",
    }
}

/// Reads the value of one key.
pub(super) struct Reader<'a> {
    pub entry: &'a Entry,
    pub source: &'a str,
    pub section: &'a str,
    pub neighbours: &'a Neighbours,
}

impl Reader<'_> {
    pub fn mistake(&self, message: String, right: String, span: Range<usize>) -> Mistake {
        Mistake { message, right, location: Location::in_file(self.source, span) }
    }

    /// A fault inside the text of the value at `span`.
    pub fn inside(&self, fault: QuantityError, span: &Range<usize>) -> Mistake {
        let place = within_text(self.source, span, &fault.span);
        self.mistake(fault.message, fault.right, place)
    }

    pub fn wrong_kind(&self, value: &DeValue<'_>, span: Range<usize>) -> Mistake {
        let key = self.entry.key;
        let (wanted, form) = match self.entry.kind {
            Kind::Quantity(dimension) => {
                let example = self.neighbours.example(self.section, self.entry, dimension);
                (dimension.in_words(), format!("\"{example}\""))
            }
            Kind::Number => ("a plain number", self.entry.example.to_owned()),
            Kind::Choice(_) => ("a word", format!("\"{}\"", self.entry.example)),
            Kind::Text => ("a text", format!("\"{}\"", self.entry.example)),
            Kind::QuantityList(_) | Kind::Column(_) => ("a list", self.entry.example.to_owned()),
            Kind::Readings => {
                ("a list of pairs", r#"[["0 deg", "0 mm"], ["20 deg", "2.9 mm"], …]"#.to_owned())
            }
        };
        let message = format!("`{key}` wants {wanted}, and this is {}", kind_word(value));
        self.mistake(message, format!("write {key} = {form}"), span)
    }

    /// A value that is not a list.
    fn single(&self, value: &Spanned<DeValue<'_>>) -> Result<Value, Mistake> {
        let span = value.span();
        match value.get_ref() {
            DeValue::String(text) => from_text(self.entry, text).map_err(|fault| self.inside(fault, &span)),
            DeValue::Integer(number) if number.radix() == 10 => self.bare(value),
            DeValue::Float(_) => self.bare(value),
            other => Err(self.wrong_kind(other, span)),
        }
    }

    /// A number without quotes, and so without a unit.
    fn bare(&self, value: &Spanned<DeValue<'_>>) -> Result<Value, Mistake> {
        let span = value.span();
        // As typed: `.35` and `05` are numbers to an owner, though not to TOML.
        let number = self.source.get(span.clone()).unwrap_or_default();
        match self.entry.kind.dimension() {
            Some(dimension) if dimension.allows_bare_number() => {
                from_text(self.entry, number).map_err(|fault| self.mistake(fault.message, fault.right, span))
            }
            Some(dimension) => Err(self.without_unit(number, dimension, span)),
            None => Err(self.wrong_kind(value.get_ref(), span)),
        }
    }

    /// A number that lacks its unit.
    pub fn without_unit(&self, number: &str, dimension: Dimension, span: Range<usize>) -> Mistake {
        let message = format!("`{number}` has no unit: {} is wanted", dimension.in_words());
        self.mistake(message, self.neighbours.with_unit(self.section, self.entry, dimension, number), span)
    }
}

/// A text for a name or a file: without what moves the cursor or colours the screen where it is printed.
fn plain_text(text: &str) -> Result<Value, QuantityError> {
    match text.find(char::is_control) {
        None => Ok(Value::Text(text.to_owned())),
        Some(at) => Err(QuantityError {
            message: "this text holds a character that cannot be printed".to_owned(),
            right: "take it out: letters, figures and signs on one line are right here".to_owned(),
            span: at..at + 1,
        }),
    }
}

fn choice(words: &'static [&'static str], text: &str) -> Result<Value, QuantityError> {
    if let Some(word) = words.iter().find(|word| **word == text.trim()) {
        return Ok(Value::Choice(word));
    }
    let all = format!("write one of {}", words.join(", "));
    Err(QuantityError {
        message: format!("`{text}` is not among the choices"),
        right: match nearest(text, words.iter().copied()) {
            Some(near) => format!("did you mean \"{near}\"? Otherwise {all}"),
            None => all,
        },
        span: 0..text.len(),
    })
}

fn quantity(entry: &Entry, text: &str, dimension: Dimension) -> Result<Quantity, QuantityError> {
    let quantity = Quantity::parse(text, dimension)?;
    in_range(entry, &quantity).map(|()| quantity)
}

/// Refuses a value outside the entry's range, naming it in the owner's unit.
///
/// # Errors
/// What the range is and why.
pub fn in_range(entry: &Entry, quantity: &Quantity) -> Result<(), QuantityError> {
    let Some(range) = entry.range else {
        return Ok(());
    };
    let ends =
        (Quantity::parse(range.low, quantity.dimension), Quantity::parse(range.high, quantity.dimension));
    let (Ok(low), Ok(high)) = ends else {
        return Ok(());
    };
    // A range written in one unit and a value in another may differ in the
    // last bit of their SI values.
    let slack = 1e-12 * (low.si.abs() + high.si.abs());
    if quantity.si >= low.si - slack && quantity.si <= high.si + slack {
        return Ok(());
    }
    Err(QuantityError {
        message: format!("`{quantity}` is out of range for `{}`", entry.key),
        right: format!("{}: {}", round_range(quantity.unit, low.si, high.si), range.why),
        span: 0..quantity.text.len(),
    })
}

/// A range (SI) in a unit, in figures no longer than they have to be: two, rounded inward, where more would be no rounder.
fn round_range(unit: &Unit, low: f64, high: f64) -> String {
    let (first, last) = (unit.from_si(low), unit.from_si(high));
    let (first, last) = (first.min(last), first.max(last));
    let round = |value: f64, up: bool| {
        let places = |figures: i32| decimals(value, figures);
        let exact = format!("{value:.*}", places(3).max(0).unsigned_abs() as usize);
        let is_exact = exact.parse::<f64>().is_ok_and(|read| (read - value).abs() <= 1e-9 * value.abs());
        if value == 0.0 || is_exact {
            return trimmed(exact);
        }
        let step = 10.0_f64.powi(-places(2));
        let steps = value / step;
        let inward = step * if up { steps.ceil() } else { steps.floor() };
        trimmed(format!("{inward:.*}", places(2).max(0).unsigned_abs() as usize))
    };
    let with_unit = |number: String| match unit.symbol {
        "" => number,
        "°" => number + "°",
        symbol => format!("{number} {symbol}"),
    };
    format!("from {} to {}", with_unit(round(first, true)), with_unit(round(last, false)))
}

fn shifted(mut fault: QuantityError, by: usize) -> QuantityError {
    fault.span = fault.span.start + by..fault.span.end + by;
    fault
}
