//! Faults of the TOML itself, in the words of someone who does not know TOML.

use std::ops::Range;

use super::super::mistakes::{Location, Mistake};
use super::super::quantity::{Dimension, Quantity};
use super::repair::{Fault, NO_VALUE, line, line_start};

/// The syntax mistakes of a file and which lines they spoil.
pub(super) struct Syntax<'a> {
    text: &'a str,
    mistakes: Vec<Mistake>,
    /// Starts of the lines whose values cannot be trusted.
    spoilt: Vec<usize>,
    /// Starts of all lines with a syntax mistake.
    faulty: Vec<usize>,
    swallows: bool,
}

/// The parser's word for text without quotes, which it reads all the same.
const UNQUOTED: &str = "string values must be quoted";

/// The parser's word for two values of a list with no comma between, which it reads all the same.
const LOST_COMMA: &str = "missing comma";

/// More faults of the TOML than this are not looked at one by one.
const MOST_FAULTS: usize = 200;

/// The parser's words for `.35` and `05`, which are numbers to an owner and are read as such.
const OWN_NUMBERS: [&str; 2] = ["invalid mantissa", "unexpected leading zero"];

/// Quotation marks that a word processor puts in place of straight ones.
const CURLY: [char; 7] = ['“', '”', '„', '‘', '’', '«', '»'];

/// Whether the parser's word is that a list has no end.
fn is_unclosed(message: &str) -> bool {
    message.starts_with("unclosed array") || message.starts_with("unexpected `=` in array")
}

impl<'a> Syntax<'a> {
    pub fn new(text: &'a str, faults: &[Fault]) -> Self {
        let mut found: Vec<(usize, usize, &str)> = faults
            .iter()
            .map(|fault| (fault.span.start, fault.span.end, fault.message.as_str()))
            .filter(|(.., message)| !OWN_NUMBERS.iter().any(|way| message.starts_with(way)))
            .collect();
        found.sort_by_key(|(start, ..)| *start);
        let mut syntax =
            Self { text, mistakes: Vec::new(), spoilt: Vec::new(), faulty: Vec::new(), swallows: false };
        let unclosed: Vec<Option<usize>> = found
            .iter()
            .filter(|(.., message)| is_unclosed(message))
            .take(MOST_FAULTS)
            .map(|(at, ..)| syntax.list_start(*at))
            .collect();
        // By then the file is none, and what would be missing in it is not worth the telling.
        syntax.swallows = found.len() > MOST_FAULTS;
        found.truncate(MOST_FAULTS);
        let mut lists_without_quotes: Vec<usize> = Vec::new();
        let mut swallows = false;
        for (start, end, message) in found {
            let line = line_start(text, start);
            let unquoted = message.starts_with(UNQUOTED) && start < end;
            // One fault upsets the rest of its line; the first says enough.
            if syntax.spoilt.contains(&line) || (!unquoted && syntax.faulty.contains(&line)) {
                continue;
            }
            if unquoted && let Some(list) = syntax.list_start(start) {
                if lists_without_quotes.contains(&list) {
                    continue;
                }
                lists_without_quotes.push(list);
            }
            if message.starts_with(LOST_COMMA)
                && !unclosed.contains(&syntax.list_start(start))
                && !unclosed.contains(&None)
            {
                let mistake = syntax.lost_comma(start);
                syntax.mistakes.push(mistake);
                continue;
            }
            if message.contains("array") {
                if swallows {
                    continue;
                }
                swallows = true;
            }
            if message.contains("multi-line") {
                swallows = true;
            }
            let curly = unquoted && text.get(start..end).is_some_and(|typed| typed.contains(CURLY));
            let mistake = syntax.mistake(start, end, message);
            syntax.mistakes.push(mistake);
            syntax.faulty.push(line);
            if curly || !unquoted && !message.contains("duplicate key") {
                syntax.spoilt.push(line);
            }
        }
        syntax.swallows |= swallows;
        syntax
    }

    pub fn mistakes(&self) -> &[Mistake] {
        &self.mistakes
    }

    /// Whether a fault may have swallowed whatever follows it.
    pub fn swallows_the_rest(&self) -> bool {
        self.swallows
    }

    /// Whether a fault spoils the value at `span`, on any of its lines.
    pub fn spoils(&self, span: Range<usize>) -> bool {
        let first = line_start(self.text, span.start);
        let mut spoilt = self.spoilt.iter();
        spoilt.any(|line| *line >= first && *line < span.end)
    }

    /// Whether a spoilt line seems to be about `word`, so that the word is not
    /// missing.
    pub fn mentions(&self, word: &str) -> bool {
        self.spoilt.iter().any(|start| {
            line(self.text, *start)
                .trim_start_matches(|c: char| c == '[' || c.is_whitespace())
                .strip_prefix(word)
                .is_some_and(|after| !after.starts_with(|c: char| c.is_alphanumeric() || c == '_'))
        })
    }

