//! Paragraphs, headings and small print as strips of a column.

use super::faces::{Face, Faces, Run};
use super::line::{Ink, Line, Word, words};
use super::placed::{LineOf, Mark};
use super::{GRID, Span, Style};
use textwrap::core::Fragment;
use textwrap::wrap_algorithms::{OverflowError, Penalties, wrap_optimal_fit};

/// Type size of running text, pt.
const TEXT: f64 = 9.6;
/// Type size of headings, pt.
const HEADING: f64 = 9.4;
/// Baseline of running text below the top of its strip, pt.
pub const BASELINE: f64 = 9.6;
/// Indent of a paragraph that follows another, and of text that hangs from a bullet, pt.
const INDENT: f64 = 11.0;

/// Rounding of widths that is not yet overfull, pt.
const SLACK: f64 = 1e-6;

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

impl Fragment for Word {
    fn width(&self) -> f64 {
        self.runs.iter().map(Run::width).sum()
    }

    fn whitespace_width(&self) -> f64 {
        self.space.width()
    }

    fn penalty_width(&self) -> f64 {
        0.0
    }
}

/// How lines are weighed against each other. The cost of a line is the square of the gap at its end, pt²; that of one more line is
/// none, since a gap says it already.
const PENALTIES: Penalties = Penalties {
    nline_penalty: 0,
    // No gap is worth a line that is too long: more than the square of any measure for a thousandth of a point.
    overflow_penalty: 1_000_000_000,
    // A last line of one word shorter than this share of the measure is an eyesore worse than any rag.
    short_last_line_fraction: 4,
    short_last_line_penalty: 1_000_000,
    hyphen_penalty: 0,
};

/// Words broken into lines over the whole paragraph at once, `indent` pt shortening the first: those with the least sum of squared
/// gaps (D. E. Knuth and M. F. Plass, Breaking Paragraphs into Lines, 1981, as textwrap does it).
pub fn lines(words: &[Word], measure: f64, indent: f64) -> Vec<Line> {
    // Rounding of widths does not make a line too long.
    let measure = measure + SLACK;
    let broken = wrap_optimal_fit(words, &[measure - indent, measure], &PENALTIES);
    // Costs overflow only for widths far beyond any paper.
    let broken = broken.unwrap_or_else(|OverflowError| vec![words]);
    broken.into_iter().map(Line::of).collect()
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
