//! Values given on the command line in place of the file's.

use std::ops::Range;

use super::mistakes::{Location, Mistake};

/// One `--set KEY=VALUE`, such as `cam.lift=32 mm` or `spring[1].rate=9 N/mm`.
///
/// An override takes the place of the file's value. Where two keys state the
/// same thing in different ways, the one overridden displaces the other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Override {
    text: String,
}

/// An override taken apart: section, number of the spring, key and value.
pub(super) struct Parts<'a> {
    pub section: &'a str,
    pub number: Option<usize>,
    pub key: &'a str,
    pub value: &'a str,
    /// Where the key and the value stand in the text.
    pub path_span: Range<usize>,
    pub value_start: usize,
}

impl Override {
    /// Takes `KEY=VALUE` as given; [`read`](super::read) reports what is wrong
    /// with it together with the mistakes of the file.
    pub fn parse(text: &str) -> Self {
        Self { text: text.to_owned() }
    }

    /// `KEY=VALUE` as given.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// A mistake at the bytes `span` of the text.
    pub(super) fn mistake(&self, message: String, right: String, span: Range<usize>) -> Mistake {
        Mistake { message, right, location: Location::Override { text: self.text.clone(), span } }
    }

    pub(super) fn parts(&self) -> Result<Parts<'_>, Mistake> {
        let whole = 0..self.text.len();
        let form = || "write KEY=VALUE, as in cam.lift=32 mm or spring[1].rate=9 N/mm".to_owned();
        let Some((left, right)) = self.text.split_once('=') else {
            return Err(self.mistake("there is no = between key and value".to_owned(), form(), whole));
        };
        let path = left.trim();
        let path_start = left.len() - left.trim_start().len();
        let path_span = path_start..path_start + path.len();
        let Some((section, key)) = path.split_once('.') else {
            return Err(self.mistake(format!("`{path}` names no key of a section"), form(), path_span));
        };
        let numbered = section.strip_suffix(']').and_then(|open| open.split_once('['));
        let (section, number) = match numbered.map(|(name, n)| (name, n.trim().parse())) {
            None => (section, None),
            Some((name, Ok(number))) => (name, Some(number)),
            Some((_, Err(_))) => {
                let message = format!("`{section}` does not number a spring");
                return Err(self.mistake(message, form(), path_span));
            }
        };
        let value = right.trim();
        Ok(Parts {
            section,
            number,
            key,
            value,
            path_span,
            value_start: left.len() + 1 + (right.len() - right.trim_start().len()),
        })
    }
}
