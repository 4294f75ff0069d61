//! Paragraphs, headings and small print as strips of a column.

use super::breaks::{Measured, breaks};
use super::faces::{Face, Faces};
use super::line::{Ink, Line, Word, words};
use super::placed::{LineOf, Mark};
use super::{GRID, Span, Style};

/// Type size of running text, pt.
const TEXT: f64 = 9.6;
/// Type size of headings, pt.
const HEADING: f64 = 9.4;
/// Baseline of running text below the top of its strip, pt.
pub const BASELINE: f64 = 9.6;
/// Indent of a paragraph that follows another, and of text that hangs from a bullet, pt.
const INDENT: f64 = 11.0;

/// A level piece of a column.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Its height, pt: a multiple of the grid.
    pub height: f64,
    /// What is on it, from its top left corner.
    pub marks: Vec<Mark>,
    /// Whether the column may end below it.
    pub may_end: bool,
    /// Whether it is white, and left out at the head of a column.
    pub is_space: bool,
}

impl Strip {
    /// White above a block, held together with what follows.
    pub fn space() -> Self {
        Self { height: GRID, marks: Vec::new(), may_end: false, is_space: true }
    }
}

/// Spans as words: a word that spans join without a space stays one.
fn spelled(faces: &Faces, spans: &[Span]) -> Vec<Word> {
    let mut all: Vec<Word> = Vec::new();
    let mut open = false;
    for span in spans {
        let face = match span.style {
            Style::Roman => Face::Roman,
            Style::Italic => Face::Italic,
        };
        let mut set = words(faces, &span.text, face, TEXT).into_iter();
        if open && !span.text.starts_with(' ') {
            match (all.last_mut(), set.next()) {
                (Some(last), Some(first)) => last.runs.extend(first.runs),
                (None, Some(first)) => all.push(first),
                (_, None) => {}
            }
        }
        all.extend(set);
        open = !span.text.ends_with(' ');
    }
    all
}

/// Words broken into lines.
pub fn lines(words: &[Word], measure: f64, indent: f64) -> Vec<Line> {
    let measured: Vec<Measured> =
        words.iter().map(|word| Measured { space: word.space.width(), width: word.width() }).collect();
    let starts = breaks(&measured, measure, indent);
    let from = std::iter::once(0).chain(starts.iter().copied());
    let to = starts.iter().copied().chain(std::iter::once(words.len()));
    from.zip(to).filter_map(|(from, to)| words.get(from..to)).map(Line::of).collect()
}

/// A paragraph, its first line indented where it follows another; `number` is its number in the document.
pub fn paragraph(faces: &Faces, spans: &[Span], measure: f64, follows: bool, number: usize) -> Vec<Strip> {
    let indent = if follows { INDENT } else { 0.0 };
    let lines = lines(&spelled(faces, spans), measure, indent);
    let offset = |line: usize| if line == 0 { indent } else { 0.0 };
    running(lines, offset, number)
}

/// A paragraph that hangs from a bullet.
pub fn item(faces: &Faces, spans: &[Span], measure: f64, number: usize) -> Vec<Strip> {
    let lines = lines(&spelled(faces, spans), measure - INDENT, 0.0);
    let mut strips = running(lines, |_| INDENT, number);
    if let Some(first) = strips.first_mut() {
        let line = Line::set(faces, "•", Face::Roman, TEXT);
        first.marks.push(Mark::Type { x: 1.0, y: BASELINE, line, ink: Ink::Red, of: None });
    }
    strips
}

/// Lines as strips: no column ends below the first line of several, or above the last.
fn running(lines: Vec<Line>, offset: impl Fn(usize) -> f64, number: usize) -> Vec<Strip> {
    let count = lines.len();
    lines
        .into_iter()
        .enumerate()
        .map(|(n, line)| {
            let of = Some(LineOf { paragraph: number, line: n, of: count });
            let last = n + 1 == count;
            Strip {
                height: GRID,
                marks: vec![Mark::Type { x: offset(n), y: BASELINE, line, ink: Ink::Black, of }],
                may_end: last || n > 0 && n + 2 < count,
                is_space: false,
            }
        })
        .collect()
}

/// A heading with white above it, kept with what follows.
pub fn heading(faces: &Faces, text: &str, measure: f64) -> Vec<Strip> {
    let set = lines(&words(faces, text, Face::Bold, HEADING), measure, 0.0);
    let strip = |line| Strip {
        height: GRID,
        marks: vec![Mark::Type { x: 0.0, y: BASELINE, line, ink: Ink::Red, of: None }],
        may_end: false,
        is_space: false,
    };
    std::iter::once(Strip::space()).chain(set.into_iter().map(strip)).collect()
}
