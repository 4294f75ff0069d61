//! Mistakes in a scenario and how they are shown: each with its place, the
//! owner's own line, and what would be right.

mod shown;

use std::collections::HashMap;
use std::ffi::OsStr;
use std::fmt;
use std::io::IsTerminal;
use std::ops::Range;
use std::sync::Arc;

use miette::{GraphicalReportHandler, GraphicalTheme};
use shown::Shown;

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
    /// These bytes of a table that the scenario names, beside it.
    Beside {
        /// The table's name.
        name: String,
        /// Its text.
        text: Arc<str>,
        /// Line, from 1.
        line: usize,
        /// The bytes of it at fault.
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
        let span = inside(text, span);
        let (line, column) = place(text, span.start);
        Self::File { line, column, span }
    }

    /// The bytes `span` of the table `name` with this `text`.
    pub(super) fn beside(name: &str, text: &Arc<str>, span: Range<usize>) -> Self {
        let span = inside(text, span);
        let (line, _) = place(text, span.start);
        Self::Beside { name: name.to_owned(), text: Arc::clone(text), line, span }
    }

    /// Its line in the file or table, from 1.
    pub fn line(&self) -> Option<usize> {
        match self {
            Self::File { line, .. } | Self::Beside { line, .. } => Some(*line),
            Self::WholeFile | Self::Override { .. } => None,
        }
    }

    /// The place in words, as far as it has one within the scenario: "line 17".
    pub fn in_words(&self) -> String {
        match self {
            Self::File { line, .. } => format!("line {line}"),
            Self::Beside { name, line, .. } => format!("{name}, line {line}"),
            Self::WholeFile => String::new(),
            Self::Override { text, .. } => format!("--set {text}"),
        }
    }

    /// Place in the list: down the file, the table beside it, the file as a whole, the command line.
    fn order(&self) -> (u8, usize) {
        match self {
            Self::File { span, .. } => (0, span.start),
            Self::Beside { span, .. } => (1, span.start),
            Self::WholeFile => (2, 0),
            Self::Override { .. } => (3, 0),
        }
    }
}

/// A span brought inside the text and onto its characters.
fn inside(text: &str, span: Range<usize>) -> Range<usize> {
    let start = text.floor_char_boundary(span.start);
    start..text.floor_char_boundary(span.end.max(start))
}

