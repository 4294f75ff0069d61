//! Mistakes in a scenario and how they are shown: each with its place, the
//! owner's own line, and what would be right.

use std::fmt;
use std::io::IsTerminal;
use std::ops::Range;

use super::wrap;
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents,
    SourceCode, SourceSpan, SpanContents,
};

/// One mistake in a scenario.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub right: String,
    /// Where it stands.
    pub location: Location,
}

/// Where a mistake stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Location {
    /// These bytes of the scenario file.
    File {
        /// Line, from 1.
        line: usize,
        /// Column in characters, from 1.
        column: usize,
        /// The bytes of the file at fault.
        span: Range<usize>,
    },
    /// The file as a whole, from which something is missing.
    WholeFile,
    /// A value given on the command line.
    Override {
        /// `KEY=VALUE` as given.
        text: String,
        /// The bytes of it at fault.
        span: Range<usize>,
    },
}

impl Location {
    /// The bytes `span` of the file `text`, brought inside it if need be.
    pub fn in_file(text: &str, span: Range<usize>) -> Self {
        let start = text.floor_char_boundary(span.start);
        let end = text.floor_char_boundary(span.end.max(start));
        let before = text.get(..start).unwrap_or_default();
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let column = before.get(line_start..).unwrap_or_default().trim_start_matches('\u{feff}');
        Self::File {
            line: before.matches('\n').count() + 1,
            column: column.chars().count() + 1,
            span: start..end,
        }
    }

    /// Place in the list: down the file, the file as a whole, the command line.
    fn order(&self) -> (u8, usize) {
        match self {
            Self::File { span, .. } => (0, span.start),
            Self::WholeFile => (1, 0),
            Self::Override { .. } => (2, 0),
        }
    }
}

/// How mistakes are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// ASCII lines and no colour: for pipes, files and `NO_COLOR`.
    Plain,
    /// Drawn lines in colour, for a terminal.
    Colour,
}

impl Look {
    /// The look for standard error: colour on a terminal, unless the
    /// environment sets `NO_COLOR` to anything but nothing.
    pub fn for_stderr() -> Self {
        let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        if std::io::stderr().is_terminal() && !refused { Self::Colour } else { Self::Plain }
    }
}

/// All mistakes of a scenario, in the order of the file.
#[derive(Clone, Debug)]
pub struct Mistakes {
    file_name: String,
    text: String,
    list: Vec<Mistake>,
}

impl Mistakes {
    /// The mistakes `list` of the file with this name and text.
    pub fn new(file_name: &str, text: &str, mut list: Vec<Mistake>) -> Self {
        list.sort_by_key(|mistake| mistake.location.order());
        Self { file_name: file_name.to_owned(), text: text.to_owned(), list }
    }

    /// The mistakes in order.
    pub fn list(&self) -> &[Mistake] {
        &self.list
    }

    /// Every mistake with its place, the line it stands in and what would be
    /// right, wrapped at `width` columns, and their count at the end.
    pub fn render(&self, look: Look, width: usize) -> String {
        let theme = match look {
            Look::Plain => GraphicalTheme::none(),
            Look::Colour => GraphicalTheme::unicode(),
        };
        let handler = GraphicalReportHandler::new_themed(theme)
            .with_context_lines(1)
            .with_width(usize::MAX)
            .with_wrap_lines(false)
            .without_syntax_highlighting();
        let mut page = String::new();
        for mistake in &self.list {
            // Writing to a string does not fail.
            let _ = handler.render_report(&mut page, &self.shown(mistake, width));
            page.push('\n');
        }
        page + &self.count()
    }

    fn count(&self) -> String {
        match self.list.len() {
            1 => format!("1 mistake in {}\n", self.file_name),
            n => format!("{n} mistakes in {}\n", self.file_name),
        }
    }

    /// A mistake ready for drawing, its words wrapped at `width`.
    fn shown(&self, mistake: &Mistake, width: usize) -> Shown {
        let (source, span) = match &mistake.location {
            Location::File { span, .. } => (Some((self.file_name.clone(), self.text.clone())), span.clone()),
            Location::WholeFile => (None, 0..0),
            Location::Override { text, span } => (Some(("--set".to_owned(), text.clone())), span.clone()),
        };
        let message = match mistake.location {
            Location::WholeFile => format!("{}: {}", self.file_name, mistake.message),
            _ => mistake.message.clone(),
        };
        Shown {
            message: wrapped(&message, width),
            right: wrapped(&mistake.right, width),
            source: source.map(|(name, text)| NamedText { name, text }),
            span,
        }
    }
}

impl fmt::Display for Mistakes {
    /// One line to a mistake: place, what is wrong, what would be right.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for mistake in &self.list {
            let place = match &mistake.location {
                Location::File { line, column, .. } => {
                    format!("{}:{line}:{column}", self.file_name)
                }
                Location::WholeFile => self.file_name.clone(),
                Location::Override { text, .. } => format!("--set {text}"),
            };
            writeln!(f, "{place}: {}; {}", mistake.message, mistake.right)?;
        }
        f.write_str(self.count().trim_end())
    }
}

impl std::error::Error for Mistakes {}

/// Wraps words, leaving room for the drawing library's margin and its "help:".
fn wrapped(text: &str, width: usize) -> String {
    const MARGIN: usize = 8;
    wrap::lines(text, width.saturating_sub(MARGIN)).join("\n")
}

/// A mistake in the form the drawing library takes.
#[derive(Debug)]
struct Shown {
    message: String,
    right: String,
    source: Option<NamedText>,
    span: Range<usize>,
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
        self.source.as_ref().map(|source| source as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        self.source.as_ref()?;
        let label = LabeledSpan::new(None, self.span.start, self.span.len());
        Some(Box::new(std::iter::once(label)))
    }
}

/// A text with its name that counts columns in characters, as an editor does;
/// the drawing library's own counts bytes.
#[derive(Debug)]
struct NamedText {
    name: String,
    text: String,
}

impl NamedText {
    /// The lines that hold the span, from their first byte to their last.
    fn full_lines(&self, span: &SourceSpan) -> SourceSpan {
        let (from, to) = (span.offset(), span.offset() + span.len());
        let before = self.text.get(..from).unwrap_or_default();
        let after = self.text.get(to..).unwrap_or_default();
        let start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let end = to + after.lines().next().map_or(0, str::len);
        (start..end).into()
    }
}

impl SourceCode for NamedText {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        lines_before: usize,
        lines_after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        // With surroundings asked for, the lines of the span in full are enough.
        let wanted = if lines_before + lines_after > 0 { self.full_lines(span) } else { *span };
        let contents = self.text.read_span(&wanted, 0, 0)?;
        let start = contents.span().offset();
        let column = match Location::in_file(&self.text, start..start) {
            Location::File { column, .. } => column - 1,
            Location::WholeFile | Location::Override { .. } => contents.column(),
        };
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            contents.data(),
            *contents.span(),
            contents.line(),
            column,
            contents.line_count(),
        )))
    }
}