    fn mistake(&self, start: usize, end: usize, toml: &str) -> Mistake {
        let line = line(self.text, line_start(self.text, start)).trim();
        let typed = self.text.get(start..end).unwrap_or_default();
        let value = line.split_once('=').map_or("", |(_, value)| value.trim());
        let (message, right) = if toml.starts_with(NO_VALUE) || typed.is_empty() && toml.starts_with(UNQUOTED)
        {
            (
                "this line gives no value".to_owned(),
                "write key = \"value\", or put # before a remark".to_owned(),
            )
        } else if line.contains(CURLY) && !line.starts_with('#') && !toml.starts_with("unexpected key") {
            ("curly quotes do not hold a value".to_owned(), "use straight ones, as in \"30 mm\"".to_owned())
        } else if toml.starts_with(UNQUOTED) && self.list_start(start).is_some() {
            (
                "the values of this list stand without quotes".to_owned(),
                format!("write \"{typed}\" and so on"),
            )
        } else if toml.starts_with(UNQUOTED) {
            (format!("`{typed}` stands without quotes"), format!("write \"{typed}\""))
        } else if let Some(inches) = inches(line) {
            inches
        } else if toml.starts_with("duplicate key") && line.starts_with('[') {
            (
                format!("there is a second section {line}"),
                "write each section once; bring the two together".to_owned(),
            )
        } else if toml.starts_with("duplicate key") {
            (format!("`{typed}` is given twice"), "keep the one that holds".to_owned())
        } else if toml.starts_with("unclosed table") {
            (format!("the section header `{line}` is not closed"), format!("write {line}]"))
        } else if toml.starts_with("invalid basic string") || toml.starts_with("invalid literal string") {
            (
                "this text has no quote at its end, or a character it cannot hold".to_owned(),
                "put quotes at both ends; with an inch mark inside, single ones, as in '2 3/4\"'".to_owned(),
            )
        } else if toml.starts_with("unexpected key or value") && value.contains(',') {
            (
                format!("`{value}` is not a number"),
                "write a point before the decimals, and quotes round a value with a unit".to_owned(),
            )
        } else if toml.starts_with("unexpected key or value") {
            (
                "something follows that does not belong to this line".to_owned(),
                "write one value to a line; put # before a remark".to_owned(),
            )
        } else if toml.contains("array") {
            (
                "this list is not closed".to_owned(),
                "write values in quotes with commas between and ] at the end, as in [\"14 pt\", \"18 pt\"]"
                    .to_owned(),
            )
        } else {
            (
                format!("this line cannot be read: {toml}"),
                "write a line such as lift = \"30 mm\", a [section], or a # remark".to_owned(),
            )
        };
        // The parser notices an unclosed list lines after it opens. And an empty
        // place at the end of a line shows nothing; its value shows all.
        let span = if let Some(bracket) = self.list_start(start).filter(|_| toml.contains("array")) {
            bracket..bracket + 1
        } else if start == end {
            self.value_span(start)
        } else {
            start..end
        };
        Mistake { message, right, location: Location::in_file(self.text, span) }
    }

    /// The end of the value after which a comma is missing before this byte.
    fn lost_comma(&self, byte: usize) -> Mistake {
        let before = self.text.get(..self.text.floor_char_boundary(byte)).unwrap_or_default().trim_end();
        let line = before.rfind('\n').map_or(0, |newline| newline + 1);
        let row = before.get(line..).unwrap_or_default();
        let start = line + (row.len() - row.trim_start().len());
        Mistake {
            message: "a comma is missing after this".to_owned(),
            right: "write one between any two values of a list".to_owned(),
            location: Location::in_file(self.text, start..before.len()),
        }
    }

    /// Where the list opens that the last key before this byte is given.
    fn list_start(&self, byte: usize) -> Option<usize> {
        let before = self.text.get(..self.text.floor_char_boundary(byte))?;
        let after_equals = before.rfind('=')? + 1;
        let value = self.text.get(after_equals..)?;
        let bracket = value.find(|c: char| !c.is_whitespace())?;
        value.get(bracket..)?.starts_with('[').then_some(after_equals + bracket)
    }

    /// The value on the line of this byte, or the whole line if it has none.
    fn value_span(&self, byte: usize) -> Range<usize> {
        let start = line_start(self.text, byte);
        let line = line(self.text, start);
        let shown = match line.split_once('=') {
            Some((_, value)) if !value.trim().is_empty() => value.trim(),
            _ => line.trim(),
        };
        let offset = line.rfind(shown).unwrap_or_default();
        start + offset..start + offset + shown.len()
    }
}

/// An inch mark that stands for a quote, or a fraction without quotes, as `1-3/4"`, `"1-3/4""` and `1-3/4`.
fn inches(line: &str) -> Option<(String, String)> {
    let value = line.split_once('=')?.1;
    let value = value.split_once('#').map_or(value, |(value, _)| value).trim();
    let inner = value.trim_matches(['"', '″', '\'']).trim();
    let marked = value.ends_with(['"', '″']);
    let is_number = Quantity::parse(&format!("{inner} in"), Dimension::Length).is_ok();
    if !is_number || value.starts_with('\'') {
        return None;
    }
    Some(match (value.starts_with('"'), marked) {
        (true, true) => (
            "an inch mark ends this text before its closing quote".to_owned(),
            format!("write \"{inner} in\", or '{inner}\"' in single quotes"),
        ),
        (false, true) => (format!("`{value}` stands without quotes"), format!("write \"{inner} in\"")),
        (false, false) if inner.contains('/') => (
            format!("`{value}` stands without quotes and without a unit"),
            format!("write it in quotes with its unit, as \"{inner} in\" if it is inches"),
        ),
        _ => return None,
    })
}