/// Line and column of a byte, from 1, columns in characters.
fn place(text: &str, byte: usize) -> (usize, usize) {
    let before = text.get(..byte).unwrap_or(text);
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let column = before.get(line_start..).unwrap_or_default().trim_start_matches('\u{feff}');
    (before.bytes().filter(|byte| *byte == b'\n').count() + 1, column.chars().count() + 1)
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
    /// The look for standard error: colour on a terminal, unless that is a dumb one or the environment sets `NO_COLOR` to
    /// anything but nothing.
    pub fn for_stderr() -> Self {
        let is = |name: &str, wanted: fn(&OsStr) -> bool| {
            std::env::var_os(name).is_some_and(|value| wanted(&value))
        };
        let refused = is("NO_COLOR", |value| !value.is_empty()) || is("TERM", |value| value == "dumb");
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

/// How many mistakes are shown at once; by then the next reading will tell the rest.
const SHOWN: usize = 20;

impl Mistakes {
    /// No more than about so many are looked for: a file with more is no scenario.
    pub(super) const MOST: usize = 1000;

    /// The mistakes `list` of the file with this name and text. One that repeats word for word stands once, with a word of where
    /// else it is.
    pub fn new(file_name: &str, text: &str, mut list: Vec<Mistake>) -> Self {
        list.sort_by_key(|mistake| mistake.location.order());
        Self { file_name: file_name.to_owned(), text: text.to_owned(), list: folded(list) }
    }

    /// The mistakes in order.
    pub fn list(&self) -> &[Mistake] {
        &self.list
    }

    /// The first mistakes with place, the line each stands in and what would be right, wrapped at `width` columns, and the count
    /// of all at the end.
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
        for mistake in self.list.iter().take(SHOWN) {
            // Writing to a string does not fail.
            let _ = handler.render_report(&mut page, &self.shown(mistake, width));
            page.push('\n');
        }
        if let more @ 1.. = self.list.len().saturating_sub(SHOWN) {
            page += &format!("and {more} more\n\n");
        }
        page + &self.count()
    }

    /// How many there are and where: in the file, in what was given on the command line, or in both.
    fn count(&self) -> String {
        let given = |mistake: &&Mistake| matches!(mistake.location, Location::Override { .. });
        let on_the_line = self.list.iter().filter(given).count();
        let counted = |n: usize| match n {
            1 => "1 mistake".to_owned(),
            Self::MOST.. => format!("{} mistakes or more", Self::MOST),
            _ => format!("{n} mistakes"),
        };
        match (self.list.len() - on_the_line, on_the_line) {
            (0, n) => format!("{} in --set\n", counted(n)),
            (n, 0) => format!("{} in {}\n", counted(n), self.file_name),
            (n, more) => format!("{} in {} and {more} in --set\n", counted(n), self.file_name),
        }
    }

    /// A mistake ready for drawing, its words wrapped at `width`.
    fn shown(&self, mistake: &Mistake, width: usize) -> Shown {
        let about = match &mistake.location {
            Location::File { span, .. } => Some((self.file_name.as_str(), self.text.as_str(), span)),
            Location::Beside { name, text, span, .. } => Some((name.as_str(), text.as_ref(), span)),
            Location::WholeFile => None,
            Location::Override { text, span } => Some(("--set", text.as_str(), span)),
        };
        let message = match mistake.location {
            Location::WholeFile => format!("{}: {}", self.file_name, mistake.message),
            _ => mistake.message.clone(),
        };
        Shown::new(&message, &mistake.right, about, width)
    }
}

/// Each mistake once, the first of those that read alike, with a word of where the others are.
fn folded(list: Vec<Mistake>) -> Vec<Mistake> {
    let mut kept: Vec<(Mistake, Vec<usize>)> = Vec::new();
    let mut known: HashMap<(String, String), usize> = HashMap::new();
    for mistake in list {
        let Some(line) = mistake.location.line() else {
            kept.push((mistake, Vec::new()));
            continue;
        };
        let words = (mistake.message.clone(), mistake.right.clone());
        if let Some((_, lines)) = known.get(&words).and_then(|&index| kept.get_mut(index)) {
            lines.push(line);
        } else {
            known.insert(words, kept.len());
            kept.push((mistake, Vec::new()));
        }
    }
    kept.into_iter()
        .map(|(mut mistake, lines)| {
            mistake.message += &elsewhere(mistake.location.line(), &lines);
            mistake
        })
        .collect()
}

/// Where else a mistake is that stands on line `first`.
fn elsewhere(first: Option<usize>, lines: &[usize]) -> String {
    let mut others: Vec<usize> = lines.iter().copied().filter(|line| Some(*line) != first).collect();
    others.dedup();
    match others.as_slice() {
        [] if lines.is_empty() => String::new(),
        [] => format!(" ({} times on this line)", lines.len() + 1),
        [line] if lines.len() == 1 => format!(" (and on line {line})"),
        [.., last] => format!(" (and in {} more places, down to line {last})", lines.len()),
    }
}

impl fmt::Display for Mistakes {
    /// One line to a mistake: place, what is wrong, what would be right.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for mistake in &self.list {
            writeln!(f, "{}: {}; {}", self.place_of(mistake), mistake.message, mistake.right)?;
        }
        f.write_str(self.count().trim_end())
    }
}

impl Mistakes {
    fn place_of(&self, mistake: &Mistake) -> String {
        match &mistake.location {
            Location::File { line, column, .. } => format!("{}:{line}:{column}", self.file_name),
            Location::Beside { name, line, .. } => format!("{name}:{line}"),
            Location::WholeFile => self.file_name.clone(),
            Location::Override { text, .. } => format!("--set {text}"),
        }
    }
}

impl std::error::Error for Mistakes {}
