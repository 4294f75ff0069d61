//! Values that are lists of quantities to compare.

use std::ops::Range;

use toml::Spanned;
use toml::de::DeValue;

use super::super::mistakes::Mistake;
use super::super::quantity::{Dimension, Quantity};
use super::super::resolved::Value;
use super::value::{Reader, in_range, kind_word};

/// Most values of a list, in a scenario and on the command line.
pub const MOST: usize = 200;

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
                Err(self.without_unit(number, dimension, span))
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
        if list.len() > MOST {
            let right = format!("keep at most {MOST}");
            let message = format!("this list has {} values", list.len());
            return Err(vec![self.mistake(message, right, span)]);
        }
        let example = self.entry.example.split('"').nth(1).unwrap_or_default();
        let mut quantities = Vec::new();
        let mut mistakes = Vec::new();
        let is_bare = |value: &&Spanned<DeValue<'_>>| {
            matches!(value.get_ref(), DeValue::Integer(_) | DeValue::Float(_))
        };
        // One word for all of them: what is right for the first is right for the others.
        let others = list.iter().filter(is_bare).count().saturating_sub(1);
        let mut bare = 0;
        for value in list {
            if is_bare(&value) {
                bare += 1;
                if bare > 1 {
                    continue;
                }
            }
            let member = self.member(value, dimension, example).and_then(|quantity| {
                match in_range(self.entry, &quantity) {
                    Ok(()) => Ok(quantity),
                    Err(fault) => Err(self.inside(fault, &value.span())),
                }
            });
            match member {
                Ok(quantity) => quantities.push(quantity),
                Err(mut mistake) => {
                    if is_bare(&value) && others > 0 {
                        mistake.right += &format!(", and the {others} more that have none likewise");
                    }
                    mistakes.push(mistake);
                }
            }
        }
        if list.is_empty() {
            let right = format!("write {} = {}, or leave the line out", self.entry.key, self.entry.example);
            mistakes.push(self.mistake("this list is empty".to_owned(), right, span));
        }
        if mistakes.is_empty() { Ok(Value::List(quantities)) } else { Err(mistakes) }
    }
}
