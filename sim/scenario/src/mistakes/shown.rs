//! One mistake as the drawing library takes it, with the owner's line cut round the place where it is long.

use std::fmt;
use std::ops::Range;

use miette::{
    Diagnostic, LabeledSpan, MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents,
};

use super::super::wrap;

/// A mistake in the form the drawing library takes.
#[derive(Debug)]
pub(super) struct Shown {
    message: String,
    right: String,
    excerpt: Option<Excerpt>,
}

impl Shown {
    /// Words wrapped at `width`, and the text they are about: its name, itself, and the bytes at fault.
    pub fn new(message: &str, right: &str, about: Option<(&str, &str, &Range<usize>)>, width: usize) -> Self {
        Self {
            message: wrapped(&printable(message), width),
            right: wrapped(&printable(right), width),
            excerpt: about.map(|(name, text, span)| Excerpt::new(name, text, span)),
        }
    }
}

/// A text with what a terminal would obey, and not print, shown as a mark of as many bytes, so that places stay where they are.
fn printable(text: &str) -> String {
    let shown = |c: char| match c {
        '\n' | '\t' => c,
        _ if c.is_ascii_control() => '?',
        _ if c.is_control() => '¿',
        _ => c,
    };
    text.chars().map(shown).collect()
}

/// Wraps words, leaving room for the drawing library's margin and its "help:".
fn wrapped(text: &str, width: usize) -> String {
    const MARGIN: usize = 8;
    wrap::lines(text, width.saturating_sub(MARGIN)).join("\n")
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(&self.right))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.excerpt.as_ref().map(|excerpt| excerpt as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let span = &self.excerpt.as_ref()?.span;
        Some(Box::new(std::iter::once(LabeledSpan::new(None, span.start, span.len()))))
    }
}

/// The line of a mistake, or as much of it as is worth showing.
#[derive(Debug)]
struct Excerpt {
    name: String,
    text: String,
    /// The bytes at fault within `text`.
    span: Range<usize>,
    /// Line and column of the fault in the whole text, from 0; columns in characters, as an editor counts.
    line: usize,
    column: usize,
}

impl Excerpt {
    fn new(name: &str, whole: &str, span: &Range<usize>) -> Self {
        // Characters shown of a line, and of those before the fault.
        const WIDEST: usize = 100;
        const BEFORE: usize = 30;
        let (line, column) = super::place(whole, span.start);
        let before = whole.get(..span.start).unwrap_or_default();
        let start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let rest = whole.get(start..).unwrap_or_default();
        let full = rest.lines().next().unwrap_or_default();
        let fault = span.start - start..(span.end - start).min(full.len()).max(span.start - start);
        let mut from = 0;
        let mut to = full.len();
        if full.chars().count() > WIDEST {
            let ahead = full.get(..fault.start).unwrap_or_default();
            from = ahead.char_indices().rev().nth(BEFORE).map_or(0, |(byte, _)| byte);
            let shown = full.get(from..).unwrap_or_default();
            to = shown.char_indices().nth(WIDEST).map_or(full.len(), |(byte, _)| from + byte);
        }
        let (lead, tail) = (if from > 0 { "…" } else { "" }, if to < full.len() { "…" } else { "" });
        let text = format!("{lead}{}{tail}", full.get(from..to).unwrap_or_default());
        let moved = |byte: usize| byte.clamp(from, to) - from + lead.len();
        Self {
            name: printable(name),
            text: printable(&text),
            span: moved(fault.start)..moved(fault.end),
            line: line - 1,
            column: column - 1,
        }
    }
}

impl SourceCode for Excerpt {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        lines_before: usize,
        lines_after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        // With surroundings asked for, the line is enough; alone, the span is asked where it stands.
        let (shown, column) = if lines_before + lines_after > 0 {
            (0..self.text.len(), 0)
        } else {
            (span.offset()..span.offset() + span.len(), self.column)
        };
        let data = self.text.as_bytes().get(shown.clone()).ok_or(MietteError::OutOfBounds)?;
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            data,
            shown.into(),
            self.line,
            column,
            1,
        )))
    }
}
